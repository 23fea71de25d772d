package screen_test

import (
	"slices"
	"testing"

	"philtrum/forms/screen"
	"philtrum/forms/visit"
)

// open says whether a finding of a rule holds the visit.
func open(r screen.Report, rule string) bool {
	for _, f := range r.Findings {
		if f.Rule == rule && f.Open() {
			return true
		}
	}
	return false
}

func TestAReviewThatTreatsIsJudgedAsATreatment(t *testing.T) {
	rules := load(t)
	for name, c := range map[string]struct {
		plan  visit.Plan
		given *visit.Given
		held  bool
	}{
		"zones":         {visit.Plan{Zones: []string{"UL"}}, nil, true},
		"planned rows":  {visit.Plan{Rows: []visit.Row{{Zone: "UL-VB"}}}, nil, true},
		"injected rows": {visit.Plan{}, &visit.Given{Rows: []visit.Row{{Zone: "UL-VB", Product: "other"}}}, true},
		"none":          {visit.Plan{}, nil, false},
	} {
		f := healthy(t)
		f.apply(t, answers(t, "{pregnant: pregnant}"))
		f.Visit.Kind, f.Visit.Plan, f.Visit.Treatment = visit.Review, c.plan, c.given
		report := rules.Evaluate(f.ready(t))
		if may, against := report.MayPrintConsent(); may || len(against) == 0 {
			t.Errorf("%s: a consent may be printed", name)
		}
		if open(report, "pregnancy.known") != c.held || report.Held != c.held {
			t.Errorf("%s: held %v", name, report.Held)
		}
		if find(report, "review.no_plan", "found", false) == nil != c.held {
			t.Errorf("%s: %+v", name, report.Findings)
		}
	}
}

// A healthy adult's review with a plan may get its consent.
func TestAReviewWithAPlanMayHaveAConsent(t *testing.T) {
	f := healthy(t)
	f.Visit.Kind = visit.Review
	if may, against := load(t).Evaluate(f.ready(t)).MayPrintConsent(); !may {
		t.Error(against)
	}
}

func TestAYesWithAnEmptyListIsABlank(t *testing.T) {
	rules := load(t)
	for text, rule := range map[string]string{
		"{filler_before: yes, fillers: []}":            "filler.permanent",
		"{strong_medicine: yes, strong_medicines: []}": "immune.checkpoint_past",
	} {
		report := evaluate(t, rules, answers(t, text))
		found := find(report, rule, "", true)
		if found == nil || found.Missing[0].Why != screen.IsBlank || !report.Held {
			t.Errorf("%s: %+v", text, found)
		}
	}
	if may, _ := evaluate(t, rules, answers(t, "{filler_before: yes, fillers: []}")).MayPrintConsent(); may {
		t.Error("a consent may be printed although permanent filler was not asked about")
	}
}

func TestLidocaineIsPlannedUnlessSaidOtherwiseOfAKnownProduct(t *testing.T) {
	rules := load(t)
	for name, c := range map[string]struct {
		plan          visit.Plan
		known, isStop bool
	}{
		"nothing said":            {visit.Plan{Zones: []string{"UL"}, Product: "other", By: "ann"}, false, false},
		"no, of no product":       {visit.Plan{Zones: []string{"UL"}, LidocaineSaid: true, By: "ann"}, false, false},
		"no, of a product gone":   {visit.Plan{Zones: []string{"UL"}, Product: "gone", LidocaineSaid: true}, false, false},
		"no, of a listed product": {visit.Plan{Zones: []string{"UL"}, Product: "other", LidocaineSaid: true}, true, false},
		"yes":                     {visit.Plan{Zones: []string{"UL"}, Lidocaine: true, LidocaineSaid: true}, true, true},
	} {
		f := healthy(t)
		f.apply(t, answers(t, "{allergies: [anaesthetic]}"))
		f.Visit.Plan = c.plan
		report := rules.Evaluate(f.ready(t))
		unknown := find(report, "allergy.anaesthetic", "product", true)
		if (unknown == nil) != c.known || (find(report, "allergy.anaesthetic", "product", false) != nil) != c.isStop {
			t.Errorf("%s: %+v", name, report.Findings)
		}
	}
}

