package readability

// Aim is what a paper for patients has to reach in a language. Papers for patients are for a reading age of 12.
type Aim struct {
	Formula   string  // an id of [Formulas]
	Paper     float64 // over a paper: the highest grade, or the lowest ease
	Paragraph float64 // over any paragraph; 0 none is set
	Source    string
}

// aims are set only where somebody has published a level. French (Kandel and Moles), German (Bamberger and Vanecek,
// Amstad) and Polish (Gunning's index) have formulas without one for papers for patients; a level of English carried
// over to them would be made up. Arabic, Hindi and Chinese have no formula that is validated for texts like these.
var aims = map[string]Aim{
	"en": {"flesch-kincaid", 6, 8, "advice of AMA and NIH for patient materials: sixth grade at most; consent forms eighth"},
	"es": {"fernandez-huerta", 70, 0, "scale of Fernández Huerta 1959, fairly easy from 70, from memory"},
}

// AimOf is the aim of a language (a BCP 47 tag), if one is set.
func AimOf(language string) (Aim, bool) {
	a, ok := aims[baseOf(language)]
	return a, ok
}

// Met says whether a result over a paper reaches the aim.
func (a Aim) Met(r Result) bool {
	if r.Ease {
		return r.Score >= a.Paper
	}
	return r.Score <= a.Paper
}
