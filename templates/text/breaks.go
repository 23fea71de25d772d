package text

import (
	"unicode"

	"philtrum/templates/layout"
)

// findBreaks marks where lines may end: UAX #14, plus break marks in the text (Thai has no other), minus
// breaks that tear a number from its unit, a Korean word, or a value. Others, by the habits of a language, it only
// puts off until nothing else fits.
func (a *analyst) findBreaks(s *Setter, req *layout.Request) {
	a.breaks, a.parts = a.breaks[:0], a.parts[:0]
	for range len(a.runes) + 1 {
		a.breaks, a.parts = append(a.breaks, false), append(a.parts, false)
	}
	if len(a.runes) == 0 {
		return
	}
	if plain(a.runes) {
		a.breakAtSpaces()
	} else {
		a.segments.Init(a.runes)
		for it := a.segments.LineIterator(); it.Next(); {
			line := it.Line()
			a.breaks[line.Offset+len(line.Text)] = true
		}
	}
	for i := 1; i < len(a.runes); i++ {
		switch {
		case a.forced[i]:
			a.breaks[i] = true
		case a.breaks[i] && a.keep(req, i):
			a.breaks[i] = false
		case a.breaks[i] && a.unparted(s, req, i):
			a.breaks[i], a.parts[i] = false, true
		}
	}
}

// plain says whether UAX #14 allows breaks in the text only where breakAtSpaces puts them: letters and
// figures of European scripts with full stops, commas and colons behind them, and spaces.
func plain(runes []rune) bool {
	before := ' '
	for _, r := range runes {
		switch {
		case r == ' ' || alphanumeric(r) || r >= 0xC0 && r < 0x530 && unicode.IsLetter(r):
		case (r == '.' || r == ',' || r == ';' || r == ':') && before != ' ':
		default:
			return false
		}
		before = r
	}
	return true
}

func (a *analyst) breakAtSpaces() {
	for i := 1; i < len(a.runes); i++ {
		a.breaks[i] = a.runes[i-1] == ' ' && a.runes[i] != ' '
	}
	a.breaks[len(a.runes)] = true
}

// keep says whether a break that UAX #14 allows before rune i would tear something.
func (a *analyst) keep(req *layout.Request, i int) bool {
	before, after := a.runes[i-1], a.runes[i]
	if before == ' ' {
		return a.numberBefore(i-1) && a.unitAt(i) > 0 || a.insideNumber(req, i)
	}
	switch {
	case hangul(before) && wordRune(after), hangul(after) && wordRune(before):
		return true
	case unicode.IsDigit(before) && unicode.Is(unicode.Han, after), a.insideUnit(i):
		return true
	}
	// A hyphen or slash inside a value may be part of it: a break there would leave in doubt whether it
	// is. Ideographs part as they always do.
	return before < firstHan && a.oneValue(req, i)
}

// insideNumber says whether rune i continues a number in groups, such as a telephone number, of one value.
func (a *analyst) insideNumber(req *layout.Request, i int) bool {
	return unicode.IsDigit(a.runes[i]) && a.numberBefore(i-1) && a.oneValue(req, i)
}

// oneValue says whether rune i and the one before it belong to the same value.
func (a *analyst) oneValue(req *layout.Request, i int) bool {
	return a.span[i-1] == a.span[i] && req.Spans[a.span[i]].Value
}

// wordRune is a rune that belongs to a Korean word when it touches one.
func wordRune(r rune) bool {
	return hangul(r) || unicode.IsLetter(r) || unicode.IsDigit(r) || unicode.IsPunct(r) || unicode.IsSymbol(r)
}

func hangul(r rune) bool { return r >= 0x1100 && unicode.Is(unicode.Hangul, r) }

// numberBefore says whether a number ends at rune i, or before the spaces that end there.
func (a *analyst) numberBefore(i int) bool {
	for i >= 0 && a.runes[i] == ' ' {
		i--
	}
	return i >= 0 && unicode.IsDigit(a.runes[i])
}

// insideUnit says whether rune i continues an ideographic unit that follows a number.
func (a *analyst) insideUnit(i int) bool {
	for k := i - 1; k > 0 && i-k < longestUnit && unicode.Is(unicode.Han, a.runes[k]); k-- {
		if a.numberBefore(k-1) && a.unitAt(k) > i-k {
			return true
		}
	}
	return false
}

// unitAt gives the length in runes of the unit that begins at rune i, 0 if none does. Ideographic units
// need nothing behind them; others end with their word.
func (a *analyst) unitAt(i int) int {
	ideographs := unicode.Is(unicode.Han, a.runes[i])
	j := i
	for j < len(a.runes) && j-i <= longestUnit && !unicode.IsSpace(a.runes[j]) && a.runes[j] != object &&
		(!ideographs || unicode.Is(unicode.Han, a.runes[j])) {
		j++
	}
	if ideographs {
		for j = min(j, i+longestUnit); j > i && !units[string(a.runes[i:j])]; {
			j--
		}
		return j - i
	}
	for ; j > i; j-- {
		if units[string(a.runes[i:j])] {
			return j - i
		}
		if !unicode.IsPunct(a.runes[j-1]) {
			break
		}
	}
	return 0
}

const longestUnit = 8 // in runes

// units are unit symbols that stay on the line of their number: those of the SI and of clinical papers,
// in the scripts of the papers (CLDR 48 narrow and short forms; common practice where CLDR has none).
var units = map[string]bool{
	"ml": true, "mL": true, "l": true, "L": true, "µl": true, "µL": true, "μl": true, "μL": true, "cm³": true,
	"mg": true, "g": true, "kg": true, "µg": true, "μg": true, "mcg": true, "ng": true, "IU": true, "U": true,
	"mm": true, "cm": true, "m": true, "G": true, "%": true, "‰": true, "°C": true, "°F": true, "mmHg": true,
	"mg/ml": true, "mg/mL": true, "mg/kg": true, "mg/g": true, "IU/ml": true, "IU/mL": true,
	"s": true, "min": true, "h": true, "d": true, "€": true, "£": true, "$": true, "zł": true, "Kč": true,
	"мл": true, "мг": true, "мкг": true, "г": true, "кг": true, "мм": true, "см": true, "мин": true, "ч": true,
	"ЕД": true, "МЕ": true, "мкл": true, "л": true, "хв": true, "год": true, "₽": true, "₴": true,
	"мг/мл": true, "мг/кг": true, "λ": true, "χλστ": true, "γρ": true,
	"مل": true, "ملغ": true, "مغ": true, "ملم": true, "سم": true, "غ": true, "كغ": true, "٪": true,
	"ملی": true, "میلی": true, "گرم": true, "مم": true, "ملی\u200cلیتر": true,
	"מ״ל": true, "מ\"ל": true, "מ״ג": true, "מ\"ג": true, "ק״ג": true, "ק\"ג": true, "מ״מ": true, "ס״מ": true,
	"मिली": true, "मि॰ली॰": true, "मिग्रा": true, "ग्रा": true, "मिमी": true, "সেমি": true, "মিলি": true,
	"মিগ্রা": true, "মিমি": true, "மிலி": true, "மி.லி": true, "மிகி": true, "மி.கி": true, "மிமீ": true,
	"มล": true, "มล.": true, "มก": true, "มก.": true, "มม": true, "ซม": true, "กก": true, "นาที": true,
	"毫升": true, "毫克": true, "克": true, "毫米": true, "厘米": true, "公克": true, "公分": true, "分钟": true,
	"分鐘": true, "小时": true, "小時": true, "天": true, "周": true, "週": true, "次": true,
}
