package screen_test

import (
	"testing"
	"time"

	"philtrum/forms/clinic"
	"philtrum/forms/measure"
	"philtrum/forms/screen"
	"philtrum/forms/source"
	"philtrum/forms/visit"

	"github.com/google/go-cmp/cmp"
)

func answers(t testing.TB, text string) *source.Node {
	t.Helper()
	n, problems := source.Parse("", []byte(text))
	if len(problems) > 0 {
		t.Fatal(problems)
	}
	return n
}

// decide records a decision on the first finding of a rule, as it stands.
func decide(t testing.TB, rules *screen.Rules, f *fixture, rule, by, when string) screen.Report {
	t.Helper()
	for _, found := range rules.Evaluate(f.ready(t)).Findings {
		if found.Rule == rule {
			f.Visit.Decisions = append(f.Visit.Decisions, visit.Decision{
				Rule: rule, Outcome: found.Outcome, Digest: found.Digest, Reason: "seen and talked over", By: by, At: at(when),
				Saw: "in_person", SawAt: at(when),
			})
		}
	}
	return rules.Evaluate(f.ready(t))
}

func TestDecisionsCountOnlyByTheirRoleOnTheirDay(t *testing.T) {
	rules := load(t)
	for _, c := range []struct {
		name, answers, rule, by string
		held                    bool
		why                     screen.VoidWhy
	}{
		{"injector on an ordinary rule", "{hopes_unreal: yes}", "mind.expectation", "ann", false, ""},
		{"prescriber on an ordinary rule", "{hopes_unreal: yes}", "mind.expectation", "bob", false, ""},
		{"front desk", "{hopes_unreal: yes}", "mind.expectation", "cyd", true, screen.VoidRole},
		{"nobody", "{hopes_unreal: yes}", "mind.expectation", "eve", true, screen.VoidPerson},
		{"left before", "{hopes_unreal: yes}", "mind.expectation", "dot", true, screen.VoidRole},
		{"injector on a prescriber's rule", "{cold_sores: yes, cold_sores_often: no, cold_sores_trigger: no, cold_sores_last: 2020}", "cold_sore.history", "ann", true, screen.VoidRole},
		{"prescriber on it", "{cold_sores: yes, cold_sores_often: no, cold_sores_trigger: no, cold_sores_last: 2020}", "cold_sore.history", "bob", false, ""},
		{"a custom wait", "{vaccine: yes, vaccine_date: 2026-12-01}", "vaccine.past", "ann", false, ""},
		{"a medical wait", "{dental: yes, dental_kind: invasive, dental_date: 2026-12-01}", "dental.past", "bob", true, ""},
		{"a stop", "{pregnant: pregnant}", "pregnancy.known", "bob", true, ""},
		{"unknown that could be a stop", "{pregnant: unsure}", "pregnancy.known", "bob", true, ""},
		{"unknown that could not", "{hopes_unreal: unsure}", "mind.expectation", "ann", false, ""},
	} {
		f := healthy(t)
		f.apply(t, answers(t, c.answers))
		report := decide(t, rules, f, c.rule, c.by, "2026-12-04 13:00")
		if report.Held != c.held {
			t.Errorf("%s: held %v", c.name, report.Held)
		}
		for _, found := range report.Findings {
			if found.Rule == c.rule && found.VoidWhy != c.why {
				t.Errorf("%s: void because %q, want %q", c.name, found.VoidWhy, c.why)
			}
		}
	}
}

// A prescriber's decision says how and when they saw the patient, and no later than they decided.
func TestAPrescribersDecisionSaysHowTheySawThePatient(t *testing.T) {
	rules := load(t)
	for _, c := range []struct {
		saw, when string
		counts    bool
	}{
		{"video", "2026-12-04 12:30", true}, {"in_person", "2026-12-04 13:00", true},
		{"", "2026-12-04 12:30", false}, {"video", "", false}, {"video", "2026-12-04 13:01", false},
	} {
		f := healthy(t)
		f.apply(t, answers(t, "{cold_sores: yes, cold_sores_often: no, cold_sores_trigger: no, cold_sores_last: 2020}"))
		decide(t, rules, f, "cold_sore.history", "bob", "2026-12-04 13:00")
		d := &f.Visit.Decisions[0]
		d.Saw, d.SawAt = c.saw, time.Time{}
		if c.when != "" {
			d.SawAt = at(c.when)
		}
		found := find(rules.Evaluate(f.ready(t)), "cold_sore.history", "known", false)
		if (found.Decided != nil) != c.counts || (found.VoidWhy == screen.VoidUnseen) == c.counts {
			t.Errorf("%q at %q: %+v", c.saw, c.when, found)
		}
	}
}

