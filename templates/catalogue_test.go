package templates_test

import (
	"io/fs"
	"strings"
	"testing"
	"testing/fstest"

	"philtrum/forms/measure"
	"philtrum/forms/screen"
	"philtrum/forms/visit"
	"philtrum/locales"
	"philtrum/templates"
)

// ruleTexts are the words of the rules of [heldFacts].
const ruleTexts = `
rule.sores: Cold sores
rule.sores.active: There is a cold sore now.
rule.sores.active.do: Wait until it has healed.
rule.bleeding: Bleeding
rule.bleeding.warfarin:
  text: "A medicine that thins the blood, INR not above {inr}."
  args: {inr: number}
rule.bleeding.warfarin.do: Decide whether to treat, and say why.
rule.vaccine: Vaccines
rule.vaccine.soon:
  one: A vaccine less than {days} day ago.
  other: A vaccine less than {days} days ago.
  args: {days: count}
rule.vaccine.soon.do: Choose a later day.
rule.dental: Dental work
rule.dental.soon: Dental work is near.
rule.dental.soon.do: Ask when it is.
risk.bleeding: You bruise more easily, because you take a medicine that thins the blood.
advice.sores: If you were given tablets against cold sores, take them as it says on the box.
`

// heldCatalogue is the program's catalogue in English and Spanish, with English words for the rules of [heldFacts] in
// both.
func heldCatalogue(t testing.TB) *locales.Catalogue {
	t.Helper()
	fsys := fstest.MapFS{}
	copied := func(name string) []byte {
		data, err := fs.ReadFile(locales.Default, name)
		if err != nil {
			t.Fatal(err)
		}
		return data
	}
	fsys["languages.yaml"] = &fstest.MapFile{Data: copied("languages.yaml")}
	files, err := fs.ReadDir(locales.Default, "en")
	if err != nil {
		t.Fatal(err)
	}
	for _, f := range files {
		if f.IsDir() || !strings.HasSuffix(f.Name(), ".yaml") {
			continue
		}
		for _, tag := range []string{"en", "es"} {
			fsys[tag+"/"+f.Name()] = &fstest.MapFile{Data: copied(tag + "/" + f.Name())}
		}
	}
	for _, tag := range []string{"en", "es"} {
		groups := map[string]*strings.Builder{}
		group := ""
		for _, line := range strings.SplitAfter(strings.TrimSpace(ruleTexts)+"\n", "\n") {
			if line != "" && line[0] != ' ' {
				group, _, _ = strings.Cut(line, ".")
			}
			if groups[group] == nil {
				groups[group] = &strings.Builder{}
			}
			groups[group].WriteString(line)
		}
		for name, text := range groups {
			fsys[tag+"/"+name+".yaml"] = &fstest.MapFile{Data: []byte(text.String())}
		}
	}
	c, err := locales.Load(fsys)
	if err != nil {
		t.Fatal(err)
	}
	return c
}

func tongue(t testing.TB, c *locales.Catalogue, tag string) *locales.Printer {
	t.Helper()
	p, err := c.Printer(tag)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

// heldFacts is a visit with one finding of each sort that a signing copy may still be printed with, and a
// decided one.
func heldFacts(t testing.TB) templates.Facts {
	t.Helper()
	f := plannedFacts(t)
	f.Patient.Interpreter = visit.Interpreter{Needed: true, Language: "es"}
	f.Patient.Reads = "none"
	f.OnTheDay = []string{"pregnant", "own_choice"}
	f.Report = screen.Report{Held: true, Findings: []screen.Finding{
		{Rule: "sores", Outcome: "active", Level: screen.Wait, WaitKind: screen.WaitMedical, Condition: true,
			Adds: screen.Adds{Aftercare: []string{"advice.sores"}}},
		{Rule: "bleeding", Outcome: "warfarin", Level: screen.Decide, Args: map[string]string{"inr": "3.5"},
			Adds: screen.Adds{Consent: []string{"risk.bleeding"}}},
		{Rule: "dental", Outcome: "soon", Level: screen.Decide, Unknown: true, CouldBe: screen.Wait,
			Missing: []screen.Missing{{Question: "breastfeeding", Why: screen.IsUnsure}}},
		{Rule: "vaccine", Outcome: "soon", Level: screen.Decide, Args: map[string]string{"days": "14"},
			Decided: &visit.Decision{Reason: "Given 13 days ago, no swelling.", By: "ines", At: at(12, 3, 9, 30)}},
		{Rule: "vaccine", Outcome: "soon", Level: screen.Wait, WaitKind: screen.WaitCustom, Until: measure.Date{Year: 2026, Month: 12, Day: 20},
			Args: map[string]string{"days": "14"}},
	}, Earliest: measure.Date{Year: 2026, Month: 12, Day: 20}}
	return f
}