// What nobody knows of an INR cannot be decided away.
func TestAnUnknownINRHolds(t *testing.T) {
	rules := load(t)
	for _, text := range []string{
		"{prescribed: [warfarin]}",
		"{prescribed: [warfarin], inr: unsure, inr_date: 2026-12-03, inr_in_range: yes}",
		"{prescribed: [warfarin], inr: 2.5, inr_date: blank, inr_in_range: yes}",
		"{prescribed: [warfarin], inr: 2.5, inr_date: 2026-12-03, inr_in_range: declined}",
	} {
		f := healthy(t)
		f.apply(t, answers(t, text))
		decide(t, rules, f, "anticoagulant.vitamin_k", "bob", "2026-12-04 13:00")
		report := decide(t, rules, f, "anticoagulant.inr", "bob", "2026-12-04 13:00")
		if found := find(report, "anticoagulant.inr", "not_known", false); found == nil || !found.Open() || !report.Held {
			t.Errorf("%s: %+v", text, found)
		}
	}
}

func TestAColdSoreNowAlsoAsksThePrescriber(t *testing.T) {
	rules := load(t)
	report := evaluate(t, rules, answers(t, "{cold_sores: no, cold_sore_now: yes}"))
	if !open(report, "cold_sore.history") || !open(report, "cold_sore.active") {
		t.Errorf("%+v", report.Findings)
	}
	f := healthy(t)
	f.apply(t, answers(t, "{cold_sore_now: yes}"))
	f.fact(t, "kind", "dissolving")
	if !open(rules.Evaluate(f.ready(t)), "cold_sore.active") {
		t.Error("a cosmetic dissolving goes through a cold sore")
	}
	f.fact(t, "kind", "emergency")
	if rules.Evaluate(f.ready(t)).Held {
		t.Error("a cold sore stands before an emergency")
	}
}

func TestADiabetesMedicineAsksForTheSugar(t *testing.T) {
	rules := load(t)
	report := evaluate(t, rules, answers(t, "{prescribed: [metformin]}"))
	if found := find(report, "diabetes", "unsteady", true); found == nil || !report.Held {
		t.Errorf("%+v", report.Findings)
	}
	for text, waits := range map[string]bool{
		"8.5": false, "8.6": true, "12": true, "20": true, "20.5": false, "48": false, "69": false, "69.5": true, "70": true, "200": true,
	} {
		report := evaluate(t, rules, answers(t, "{prescribed: [metformin], diabetes_steady: yes, hba1c: "+text+"}"))
		if (find(report, "diabetes", "unsteady", false) != nil) != waits {
			t.Errorf("HbA1c of %s: waits %v", text, !waits)
		}
	}
}

// What another answer seems to rule out counts all the same where it weighs: a stent without heart disease, filler
// dissolved without filler, hours spent on one's looks without a word of it.
func TestAnswersAgainstTheGateCount(t *testing.T) {
	rules := load(t)
	for text, rule := range map[string]string{
		"{conditions: [], stent: yes, stent_date: 2026-10-01}":                                  "anticoagulant.combined",
		"{filler_before: no, dissolved: yes, dissolved_date: 2026-12-01}":                       "dissolved.told",
		"{conditions: [], stent: yes, stent_date: 2020}":                                        "anaesthetic.heart",
		"{filler_before: no, dissolved: yes, dissolved_date: 2020}":                             "filler.permanent",
		"{looks_worry: no, looks_hour: yes}":                                                    "mind.body_image",
		"{looks_worry: no, looks_distress: yes}":                                                "mind.body_image",
		"{strong_medicine: yes, strong_medicines: [{what: not_known}]}":                         "cancer.medicine_not_known",
		"{strong_medicine: yes, strong_medicines: [{what: other_cancer_medicine, still: yes}]}": "cancer.other_medicine",
	} {
		if report := evaluate(t, rules, answers(t, text)); !open(report, rule) {
			t.Errorf("%s: %+v", text, report.Findings)
		}
	}
}