func TestADecisionIsVoidOnceItsAnswersChange(t *testing.T) {
	rules := load(t)
	f := healthy(t)
	f.apply(t, answers(t, "{prescribed: [clopidogrel 75 mg]}"))
	if decide(t, rules, f, "antiplatelet.prescribed", "ann", "2026-12-04 13:00").Held {
		t.Fatal("held after the decision")
	}
	f.set("smoking", source.Text("yes"))
	if rules.Evaluate(f.ready(t)).Held {
		t.Error("an answer that it did not judge voids it")
	}
	f.apply(t, answers(t, "{prescribed: [clopidogrel 75 mg, ramipril]}"))
	report := rules.Evaluate(f.ready(t))
	found := find(report, "antiplatelet.prescribed", "taken", false)
	if !report.Held || found.Decided != nil || found.Voided == nil || found.VoidWhy != screen.VoidAnswers {
		t.Errorf("%+v", found)
	}
}

func TestConditionsEndUndatedWaits(t *testing.T) {
	rules := load(t)
	f := healthy(t)
	f.apply(t, answers(t, "{sore_skin: yes}"))
	found := find(rules.Evaluate(f.ready(t)), "infection.site", "present", false)
	met := visit.Condition{Rule: found.Rule, Outcome: found.Outcome, Digest: found.Digest, By: "ann", At: at("2026-12-04 13:00")}
	f.Visit.Met = []visit.Condition{met}
	if rules.Evaluate(f.ready(t)).Held {
		t.Error("held although the condition is met")
	}
	f.Visit.Met[0].By = "cyd"
	if !rules.Evaluate(f.ready(t)).Held {
		t.Error("the front desk ended a medical wait")
	}
	f.Visit.Met[0] = met
	f.Visit.Met[0].Digest = "of other answers"
	if !rules.Evaluate(f.ready(t)).Held {
		t.Error("a condition of other answers counts")
	}
}

func TestWhenTheConsentMayBePrinted(t *testing.T) {
	rules := load(t)
	for _, c := range []struct {
		name, answers string
		may           bool
	}{
		{"nothing found", "{}", true},
		{"stop", "{pregnant: pregnant}", false},
		{"stop, blank", "{pregnant: blank}", false},
		{"stop, never asked", "{pregnant: none}", false},
		{"stop, unsure becomes a box", "{pregnant: unsure}", true},
		{"undated wait becomes a box", "{sore_skin: yes}", true},
		{"decide becomes a box", "{hopes_unreal: yes}", true},
		{"dated wait", "{vaccine: yes, vaccine_date: 2026-12-01}", false},
		{"wait, never asked, becomes a box", "{sore_skin: none}", true},
		{"decide, blank, becomes a box", "{hopes_unreal: blank}", true},
		{"permanent filler somewhere unsure", "{filler_before: yes, dissolved: no, fillers: unsure}", true},
		{"permanent filler not asked", "{filler_before: none}", false},
	} {
		f := healthy(t)
		for _, k := range answers(t, c.answers).Keys {
			f.set(k.Name, nil)
			if k.Value.Text != "none" {
				f.set(k.Name, k.Value)
			}
		}
		may, against := rules.Evaluate(f.ready(t)).MayPrintConsent()
		if may != c.may || may == (len(against) > 0) {
			t.Errorf("%s: %v %v", c.name, may, against)
		}
	}
}

// Asked the day before, what must be asked on the day is a box, not a refusal; asked long ago it is open.
func TestShelfLives(t *testing.T) {
	rules := load(t)
	f := healthy(t)
	f.Visit.Answered.At = at("2026-12-03 12:00")
	report := rules.Evaluate(f.ready(t))
	found := find(report, "pregnancy.known", "pregnant", true)
	if found == nil || found.Missing[0].Why != screen.Outlived || !report.Held {
		t.Errorf("yesterday's answer counts: %+v", found)
	}
	if may, against := report.MayPrintConsent(); !may {
		t.Errorf("the consent may not be printed the day before: %v", against)
	}
	f = healthy(t)
	f.Visit.Answered.At = at("2025-12-03 12:00")
	if find(rules.Evaluate(f.ready(t)), "allergy.filler", "known", true) == nil {
		t.Error("an answer of 366 days ago counts")
	}
	// Midnight is the clinic's, not Greenwich's.
	f = healthy(t)
	f.Visit.Appointment = at("2026-07-01 00:30")
	f.Visit.Answered.At = at("2026-07-01 00:10")
	f.Visit.Handed[0].At = at("2026-06-01 10:00")
	if find(rules.Evaluate(f.ready(t)), "pregnancy.known", "pregnant", true) != nil {
		t.Error("twenty minutes are two days")
	}
}

