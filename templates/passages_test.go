package templates_test

import (
	"slices"
	"strings"
	"testing"

	"philtrum/locales"
	"philtrum/locales/readability"
	"philtrum/templates"
)

// written are the tags that have words to ship.
var written = []string{"en", "es"}

// Every paper for patients reaches the aim of its language over all that its template can print, in whichever
// state; in English no paragraph of what is carried home is beyond grade 8. Terms that a paper explains count as known, nothing else.
func TestAllThatPapersCanSayIsEasyToRead(t *testing.T) {
	for _, tag := range written {
		aim, ok := readability.AimOf(tag)
		if !ok {
			t.Errorf("%s has no aim", tag)
			continue
		}
		terms, err := locales.Glossary(locales.Default, tag)
		if err != nil {
			t.Fatal(err)
		}
		for _, name := range []string{"information", "consent", "aftercare", "card", "travel", "deferral", "questionnaire"} {
			all := load(t, name).Passages(printer(t, tag))
			exempt := templates.Explained(all, terms)
			r := readability.ByAim(tag, strings.Join(all, "\n"), exempt)
			if !aim.Met(r) {
				t.Errorf("%s %s: %s %.1f; hardest: %v", name, tag, r.Formula, r.Score, r.Worst)
			}
			t.Logf("%s %s: %s %.1f over %d words, known: %v", name, tag, r.Formula, r.Score, r.Words, exempt)
			for _, passage := range all {
				if !slices.Contains(carried, name) {
					break
				}
				if one := readability.ByAim(tag, passage, exempt); aim.Paragraph > 0 && one.Words > 7 && one.Score > aim.Paragraph {
					t.Errorf("%s %s: %.1f: %s", name, tag, one.Score, passage)
				}
			}
		}
	}
}

// A term counts as known only if the glossary explains it and the passage that uses it first says so.
func TestOnlyExplainedTermsAreExempt(t *testing.T) {
	terms := []locales.Term{
		{ID: "a", Use: "hyaluronidase", Explain: "a medicine that breaks down the filler"},
		{ID: "b", Use: "cannula"},
	}
	for _, c := range []struct {
		passages []string
		want     string
	}{
		{[]string{"We use Hyaluronidase, a medicine that breaks down the filler.", "Hyaluronidase has risks."}, "hyaluronidase"},
		{[]string{"Hyaluronidase has risks.", "We use hyaluronidase, a medicine that breaks down the filler."}, ""},
		{[]string{"A cannula is a thin blunt tube."}, ""},
		{[]string{"A medicine that breaks down the filler."}, ""},
	} {
		if got := strings.Join(templates.Explained(c.passages, terms), " "); got != c.want {
			t.Errorf("%q: %q is exempt, not %q", c.passages, got, c.want)
		}
	}
}

// Every alternative of a text is among the passages, whatever the facts of a visit would choose.
func TestPassagesHoldEveryAlternative(t *testing.T) {
	all := strings.Join(load(t, "aftercare").Passages(printer(t, "en")), "\n")
	for _, want := range []string{"Day or night, at any hour.", "We answer the telephone while the clinic is open.", "The times count from the end of the treatment.", "Times are those of the clinic.", "Ask today for the emergency number of the place where you are.", "Drink no alcohol.", "When you are out of danger, tell us."} {
		if !strings.Contains(all, want) {
			t.Errorf("no %q", want)
		}
	}
}
