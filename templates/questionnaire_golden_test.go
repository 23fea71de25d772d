package templates_test

import (
	"testing"

	"philtrum/forms"
	"philtrum/forms/intake"
	"philtrum/forms/measure"
	"philtrum/forms/visit"
	"philtrum/templates"
)

// askedFacts is a visit with answers of every kind: ticked, written, dated, listed, unsure and not meant.
func askedFacts(t *testing.T) templates.Facts {
	t.Helper()
	form, problems := forms.Load(forms.Default, "lips")
	if len(problems) > 0 {
		t.Fatal(problems)
	}
	given := func(v forms.Value) forms.Answer {
		return forms.Answer{State: forms.Given, Value: v, At: at(12, 3, 18, 0)}
	}
	day, err := measure.ParsePartial("2026-11-27")
	if err != nil {
		t.Fatal(err)
	}
	f := plannedFacts(t)
	f.Intake = intake.Intake{Form: form, Answers: map[string]forms.Answer{
		"own_choice":    given(forms.Value{Kind: forms.YesNo, Yes: true}),
		"chaperone":     given(forms.Value{Kind: forms.YesNo}),
		"looks_worry":   {State: forms.Unsure, At: at(12, 3, 18, 0)},
		"pregnant":      given(forms.Value{Kind: forms.OneOf, Choice: "not_pregnant"}),
		"breastfeeding": given(forms.Value{Kind: forms.YesNo, NotApplicable: true}),
		"conditions":    given(forms.Value{Kind: forms.SomeOf, Choices: []string{"heart", "diabetes"}}),
		"prescribed":    given(forms.Value{Kind: forms.Medicines, Names: []string{"warfarin 3 mg", "ميتفورمين ٥٠٠"}}),
		"remedies":      given(forms.Value{Kind: forms.Medicines, Names: []string{}}),
		"vaccine":       given(forms.Value{Kind: forms.YesNo, Yes: true}),
		"vaccine_date":  given(forms.Value{Kind: forms.DateKind, Date: day}),
	}}
	return f
}

// The questionnaire asks what its golden file says in each of its three forms: by pen, on a screen, with its answers.
func TestQuestionnaireIsAsReviewed(t *testing.T) {
	pen := askedFacts(t)
	pen.Intake.Answers = nil
	screen := pen
	screen.Issue.Screen = true
	filled := askedFacts(t)
	filled.Issue.Filled = true
	dissolving := pen
	dissolving.Visit.Kind = visit.Dissolving
	for golden, c := range map[string]struct {
		facts templates.Facts
		tag   string
	}{
		"questionnaire_pen":        {pen, "en"},
		"questionnaire_screen":     {screen, "es"},
		"questionnaire_filled":     {filled, "en"},
		"questionnaire_dissolving": {dissolving, "en"},
	} {
		asReviewed(t, golden+".txt", compose(t, "questionnaire", c.facts, c.tag).Dump())
	}
}