func TestSeveralSevereAllergiesAllCount(t *testing.T) {
	report := evaluate(t, load(t), answers(t, "{severe_allergy: yes, severe_allergy_to: [food, sting, filler]}"))
	if find(report, "allergy.severe", "filler", false) == nil || !open(report, "allergy.stings") {
		t.Errorf("%+v", report.Findings)
	}
}

// Nothing hides a hint before emergency care, and what only earlier visits were told says when.
func TestEmergencyCareIsShownEveryAllergy(t *testing.T) {
	rules := load(t)
	f := healthy(t)
	f.fact(t, "kind", "complication")
	f.apply(t, answers(t, "{allergies: [hyaluronidase, stings, anaesthetic, latex], severe_allergy: yes, severe_allergy_to: [sting]}"))
	report := rules.Evaluate(f.ready(t))
	for _, rule := range []string{"hyaluronidase", "stings", "anaesthetic", "materials", "severe"} {
		if find(report, "emergency."+rule, "known", false) == nil {
			t.Errorf("%s is hidden", rule)
		}
	}
	for _, told := range []string{"hyaluronidase", "stings", "severe", "anaesthetic", "latex"} {
		f := healthy(t)
		f.answers = nil
		f.fact(t, "kind", "call")
		f.fact(t, "earlier", told)
		rule := map[string]string{"latex": "materials"}[told]
		if rule == "" {
			rule = told
		}
		report := rules.Evaluate(f.ready(t))
		found := find(report, "emergency."+rule, "earlier", false)
		if found == nil || found.Args["answered_on"] != "2026-05-06" || report.Held || !report.Urgent() {
			t.Errorf("%s: %+v", told, found)
		}
		f.apply(t, answers(t, "{allergies: ["+map[bool]string{true: "", false: told}[told == "severe"]+"], severe_allergy: yes, severe_allergy_to: [food]}"))
		if find(rules.Evaluate(f.ready(t)), "emergency."+rule, "earlier", false) != nil {
			t.Errorf("%s is confirmed and still told as unconfirmed", told)
		}
	}
}

func TestOnlyATreatmentWithHyaluronidaseDissolves(t *testing.T) {
	rules := load(t)
	start := at("2026-11-30 10:00")
	for name, c := range map[string]struct {
		kind     visit.Kind
		given    *visit.Given
		dissolve bool
	}{
		"declined":                {visit.Dissolving, nil, false},
		"empty":                   {visit.Dissolving, &visit.Given{}, false},
		"begun":                   {visit.Dissolving, &visit.Given{Start: start}, true},
		"substance":               {visit.Complication, &visit.Given{Anaesthetics: []visit.Anaesthetic{{Substance: "Hyaluronidase 1500 IU"}}}, true},
		"in another language":     {visit.Complication, &visit.Given{Anaesthetics: []visit.Anaesthetic{{Substance: "hialuronidasa"}}}, true},
		"syringe":                 {visit.Treatment, &visit.Given{Syringes: []visit.Syringe{{Product: "hyaluronidase"}}}, true},
		"row":                     {visit.Complication, &visit.Given{Rows: []visit.Row{{Zone: "UL-VB", Product: "hyaluronidase"}}}, true},
		"injections":              {visit.Complication, &visit.Given{Dissolved: &visit.Dissolved{Doses: []visit.Dose{{Zone: "UL-VB"}}}}, true},
		"vials unopened":          {visit.Complication, &visit.Given{Dissolved: &visit.Dissolved{Vials: []visit.Vial{{Lot: "H1"}}}}, false},
		"filler":                  {visit.Treatment, &visit.Given{Start: start, Rows: []visit.Row{{Zone: "UL-VB", Product: "other"}}}, false},
		"a note of what was near": {visit.Treatment, &visit.Given{Start: start, Notes: "hyaluronidase at hand"}, false},
	} {
		f := healthy(t)
		f.Earlier = []visit.Visit{{ID: "v0", Kind: c.kind, Appointment: at("2026-11-30 09:00"), Treatment: c.given}}
		report := rules.Evaluate(f.ready(t))
		if open(report, "dissolved.here") != c.dissolve {
			t.Errorf("%s: dissolved %v", name, !c.dissolve)
		}
		if c.dissolve && find(report, "filler.not_known", "in_zone", false) != nil {
			t.Errorf("%s: what dissolves filler counts as filler", name)
		}
	}
}

