package readability

import "math"

// Formula is a published measure.
type Formula struct {
	ID       string
	Language string // base language
	Ease     bool   // a higher score is easier; otherwise a higher one is harder
	Source   string
	Of       func(Counts) float64
}

// asl is words per sentence.
func asl(c Counts) float64 { return ratio(c.Words, c.Sentences) }

// asw is syllables per word.
func asw(c Counts) float64 { return ratio(c.Syllables, c.Rated) }

// share is a percentage of the rated words.
func share(n int, c Counts) float64 { return 100 * ratio(n, c.Rated) }

func ratio(a, b int) float64 {
	if b == 0 {
		return 0
	}
	return float64(a) / float64(b)
}

// Formulas are all of them; the first of a language is the one that Score uses. They print the variant in
// their id, because variants of one name differ by several points.
var Formulas = []Formula{
	{"flesch-kincaid", "en", false, "Kincaid and others 1975", func(c Counts) float64 {
		return 0.39*asl(c) + 11.8*asw(c) - 15.59
	}},
	{"flesch", "en", true, "Flesch 1948", func(c Counts) float64 {
		return 206.835 - 1.015*asl(c) - 84.6*asw(c)
	}},
	{"smog", "en", false, "McLaughlin 1969, from memory; only a hint below 30 sentences", func(c Counts) float64 {
		return 1.0430*math.Sqrt(30*ratio(c.Three, c.Sentences)) + 3.1291
	}},
	{"fernandez-huerta", "es", true, "Fernández Huerta 1959, with words per sentence as corrected in use", func(c Counts) float64 {
		return 206.84 - 60*asw(c) - 1.02*asl(c)
	}},
	{"szigriszt", "es", true, "Szigriszt Pazos 1993, from memory", func(c Counts) float64 {
		return 206.835 - 62.3*asw(c) - asl(c)
	}},
	{"kandel-moles-a", "fr", true, "attributed to Kandel and Moles 1958, the form that programs use", func(c Counts) float64 {
		return 207 - 1.015*asl(c) - 73.6*asw(c)
	}},
	{"kandel-moles-b", "fr", true, "Kandel and Moles 1958 as cited elsewhere, from memory", func(c Counts) float64 {
		return 209 - 1.15*asl(c) - 68*asw(c)
	}},
	{"wiener-1", "de", false, "Bamberger and Vanecek 1984, from memory", func(c Counts) float64 {
		return 0.1935*share(c.Three, c) + 0.1672*asl(c) + 0.1297*share(c.Long, c) - 0.0327*share(c.One, c) - 0.875
	}},
	{"wiener-2", "de", false, "Bamberger and Vanecek 1984, from memory", func(c Counts) float64 {
		return 0.2007*share(c.Three, c) + 0.1682*asl(c) + 0.1373*share(c.Long, c) - 2.779
	}},
	{"wiener-3", "de", false, "Bamberger and Vanecek 1984, from memory", func(c Counts) float64 {
		return 0.2963*share(c.Three, c) + 0.1905*asl(c) - 1.1144
	}},
	{"wiener-4", "de", false, "Bamberger and Vanecek 1984, from memory", func(c Counts) float64 {
		return 0.2744*share(c.Three, c) + 0.2656*asl(c) - 1.693
	}},
	{"amstad", "de", true, "Amstad 1978", func(c Counts) float64 {
		return 180 - asl(c) - 58.5*asw(c)
	}},
	{"fog-pl", "pl", false, "Gunning's index with four syllables as the limit, as used for Polish", func(c Counts) float64 {
		return 0.4 * (asl(c) + share(c.Four, c))
	}},
}

// First is the formula that Score uses for a base language.
func First(language string) (Formula, bool) {
	for _, f := range Formulas {
		if f.Language == language {
			return f, true
		}
	}
	return Formula{}, false
}

// ByID finds a formula.
func ByID(id string) (Formula, bool) {
	for _, f := range Formulas {
		if f.ID == id {
			return f, true
		}
	}
	return Formula{}, false
}
