package clinic

import (
	"slices"
	"testing"

	"philtrum/forms/measure"
	"philtrum/forms/source"
)

func readGuide(t *testing.T, text string) (Guide, source.Problems) {
	t.Helper()
	node, problems := source.Parse("products.yaml", []byte(text))
	if len(problems) > 0 {
		t.Fatal(problems)
	}
	r := &source.Reader{}
	_, _, stock := Read(nil, nil, node, r)
	var own source.Problems
	for _, p := range r.Problems() {
		if p.Span.File != "" {
			own = append(own, p)
		}
	}
	return stock.Guide, own
}

// The example that a new clinic gets is read without a problem, and holds on no day until somebody adopts it.
func TestGuideOfANewClinicIsInactive(t *testing.T) {
	g, problems := readGuide(t, `
products: []
kit: []
guide:
  adopted:
  by:
  notes:
    - {tissue: lax, class: soft, note: guide.lax}
    - {zone: UL-VB, class: medium, note: our own words}
  volumes: {first_small: 0.2, usual: "0,8", ask_above: 1.0}
`)
	if len(problems) > 0 {
		t.Fatal(problems)
	}
	lead := []Person{{ID: "lead", Roles: []Role{RoleMedicalLead}, From: measure.Date{Year: 2020, Month: 1, Day: 1}}}
	day := measure.Date{Year: 2026, Month: 12, Day: 4}
	if g.Holds(day, lead) {
		t.Error("a guide that nobody adopted holds")
	}
	if len(g.Notes) != 2 || g.Notes[0].Tissue != "lax" || g.Volumes.Usual.String() != "0.8" || g.Volumes.AskAbove.String() != "1" {
		t.Errorf("%+v", g)
	}
	g.Adopted, g.By = day, "lead"
	if !g.Holds(day, lead) {
		t.Error("an adopted guide does not hold")
	}
}

func TestGuideIsReadStrictly(t *testing.T) {
	for text, want := range map[string]string{
		"guide: {notes: [{class: soft, note: a}]}":                             "problem.guide_note",
		"guide: {by: lead, notes: [{tissue: lax, class: soft, note: a}]}":      "problem.guide_adopted",
		"guide: {notes: [{tissue: flabby, class: soft, note: a}]}":             "problem.unknown_word",
		"guide: {notes: [{tissue: lax, class: soft}], volumes: {usual: much}}": "problem.number_form",
		"guide: {notes: [{tissue: lax, class: soft}], volumes: {most: 1.0}}":   "problem.unknown_key",
	} {
		_, problems := readGuide(t, text)
		if !slices.ContainsFunc(problems, func(p source.Problem) bool { return p.ID == want }) {
			t.Errorf("%s: %v, want %s", text, problems, want)
		}
	}
}
