package templates_test

import (
	"strings"
	"testing"

	"philtrum/forms/visit"
	"philtrum/templates"
)

// A sentence that is said to be in a language carries its name in every paper that is in another, the clinic's own
// included, is spoken in its own, and is not said twice where a paper is in two languages.
func TestTypedWordsInAThirdLanguage(t *testing.T) {
	catalogue := withArabic(t)
	const words = "Je voudrais retrouver mes lèvres d’avant."
	for _, c := range []struct {
		reader, with, in string
		interpreted      bool
		want             string
	}{
		{"en", "", "", false, ""},
		{"en", "", "fr", false, "(French)"},
		{"en", "", "fr-CA", true, "(French)"},
		{"es", "", "fr", false, "(francés)"},
		{"es", "", "fr", true, "(francés; explicado por el intérprete)"},
		{"es", "", "es-MX", true, ""},
		{"es", "en", "fr", false, "(francés)"},
		{"es", "en", "es", false, ""},
		{"es", "", "tlh", false, "(tlh)"},
	} {
		facts := plannedFacts(t)
		facts.Visit.Plan.Wish = words
		if c.in != "" {
			facts.Visit.WrittenIn = []visit.WrittenIn{{Where: "plan.wish", Language: c.in}}
		}
		if c.interpreted {
			facts.Visit.Interpreter = attends()
		}
		paper := templates.Paper{Kind: "information", Template: load(t, "information"), Printer: tongue(t, catalogue, c.reader),
			Clinic: tongue(t, catalogue, "en"), Facts: facts}
		if c.with != "" {
			paper.With = tongue(t, catalogue, c.with)
		}
		doc, problems := templates.Compose(paper)
		if len(problems) > 0 {
			t.Fatal(problems)
		}
		dump := doc.Dump()
		if n := strings.Count(dump, words); n != 1 {
			t.Errorf("%+v: the words stand there %d times", c, n)
		}
		_, line, _ := strings.Cut(dump, words)
		line, _, _ = strings.Cut(line, "\n")
		if c.want == "" && strings.ContainsAny(line, "()") || !strings.Contains(bare(line), c.want) {
			t.Errorf("%+v: %s", c, line)
		}
		if c.want != "" && !strings.Contains(line, "@"+c.in) {
			t.Errorf("%+v is not spoken in its language: %s", c, line)
		}
	}
}

// bare is what stands in quotes in the rest of a line of a dump that was cut inside them.
func bare(line string) string {
	var b strings.Builder
	for i, part := range strings.Split(line, `"`) {
		if i%2 == 0 {
			b.WriteString(part)
		}
	}
	return b.String()
}
