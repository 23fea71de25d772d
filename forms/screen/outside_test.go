package screen_test

import (
	"testing"

	"philtrum/forms/screen"
)

// Checks against what others publish, the reference beside each. What nobody has read is no check: it only has to
// say so.
func TestAgainstWhatOthersPublish(t *testing.T) {
	rules := load(t)
	for _, c := range []struct {
		reference, answers string
		facts              map[string]string
		rule, outcome      string
		until              string // of a wait; "-" where nothing may be found
	}{
		// Botulinum Toxin and Cosmetic Fillers (Children) Act 2021 (2021 c. 19) s. 1: a person under the age of 18, in
		// England. Born on 4 December 2008 they are 18 on the day.
		{"2021 c. 19", "{}", map[string]string{"born": "2008-12-05"}, "age.england", "under_age", ""},
		{"2021 c. 19", "{}", map[string]string{"born": "2008-12-04"}, "age.england", "under_age", "-"},
		// FDA, Dermal Fillers (Soft Tissue Fillers): approved for adults of 22 years and older.
		{"FDA", "{}", map[string]string{"place": "US", "born": "2004-12-05"}, "age.young_adult", "not_approved", ""},
		{"FDA", "{}", map[string]string{"place": "US", "born": "2004-12-04"}, "age.young_adult", "not_approved", "-"},
		// Lag (2021:363), Sweden, read at second hand: two days from the information to the consent.
		{"2021:363", "{}", map[string]string{"place": "SE", "handed": "2026-12-03"}, "reflection.sweden", "too_soon", "2026-12-05"},
		{"2021:363", "{}", map[string]string{"place": "SE", "handed": "2026-12-02"}, "reflection.sweden", "too_soon", "-"},
		// ECMAScript Temporal, PlainDate.add with overflow "constrain": months end on the last day where the day is
		// missing. 2026-08-31 and 6 months are 2027-02-28; 2026-09-30 and 3 months are 2026-12-30.
		{"Temporal", "{lip_surgery: yes, lip_surgery_date: 2026-08-31}", nil, "lips.surgery", "recent", "2027-02-28"},
		{"Temporal", "{filler_before: yes, dissolved: no, fillers: [{area: upper_lip, product: hyaluronic, date: 2026-09-30, lumps: no, problem: [blocked_vessel]}]}",
			nil, "filler.occlusion", "recent", "2026-12-30"},
		// Br J Dermatol 2015, skin surgery: avoid at an INR above 3.5.
		{"BJD 2015", "{prescribed: [warfarin], inr: 3.51, inr_date: 2026-12-03, inr_in_range: yes}", nil, "anticoagulant.inr", "high", ""},
		{"BJD 2015", "{prescribed: [warfarin], inr: 3.5, inr_date: 2026-12-03, inr_in_range: yes}", nil, "anticoagulant.inr", "high", "-"},
	} {
		f := healthy(t)
		for name, value := range c.facts {
			f.fact(t, name, value)
		}
		f.apply(t, answers(t, c.answers))
		found := find(rules.Evaluate(f.ready(t)), c.rule, c.outcome, false)
		switch {
		case (found == nil) != (c.until == "-"):
			t.Errorf("%s: %s.%s found: %v", c.reference, c.rule, c.outcome, found != nil)
		case found != nil && c.until != "" && found.Until != date(t, c.until):
			t.Errorf("%s: %s until %v, want %s", c.reference, c.rule, found.Until, c.until)
		}
	}
}

// The length of Denmark's period was never read in the order of 2014: its rule says so.
func TestWhatNobodyReadSaysSo(t *testing.T) {
	for _, rule := range load(t).All() {
		if rule.ID == "reflection.denmark" && rule.Trust != "memory" {
			t.Errorf("%s is called %s", rule.ID, rule.Trust)
		}
		if rule.Source == "practice" && (rule.Trust == "read" || rule.Trust == "secondary") {
			t.Errorf("%s was read in no source", rule.ID)
		}
		for _, o := range rule.Outcomes {
			if o.Kind == screen.WaitLaw && rule.Trust == "practice" && rule.Row != "" {
				t.Errorf("%s calls practice law", rule.ID)
			}
		}
	}
}
