package templates

import "philtrum/forms/visit"

// variants are the papers that a kind of visit has of its own: for the user a record stays a record.
var variants = map[visit.Kind]map[string]string{
	visit.Dissolving: {
		"information": "information-dissolving", "consent": "consent-dissolving", "record": "record-dissolving",
		"aftercare": "aftercare-dissolving",
	},
	visit.Review:       {"record": "record-review"},
	visit.Complication: {"record": "record-complication"},
	visit.Call:         {"record": "record-complication"},
}

// Variant is the name of the template for a kind of paper at a kind of visit.
func Variant(paper string, kind visit.Kind) string {
	if own, ok := variants[kind][paper]; ok {
		return own
	}
	return paper
}

// Variants are the templates that only some kinds of visit have.
func Variants() []string {
	return []string{
		"information-dissolving", "consent-dissolving", "record-dissolving", "aftercare-dissolving", "record-review",
		"record-complication",
	}
}

// titles are the names of the papers that a kind of visit has of its own, as pages and documents carry them.
var titles = map[string]string{
	"information-dissolving": "dissolving.information.title", "consent-dissolving": "dissolving.consent.title",
	"adverse":           "adverse.title",
	"record-dissolving": "dissolving.record.title", "aftercare-dissolving": "dissolving.aftercare.title",
	"record-review": "review.title", "record-complication": "record.title_complication",
}

// titleOf is the message that names a kind of paper at a kind of visit; empty where it is the term for the kind.
func titleOf(paper string, kind visit.Kind) string {
	if paper == "record" && kind == visit.Call {
		return "record.title_call"
	}
	return titles[Variant(paper, kind)]
}
