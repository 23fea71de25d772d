package templates_test

import (
	"slices"
	"strings"
	"testing"

	"philtrum/templates"
	"philtrum/templates/layout"
)

// labels are the prompts of a signature, in order.
func labels(b *layout.Signature) (all []string) {
	for _, f := range b.Fields {
		all = append(all, said(f.Label))
	}
	return all
}

func said(spans []layout.Span) string {
	var b strings.Builder
	for _, s := range spans {
		b.WriteString(s.Text)
	}
	return b.String()
}

// What the visit does not say of an interpreter has a line to write on; why nobody interprets is asked only where
// nobody is recorded.
func TestInterpreterStatement(t *testing.T) {
	for _, kind := range []string{"consent", "consent-dissolving"} {
		for _, attending := range []bool{false, true} {
			f := heldFacts(t)
			f.Visit.Interpreter = nil
			f.Patient.Interpreter.Needed = true
			if attending {
				f.Visit.Interpreter = attends()
			}
			var got []string
			for _, b := range blocksOf(compose(t, kind, f, "en")) {
				if s, ok := b.(*layout.Signature); ok && s.ID == "interpreter" {
					got = labels(s)
				}
			}
			want := []string{"Interpreter's signature", "Date and time", "Name", "Number or service", "Role or post",
				"Language", "Dialect, if it matters", "Qualified interpreter", "In person, by telephone or by video",
				"The patient agrees to this interpreter (initials)", "Time, from and to"}
			if !attending {
				want = append(want, "If nobody interprets, the reason")
			}
			if !slices.Equal(got, want) {
				t.Errorf("%s, attending %v:\n%q, want\n%q", kind, attending, got, want)
			}
		}
	}
}

// A translator says how they worked and with which languages; of texts in the source language there is nothing to
// say of that. Both kinds end some day.
func TestStatementsOfARevision(t *testing.T) {
	english := printer(t, "en")
	method, err := english.Text("revision.prompt.method", nil)
	if err != nil {
		t.Fatal(err)
	}
	for target, want := range map[string][][]string{
		"es": {
			{"Signature", "Date", "Name", "Qualification", "Native and working languages",
				method, "Translation back: number or place of filing"},
			{"Signature", "Date", "Name", "Qualification", "Native and working languages", "To be revised again by (date)"},
		},
		"en": {{"Signature", "Date", "Name", "Qualification"}, {"Signature", "Date", "Name", "Qualification", "To be revised again by (date)"}},
	} {
		doc, problems := templates.ComposeRevision(load(t, "summary"), templates.SheetName("record", "A4"), templates.Revision{
			Printer: english, Clinic: plannedFacts(t).Clinic, Source: english.Language(), Target: printer(t, target).Language()})
		if len(problems) > 0 {
			t.Fatal(problems)
		}
		var got [][]string
		for _, b := range doc.Blocks {
			if s, ok := b.(*layout.Signature); ok {
				got = append(got, labels(s))
			}
		}
		if !slices.EqualFunc(got, want, slices.Equal) {
			t.Errorf("%s:\n%q, want\n%q", target, got, want)
		}
	}
}
