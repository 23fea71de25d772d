package templates_test

import (
	"io/fs"
	"strings"
	"testing"

	"philtrum/forms/source"
	"philtrum/locales"
	"philtrum/locales/readability"
	"philtrum/templates"
	"philtrum/templates/layout"
)

// sentencesOf are the running texts, list lines and dated lines of a paper; labels, tables, values and
// furniture are scored apart from them, as lists move scores when they are joined.
func sentencesOf(doc layout.Document) string {
	var b strings.Builder
	add := func(spans []layout.Span) {
		var line strings.Builder
		for _, s := range spans {
			if s.Blank == 0 {
				line.WriteString(s.Text)
			}
		}
		if text := strings.TrimSpace(line.String()); text != "" {
			b.WriteString(text)
			if !strings.ContainsAny(text[len(text)-1:], ".?!:") {
				b.WriteString(".")
			}
			b.WriteString("\n")
		}
	}
	for _, block := range blocksOf(doc) {
		switch block := block.(type) {
		case *layout.Paragraph:
			if block.Role != layout.RoleSmall && block.Role != layout.RoleNumber {
				add(block.Text)
			}
		case *layout.List:
			for _, i := range block.Items {
				add(i.Text)
			}
		case *layout.Dated:
			for _, i := range block.Items {
				for _, text := range i.Texts {
					add(text)
				}
			}
		case *layout.Choices:
			for _, c := range block.Items {
				add(c.Text)
			}
		case *layout.Signature:
			add(block.Meaning)
		}
	}
	return b.String()
}

// The papers of patients can be read at the age of 12: Flesch–Kincaid grade 6 at most over a paper
// (AMA and NIH advice for patient materials), the words that a paper has to use and explains counted in.
func TestPatientPapersAreEasyToRead(t *testing.T) {
	for _, name := range papers {
		if !load(t, name).ForPatient() {
			continue
		}
		for when, f := range map[string]templates.Facts{"before": plannedFacts(t), "after": treatedFacts(t)} {
			r := readability.Score("en", sentencesOf(compose(t, name, f, "en")), nil)
			if r.Score > 6 {
				t.Errorf("%s %s: %s %.1f; hardest: %v", name, when, r.Formula, r.Score, r.Worst)
			}
			t.Logf("%s %s: %s %.2f over %d words", name, when, r.Formula, r.Score, r.Words)
		}
	}
}

// What a patient is told when a treatment has to wait is as easy to read, and nobody stops a medicine for it.
func TestWhatPatientsAreToldIsEasyToRead(t *testing.T) {
	data, err := fs.ReadFile(locales.Default, "en/rule.yaml")
	if err != nil {
		t.Fatal(err)
	}
	root, problems := source.Parse("en/rule.yaml", data)
	if len(problems) > 0 {
		t.Fatal(problems)
	}
	var all strings.Builder
	for _, k := range root.Keys {
		if !strings.HasSuffix(k.Name, ".tell") {
			continue
		}
		all.WriteString(k.Value.Text + "\n")
		for _, word := range []string{"stop ", "do not take", "skip", " mg", "the patient", "safe"} {
			if strings.Contains(strings.ToLower(k.Value.Text), word) {
				t.Errorf("%s says %q", k.Name, word)
			}
		}
	}
	if r := readability.Score("en", all.String(), nil); r.Words < 200 || r.Score > 6 {
		t.Errorf("%s %.1f over %d words; hardest: %v", r.Formula, r.Score, r.Words, r.Worst)
	}
}