func TestTheLatestWaitSetsTheDate(t *testing.T) {
	report := evaluate(t, load(t), answers(t, "{vaccine: yes, vaccine_date: 2026-12-01, dental: yes, dental_kind: invasive, dental_date: 2026-11-30}"))
	if report.Earliest != date(t, "2026-12-28") || report.HeldBy != "dental.past" {
		t.Errorf("%v by %s", report.Earliest, report.HeldBy)
	}
}

// Moved to another day, the answers of the day are asked anew, and the date that they told still holds.
func TestAMovedVisitKeepsTheDatesOfItsAnswers(t *testing.T) {
	rules := load(t)
	for _, c := range []struct{ day, earliest, by string }{
		{"2026-12-04", "2026-12-18", "dental.past"}, {"2026-12-14", "2026-12-18", "dental.past"},
		{"2026-12-17", "2026-12-18", "dental.past"}, {"2026-12-18", "", ""}, {"2027-03-01", "", ""},
	} {
		f := healthy(t)
		f.apply(t, answers(t, "{vaccine: yes, vaccine_date: 2026-11-27, dental: yes, dental_kind: invasive, dental_date: 2026-11-20}"))
		f.Visit.Appointment = at(c.day + " 14:30")
		report := rules.Evaluate(f.ready(t))
		got := ""
		if !report.Earliest.IsZero() {
			got = report.Earliest.String()
		}
		if got != c.earliest || report.HeldBy != c.by || !report.Held {
			t.Errorf("on %s: %q by %s, held %v", c.day, got, report.HeldBy, report.Held)
		}
	}
}

// A partial date counts at its least favourable end: the past one as late as it can be, the planned one as
// early and as late as it can be.
func TestPartialDatesCountAtTheirLeastFavourableEnd(t *testing.T) {
	rules := load(t)
	for text, until := range map[string]string{
		"{vaccine: yes, vaccine_date: 2026-11}":                "2026-12-14",
		"{vaccine: yes, vaccine_date: 2026-12}":                "2026-12-18",
		"{vaccine: yes, vaccine_date: 2026}":                   "2026-12-18",
		"{vaccine: yes, vaccine_date: 2026-10}":                "",
		"{vaccine_ahead: yes, vaccine_ahead_date: 2026-12}":    "2027-01-14",
		"{vaccine_ahead: yes, vaccine_ahead_date: 2027-01}":    "",
		"{vaccine_ahead: yes, vaccine_ahead_date: 2026-12-02}": "2026-12-16",
	} {
		report := evaluate(t, rules, answers(t, text))
		if until == "" {
			if report.Held {
				t.Errorf("%s holds", text)
			}
			continue
		}
		if report.Earliest != date(t, until) {
			t.Errorf("%s holds until %v, want %s", text, report.Earliest, until)
		}
	}
}

func TestTheClinicsOwnTreatmentsAreFacts(t *testing.T) {
	rules := load(t)
	f := healthy(t)
	f.Earlier = []visit.Visit{{
		ID: "v0", Kind: visit.Treatment, Appointment: at("2026-11-20 10:00"),
		Treatment: &visit.Given{Start: at("2026-11-20 10:10"), Rows: []visit.Row{{Zone: "UL-VB", Product: "other"}}},
	}}
	report := rules.Evaluate(f.ready(t))
	found := find(report, "filler.same", "recent", false)
	if found == nil || found.Zone != "upper_lip" || found.Until != date(t, "2026-12-18") {
		t.Fatalf("%+v", found)
	}
	f.Visit.Plan.Zones = []string{"CHIN"}
	if find(rules.Evaluate(f.ready(t)), "filler.same", "recent", false) != nil {
		t.Error("filler of the upper lip holds the chin")
	}
	f.Visit.Plan.Zones = []string{"LIPS"}
	f.Stock = clinic.Stock{}
	if find(rules.Evaluate(f.ready(t)), "filler.not_known", "in_zone", false) == nil {
		t.Error("a product that is no longer on the list counts as known")
	}
}

