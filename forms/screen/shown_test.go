package screen_test

import (
	"testing"

	"philtrum/forms/screen"
)

// shown is a visit whose report somebody was shown, with other answers since.
func shown(t *testing.T, before, after string) (screen.Report, []string) {
	t.Helper()
	rules := load(t)
	f := healthy(t)
	f.apply(t, answers(t, before))
	f.Visit.Shown = rules.Evaluate(f.ready(t)).Shows(f.Case, at("2026-12-04 12:15"))
	f.apply(t, answers(t, after))
	report := rules.Evaluate(f.ready(t))
	if found := find(report, "answers.improved", "changed", false); found != nil {
		return report, found.Answers
	}
	return report, nil
}

func TestAnAnswerThatChangesAfterItsFindingWasShownIsDecided(t *testing.T) {
	for name, c := range map[string]struct {
		before, after string
		changed       string
	}{
		"to no":                         {"{pregnant: possible}", "{pregnant: not_pregnant}", "pregnant"},
		"without a trace in the file":   {"{tooth_trouble: yes}", "{tooth_trouble: no}", "tooth_trouble"},
		"a date":                        {"{vaccine: yes, vaccine_date: 2026-12-01}", "{vaccine_date: 2026-10-01}", "vaccine_date"},
		"to unsure":                     {"{smoking: yes}", "{smoking: unsure}", "smoking"},
		"confirmed":                     {"{smoking: yes}", "{smoking: yes}", ""},
		"an open question is answered":  {"{prescribed: [warfarin], inr: unsure, inr_date: 2026-12-03, inr_in_range: yes}", "{inr: 2.4}", ""},
		"an unsure answer becomes sure": {"{sore_skin: unsure}", "{sore_skin: no}", ""},
		"nothing was found":             {"{smoking: no}", "{smoking: yes}", ""},
	} {
		report, changed := shown(t, c.before, c.after)
		switch {
		case c.changed == "" && len(changed) > 0:
			t.Errorf("%s: %v count as changed", name, changed)
		case c.changed != "" && (len(changed) != 1 || changed[0] != c.changed || !report.Held):
			t.Errorf("%s: %v, held %v", name, changed, report.Held)
		}
	}
}

// Whoever is shown the same report twice learns nothing new, and a decision on a change stands until the
// answer changes again.
func TestWhatWasShownIsNotedOnce(t *testing.T) {
	rules := load(t)
	f := healthy(t)
	f.apply(t, answers(t, "{tooth_trouble: yes, smoking: yes}"))
	report := rules.Evaluate(f.ready(t))
	f.Visit.Shown = report.Shows(f.Case, at("2026-12-04 12:15"))
	if len(f.Visit.Shown) != 2 {
		t.Fatalf("%+v", f.Visit.Shown)
	}
	if again := rules.Evaluate(f.ready(t)).Shows(f.Case, at("2026-12-04 12:20")); len(again) > 0 {
		t.Errorf("noted again: %+v", again)
	}
	f.apply(t, answers(t, "{tooth_trouble: no}"))
	if decide(t, rules, f, "answers.improved", "ann", "2026-12-04 13:00").Held {
		t.Error("held after the decision")
	}
	f.apply(t, answers(t, "{smoking: no}"))
	if !rules.Evaluate(f.ready(t)).Held {
		t.Error("another change is covered by the first decision")
	}
}
