package templates_test

import (
	"io/fs"
	"strings"
	"testing"

	"philtrum/forms/measure"
	"philtrum/forms/screen"
	"philtrum/forms/source"
	"philtrum/locales"
	"philtrum/locales/readability"
	"philtrum/templates"
	"philtrum/templates/layout"
)

// easyInSpanish is "fairly easy" on the scale of Fernández Huerta (1959), about 12 years of age.
const easyInSpanish = 70

// composeShipped composes with the words that ship, the clinic's language being the paper's.
func composeShipped(t testing.TB, name string, f templates.Facts, tag string) layout.Document {
	t.Helper()
	c, err := locales.Load(locales.Default)
	if err != nil {
		t.Fatal(err)
	}
	p := tongue(t, c, tag)
	doc, problems := templates.Compose(templates.Paper{Kind: name, Template: load(t, name), Printer: p, Clinic: p, Facts: f})
	for _, p := range problems {
		t.Fatalf("%s: %s %v", name, p.ID, p.Args)
	}
	return doc
}

// ofTheRules is what the rules that ship have found: a dated wait, an undated one and, where asked for, a stop.
func ofTheRules(f templates.Facts, stopped bool) templates.Facts {
	day := measure.Date{Year: 2026, Month: 12, Day: 20}
	f.Report = screen.Report{Held: true, Earliest: day, Findings: []screen.Finding{
		{Rule: "vaccine.past", Outcome: "recent", Level: screen.Wait, Until: day,
			Adds: screen.Adds{Consent: []string{"rule.risk.vaccine_swelling"}, Aftercare: []string{"rule.care.vaccine"}}},
		{Rule: "infection.general", Outcome: "present", Level: screen.Wait, Condition: true,
			Adds: screen.Adds{Consent: []string{"rule.risk.late_swelling"}, Aftercare: []string{"rule.care.late_lump"}}},
	}}
	if stopped {
		f.Report.Findings = append(f.Report.Findings, screen.Finding{Rule: "allergy.filler", Outcome: "known", Level: screen.Stop})
	}
	return f
}

// scoreSpanish rates by Fernández Huerta's formula, with the hardest sentences.
func scoreSpanish(text string) readability.Result {
	r := readability.Score("es", text, nil)
	for _, f := range readability.Formulas {
		if f.ID == "fernandez-huerta" {
			r.Formula, r.Score = f.ID, f.Of(r.Counts)
		}
	}
	return r
}

// The papers of patients can be read in Spanish at the age of 12.
func TestPatientPapersAreEasyToReadInSpanish(t *testing.T) {
	for _, name := range papers {
		if !load(t, name).ForPatient() {
			continue
		}
		for when, f := range map[string]templates.Facts{
			"before": plannedFacts(t), "after": treatedFacts(t),
			"held": ofTheRules(plannedFacts(t), false), "stopped": ofTheRules(plannedFacts(t), true),
		} {
			r := scoreSpanish(sentencesOf(composeShipped(t, name, f, "es")))
			if r.Score < easyInSpanish {
				t.Errorf("%s %s: %s %.1f; hardest: %v", name, when, r.Formula, r.Score, r.Worst)
			}
			t.Logf("%s %s: %s %.1f over %d words", name, when, r.Formula, r.Score, r.Words)
		}
	}
}

// What rules tell a patient, add to a consent and to the aftercare is as easy to read in Spanish.
func TestWhatRulesSayToPatientsIsEasyToReadInSpanish(t *testing.T) {
	for _, of := range []struct {
		what string
		is   func(id string) bool
	}{
		{"told", func(id string) bool { return strings.HasSuffix(id, ".tell") }},
		{"risks", func(id string) bool { return strings.HasPrefix(id, "rule.risk.") }},
		{"care", func(id string) bool { return strings.HasPrefix(id, "rule.care.") }},
	} {
		r := scoreSpanish(textsOf(t, "es/rule.yaml", of.is))
		if r.Words < 200 || r.Score < easyInSpanish {
			t.Errorf("%s: %s %.1f over %d words; hardest: %v", of.what, r.Formula, r.Score, r.Words, r.Worst)
		}
		t.Logf("%s: %s %.1f over %d words", of.what, r.Formula, r.Score, r.Words)
	}
}

// textsOf are the plain texts of a file whose ids pass.
func textsOf(t *testing.T, name string, is func(id string) bool) string {
	t.Helper()
	data, err := fs.ReadFile(locales.Default, name)
	if err != nil {
		t.Fatal(err)
	}
	root, problems := source.Parse(name, data)
	if len(problems) > 0 {
		t.Fatal(problems)
	}
	var all strings.Builder
	for _, k := range root.Keys {
		if is(k.Name) {
			all.WriteString(k.Value.Text + "\n")
		}
	}
	return all.String()
}

// Where something forbids the treatment, the letter names no day and does not call it a wait.
func TestAStoppedTreatmentIsNotCalledAWait(t *testing.T) {
	for tag, waits := range map[string][]string{"en": {"has to wait", "planned again", "2026"}, "es": {"esperar", "volver a dar cita", "2026"}} {
		f := ofTheRules(plannedFacts(t), true)
		text := sentencesOf(composeShipped(t, "deferral", f, tag))
		for _, block := range blocksOf(composeShipped(t, "deferral", f, tag)) {
			if title, ok := block.(*layout.Title); ok {
				for _, s := range title.Text {
					text += s.Text
				}
			}
		}
		for _, word := range waits {
			if strings.Contains(text, word) {
				t.Errorf("%s: says %q:\n%s", tag, word, text)
			}
		}
		if waiting := sentencesOf(composeShipped(t, "deferral", ofTheRules(plannedFacts(t), false), tag)); !strings.Contains(waiting, "2026") {
			t.Errorf("%s: names no day for a wait:\n%s", tag, waiting)
		}
	}
}
