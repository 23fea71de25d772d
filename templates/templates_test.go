package templates_test

import (
	"testing"

	"philtrum/templates"
)

var papers = append([]string{"information", "consent", "record", "aftercare", "summary", "deferral", "questionnaire", "emergency_sheet", "letter"}, templates.Variants()...)

// Every paper that the program ships loads, and all its messages exist and ask for values that are there.
func TestShippedPapersAreProved(t *testing.T) {
	p := printer(t, "en")
	for _, name := range papers {
		tpl, problems := templates.Load(templates.Default, name)
		for _, problem := range problems {
			t.Errorf("%s: %v: %s %v", name, problem.Span, problem.ID, problem.Args)
		}
		if tpl == nil {
			continue
		}
		for _, problem := range tpl.Prove(p) {
			t.Errorf("%s: %v: %s %v", name, problem.Span, problem.ID, problem.Args)
		}
	}
}

// Every paper composes before and after a treatment without a problem.
func TestPapersCompose(t *testing.T) {
	p := printer(t, "en")
	for _, name := range papers {
		for when, facts := range map[string]templates.Facts{"before": plannedFacts(t), "after": treatedFacts(t), "nothing known": {}} {
			doc, problems := templates.Compose(templates.Paper{Kind: name, Template: load(t, name), Printer: p, Facts: facts})
			for _, problem := range problems {
				t.Errorf("%s %s: %s %v", name, when, problem.ID, problem.Args)
			}
			if len(doc.Blocks) == 0 {
				t.Errorf("%s %s is empty", name, when)
			}
		}
	}
}