func TestNothingStandsBeforeEmergencyCare(t *testing.T) {
	rules := load(t)
	for _, kind := range []string{"emergency", "complication", "call"} {
		f := healthy(t)
		f.fact(t, "kind", kind)
		f.apply(t, answers(t, "{allergies: [hyaluronidase], severe_allergy: unsure}"))
		f.Patient.Born = date(t, "2012-01-01")
		report := rules.Evaluate(f.ready(t))
		if report.Held || !report.Earliest.IsZero() {
			t.Errorf("%s is held", kind)
		}
		if find(report, "emergency.hyaluronidase", "known", false) == nil {
			t.Errorf("%s does not tell of the allergy", kind)
		}
	}
}

func TestSeveralThinnersRaiseTheStrongerRule(t *testing.T) {
	rules := load(t)
	for text, raised := range map[string]bool{
		"{prescribed: [clopidogrel, aspirin]}":               true,
		"{prescribed: [clopidogrel], own_medicines: [ASA]}":  true,
		"{prescribed: [apixaban], own_medicines: [aspirin]}": true,
		"{prescribed: [warfarin, enoxaparin]}":               true,
		"{prescribed: [clopidogrel, Clopidogrel 75]}":        false,
		"{prescribed: [apixaban, ramipril]}":                 false,
	} {
		report := evaluate(t, rules, answers(t, text), answers(t, "{inr: 2.5, inr_date: 2026-12-04, inr_in_range: yes}"))
		if (find(report, "anticoagulant.combined", "several", false) != nil) != raised {
			t.Errorf("%s: %v", text, !raised)
		}
	}
}

func TestWhatIsNotRecognisedIsSaidWithSuggestions(t *testing.T) {
	found := find(evaluate(t, load(t), answers(t, "{prescribed: [warfrin 3 mg, ramipril]}")), "medicine.not_recognised", "found", false)
	if found == nil || len(found.Unrecognised) != 1 || found.Unrecognised[0].Suggestions[0] != "warfarin" {
		t.Errorf("%+v", found)
	}
}

func TestABlankListIsAskedForOnce(t *testing.T) {
	report := evaluate(t, load(t), answers(t, "{prescribed: blank}"))
	open := report.Unanswered()
	if len(open) != 1 || open[0].Question != "prescribed" || len(open[0].Rules) < 10 || open[0].CouldBe != screen.Wait {
		t.Errorf("%+v", open)
	}
}

// Lag (2021:363), Sweden: no new period within six months of a treatment of the same type.
func TestReflectionIsNotAskedTwiceWithinItsMonths(t *testing.T) {
	rules := load(t)
	for day, waits := range map[string]bool{"2026-06-04": false, "2026-06-03": true} {
		f := healthy(t)
		f.fact(t, "place", "SE")
		f.fact(t, "handed", "2026-12-03")
		f.Earlier = []visit.Visit{{
			ID: "v0", Kind: visit.Treatment, Appointment: at(day + " 10:00"),
			Treatment: &visit.Given{Start: at(day + " 10:00"), Rows: []visit.Row{{Zone: "UL-VB", Product: "other"}}},
		}}
		if got := find(rules.Evaluate(f.ready(t)), "reflection.sweden", "too_soon", false) != nil; got != waits {
			t.Errorf("treated on %s: waits %v", day, got)
		}
	}
}

// Information handed over in the visit that this one continues counts from that day.
func TestReflectionRunsFromTheVisitBefore(t *testing.T) {
	rules := load(t)
	f := healthy(t)
	f.fact(t, "place", "SE")
	f.Visit.Handed, f.Visit.After = nil, "v0"
	f.Earlier = []visit.Visit{{ID: "v0", Kind: visit.Consultation, Handed: []visit.Handed{{Paper: "information", At: at("2026-11-20 10:00")}}}}
	if rules.Evaluate(f.ready(t)).Held {
		t.Error("held although informed two weeks before")
	}
	f.Earlier[0].Handed[0].Paper = "aftercare"
	if find(rules.Evaluate(f.ready(t)), "reflection.sweden", "not_informed", false) == nil {
		t.Error("another paper counts as information")
	}
}