func TestAnInterpreterCountsOnceQualified(t *testing.T) {
	rules := load(t)
	for qualified, outcome := range map[string]string{"": "absent", "no": "not_qualified", "yes": "present"} {
		f := healthy(t)
		f.Patient.Speaks = "pl"
		f.Visit.Interpreter = &visit.InterpreterAttends{Name: "I. Terp", Language: "pl", Qualified: qualified}
		report := rules.Evaluate(f.ready(t))
		if find(report, "consent.interpreter", outcome, false) == nil || report.Held != (qualified != "yes") {
			t.Errorf("qualified %q: held %v, %+v", qualified, report.Held, report.Findings)
		}
	}
}

// A look at the teeth, a routine treatment of them and a spot that was seen by a doctor hold nothing for good.
func TestRoutineDentalWorkMayBeDecided(t *testing.T) {
	rules := load(t)
	f := healthy(t)
	f.apply(t, answers(t, "{dental: yes, dental_kind: routine, dental_infected: no, dental_date: 2026-12-01}"))
	if decide(t, rules, f, "dental.past", "ann", "2026-12-04 13:00").Held {
		t.Error("a routine treatment of the teeth is a medical wait")
	}
	if report := evaluate(t, rules, answers(t, "{lip_lump: yes}")); find(report, "lips.disease", "undiagnosed", false) == nil {
		t.Error("a lump that no doctor has looked at stops nothing")
	}
}

func TestTrustSaysWhatWasRead(t *testing.T) {
	want := map[string]string{
		"age.sweden": "secondary", "age.denmark": "read", "age.australia": "practice", "dental.infection": "practice",
		"anaesthetic.faint": "practice", "infection.antibiotic": "practice", "allergy.severe": "memory",
		"allergy.hyaluronidase": "practice", "cold_sore.active": "read", "cold_sore.healed": "practice",
	}
	for _, rule := range load(t).All() {
		if trust, ok := want[rule.ID]; ok && rule.Trust != trust {
			t.Errorf("%s is called %s", rule.ID, rule.Trust)
		}
		delete(want, rule.ID)
	}
	for id := range want {
		t.Errorf("no rule %s", id)
	}
}

// Only acetylsalicylic acid is anybody's own; every other antiplatelet goes on until its prescriber says otherwise.
func TestOnlyAspirinIsOnesOwnAntiplatelet(t *testing.T) {
	rules := load(t)
	for text, prescribed := range map[string]bool{
		"{own_medicines: [clopidogrel]}": true, "{own_medicines: [ticagrelor 90]}": true, "{prescribed: [aspirin]}": true,
		"{own_medicines: [aspirin]}": false,
	} {
		report := evaluate(t, rules, answers(t, text))
		found := find(report, "antiplatelet.prescribed", "taken", false)
		if (found != nil) != prescribed || (find(report, "aspirin.own", "noted", false) == nil) != prescribed {
			t.Errorf("%s: %+v", text, report.Findings)
		}
		if found != nil && !slices.Contains(found.Adds.Aftercare, "rule.care.keep_taking") {
			t.Errorf("%s: the patient is not told to go on", text)
		}
	}
}

// What the review found no association for adds no risk to a consent.
func TestSupplementsWithoutAnAssociationAddNoRisk(t *testing.T) {
	rules := load(t)
	for name, risk := range map[string]bool{"fish oil": false, "ginseng": false, "saw palmetto": false, "garlic": true} {
		report := evaluate(t, rules, answers(t, "{own_medicines: ["+name+"]}"))
		found := find(report, "supplement", "", false)
		if found == nil || (len(found.Adds.Consent) > 0) != risk || report.Held {
			t.Errorf("%s: %+v", name, found)
		}
	}
}
