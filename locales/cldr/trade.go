package cldr

// Millilitres are written mL on British papers too: a small l is easily read as the figure 1, and the
// International System of Units allows both letters (SI Brochure, 9th edition, table 8, note d). CLDR 48
// has ml.
const litreMark = "{0}\u00a0mL"

// milligrams are not in Intl, so tables.mjs cannot bring them. Source: CLDR 48, unit mass-milligram, from
// memory.
var milligrams = map[string]struct{ short, long forms }{
	"en": {forms{other: "{0}\u00a0mg"}, forms{one: "{0} milligram", other: "{0} milligrams"}},
	"es": {forms{other: "{0}\u00a0mg"}, forms{one: "{0} miligramo", other: "{0} miligramos"}},
	"fr": {forms{other: "{0}\u00a0mg"}, forms{one: "{0} milligramme", other: "{0} milligrammes"}},
	"de": {forms{other: "{0}\u00a0mg"}, forms{other: "{0} Milligramm"}},
	"pl": {forms{other: "{0}\u00a0mg"}, forms{one: "{0} miligram", few: "{0} miligramy", many: "{0} miligramów", other: "{0} miligrama"}},
	"ar": {forms{other: "{0}\u00a0مغم"}, forms{other: "{0} مليغرام"}},
	"hi": {forms{other: "{0}\u00a0मि॰ग्रा॰"}, forms{other: "{0} मिलीग्राम"}},
	"zh": {forms{other: "{0}毫克"}, forms{other: "{0}毫克"}},
}

// forTrade puts in what the papers need and the tables do not have.
func (l *Locale) forTrade() {
	units := make([]unitForms, 0, len(l.units)+2)
	for _, u := range l.units {
		if l.tag == "en-GB" && u.unit == Millilitre && !u.long {
			u.forms = forms{other: litreMark}
		}
		units = append(units, u)
	}
	mg := milligrams[l.language()]
	l.units = append(units, unitForms{Milligram, false, mg.short}, unitForms{Milligram, true, mg.long})
}
