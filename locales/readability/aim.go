package readability

// Aim is what a paper for patients has to reach in a language. Papers for patients are for a reading age of 12
// (advice of AMA and NIH for patient materials: sixth grade at most).
type Aim struct {
	Formula   string  // an id of [Formulas]
	Paper     float64 // over a paper: the highest grade, or the lowest ease
	Paragraph float64 // over any paragraph; 0 none is set
}

var aims = map[string]Aim{
	"en": {"flesch-kincaid", 6, 8},
	"es": {"fernandez-huerta", 70, 0},
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