// What is settled hides nothing that stands behind it.
func TestASettledOutcomeDoesNotHideTheNext(t *testing.T) {
	rules := load(t)
	f := healthy(t)
	f.apply(t, answers(t, "{laser: yes, laser_healed: no, laser_date: 2026-11-30}"))
	found := find(rules.Evaluate(f.ready(t)), "skin.laser", "not_healed", false)
	f.Visit.Met = []visit.Condition{{Rule: found.Rule, Outcome: found.Outcome, Digest: found.Digest, By: "ann", At: at("2026-12-04 13:00")}}
	report := rules.Evaluate(f.ready(t))
	if find(report, "skin.laser", "recent", false) == nil || report.Earliest != date(t, "2026-12-14") {
		t.Errorf("held until %v", report.Earliest)
	}
	f = healthy(t)
	f.apply(t, answers(t, "{immune_conditions: [autoimmune], autoimmune_flare: yes}"))
	found = find(rules.Evaluate(f.ready(t)), "immune.autoimmune", "flare", false)
	f.Visit.Met = []visit.Condition{{Rule: found.Rule, Outcome: found.Outcome, Digest: found.Digest, By: "ann", At: at("2026-12-04 13:00")}}
	if report = rules.Evaluate(f.ready(t)); !report.Held || find(report, "immune.autoimmune", "known", false) == nil {
		t.Error("the end of a flare ends the decision on the disease")
	}
}

func TestNobodyNotesTheLawAway(t *testing.T) {
	rules := load(t)
	f := healthy(t)
	f.fact(t, "place", "SE")
	f.fact(t, "handed", "none")
	found := find(rules.Evaluate(f.ready(t)), "reflection.sweden", "not_informed", false)
	f.Visit.Met = []visit.Condition{{Rule: found.Rule, Outcome: found.Outcome, Digest: found.Digest, By: "bob", At: at("2026-12-04 13:00")}}
	if !decide(t, rules, f, "reflection.sweden", "bob", "2026-12-04 13:00").Held {
		t.Error("a note frees what the law holds")
	}
}

func TestFindingsAddMessages(t *testing.T) {
	f := find(evaluate(t, load(t), answers(t, "{prescribed: [apixaban]}")), "anticoagulant.direct", "taken", false)
	if diff := cmp.Diff(screen.Adds{
		Consent:   []string{"rule.risk.haematoma"},
		Aftercare: []string{"rule.care.pressure", "rule.care.no_nsaid", "rule.care.keep_taking"},
	}, f.Adds); diff != "" {
		t.Error(diff)
	}
}

// Whoever decides on cold sores reads how often they come: another answer is another decision.
func TestAnAnswerThatWasConsideredVoids(t *testing.T) {
	rules := load(t)
	f := healthy(t)
	f.apply(t, answers(t, "{cold_sores: yes, cold_sores_often: no, cold_sores_trigger: no, cold_sores_last: 2020}"))
	if decide(t, rules, f, "cold_sore.history", "bob", "2026-12-04 13:00").Held {
		t.Fatal("held after the decision")
	}
	f.set("cold_sores_often", source.Text("yes"))
	if !rules.Evaluate(f.ready(t)).Held {
		t.Error("a decision on rare cold sores counts for frequent ones")
	}
}

// Without a plan nobody knows whether lidocaine comes, and without a date of birth nobody is of age.
func TestMissingFactsAreUnknownToo(t *testing.T) {
	rules := load(t)
	f := healthy(t)
	f.apply(t, answers(t, "{allergies: [anaesthetic, bacteria]}"))
	f.Visit.Plan = visit.Plan{}
	report := rules.Evaluate(f.ready(t))
	for rule, fact := range map[string]string{"allergy.anaesthetic": "fact_lidocaine", "allergy.bacterial": "fact_product"} {
		found := find(report, rule, "product", true)
		if found == nil || found.CouldBe != screen.Stop || found.Missing[0].Question != fact {
			t.Errorf("%s: %+v", rule, found)
		}
	}
	if may, _ := report.MayPrintConsent(); may {
		t.Error("a consent may be printed before the plan")
	}
	f = healthy(t)
	f.Patient.Born = measure.Date{}
	if may, _ := rules.Evaluate(f.ready(t)).MayPrintConsent(); may {
		t.Error("a consent may be printed without a date of birth")
	}
	f = healthy(t)
	f.Patient.Speaks = ""
	if !rules.Evaluate(f.ready(t)).Held {
		t.Error("a language that nobody wrote down counts as the clinic's")
	}
}

// A follow-up that was answered although the question before it is unsure cannot count.
func TestAFollowUpDoesNotCountBeforeItsQuestion(t *testing.T) {
	f := healthy(t)
	f.apply(t, answers(t, "{vaccine: unsure, vaccine_date: 2020-01-01}"))
	found := find(load(t).Evaluate(f.ready(t)), "vaccine.past", "recent", true)
	if found == nil || len(found.Missing) != 1 || found.Missing[0] != (screen.Missing{Question: "vaccine", Why: screen.IsUnsure}) {
		t.Errorf("%+v", found)
	}
}
