package templates_test

import (
	"slices"
	"strings"
	"testing"

	"philtrum/forms/screen"
	"philtrum/templates/layout"
)

// elements of a consent as two bodies outside ask for them, each with the clauses that carry it here.
//
// CMS: 42 CFR 482.24(c)(4)(v) with State Operations Manual, Appendix A, tag A-0466 (minimum of a form) and
// 42 CFR 482.51(b)(2), A-0955 (process), as two law firms' digests of 2017 and 2025 give them; the tag
// numbers are from memory. They bind hospitals; here they are a benchmark.
// GMC: "Decision making and consent" (2020) and "Guidance for doctors who offer cosmetic interventions"
// (2016), principles as read in secondary pages; paragraph numbers are not given because they were not read.
var elements = []struct {
	body, element string
	clauses       []string
}{
	{"CMS", "name of the facility", []string{"C-01"}},
	{"CMS", "name of the procedure", []string{"C-07"}},
	{"CMS", "name of the responsible practitioner", []string{"C-04"}},
	{"CMS", "statement that procedure, benefits, risks and alternatives were explained", []string{"C-32"}},
	{"CMS", "signature of the patient or representative", []string{"C-31", "C-35"}},
	{"CMS", "date and time of the signature", []string{"C-31"}},
	{"CMS", "who led the discussion", []string{"C-05"}},
	{"CMS", "witness, with date and time", []string{"C-33"}},
	{"CMS", "material risks with their likelihood", []string{"C-11", "C-12"}},
	{"CMS", "alternatives with their risks", []string{"C-16"}},
	{"CMS", "consequence of declining", []string{"C-17"}},
	{"CMS", "other people who do a part", []string{"C-06"}},
	{"CMS", "anaesthesia", []string{"C-18"}},
	{"GMC 2020", "what matters to the person", []string{"C-08"}},
	{"GMC 2020", "benefits and harms of each reasonable option, doing nothing included", []string{"C-16", "C-17"}},
	{"GMC 2020", "common side effects and what is done about them", []string{"C-11"}},
	{"GMC 2020", "any serious harm, however unlikely", []string{"C-12"}},
	{"GMC 2020", "the effect of the person's own circumstances", []string{"C-14"}},
	{"GMC 2020", "support to understand: language, interpreter, format", []string{"C-29", "C-30"}},
	{"GMC 2016", "consent sought by who performs or supervises", []string{"C-04", "C-05"}},
	{"GMC 2016", "time to reflect", []string{"C-26"}},
	{"GMC 2016", "the request is voluntary, and may be taken back", []string{"C-27", "C-34"}},
	{"GMC 2016", "not reaching the desired look is a risk", []string{"C-10"}},
	{"GMC 2016", "whom to contact if something goes wrong", []string{"C-21"}},
	{"GMC 2016", "psychological vulnerability considered", []string{"C-28"}},
	{"GMC 2016", "no promotion, no hurry", []string{"C-39"}},
}

// Every element stands on the consent of a patient to whom all of it applies.
func TestConsentHasTheElementsOfCMSAndGMC(t *testing.T) {
	f := heldFacts(t)
	f.Patient.Representative = "Jon Okonedo"
	doc := compose(t, "consent", f, "en")
	var on []string
	for _, b := range blocksOf(doc) {
		on = append(on, metaOf(b).Clauses...)
	}
	for _, e := range elements {
		for _, id := range e.clauses {
			if !slices.Contains(on, id) {
				t.Errorf("%s asks for %s, and no block serves %s", e.body, e.element, id)
			}
		}
	}
}

// The patient's signature has a date and a time (CMS, as above), and the practitioner is named beside theirs.
func TestSignaturesHaveDateAndTime(t *testing.T) {
	doc := compose(t, "consent", heldFacts(t), "en")
	found := 0
	for _, b := range blocksOf(doc) {
		s, ok := b.(*layout.Signature)
		if !ok {
			continue
		}
		labels := ""
		for _, f := range s.Fields {
			for _, span := range f.Label {
				labels += strings.ToLower(span.Text) + "|"
			}
		}
		if strings.Contains(labels, "signature") {
			found++
			if !strings.Contains(labels, "date") || !strings.Contains(labels, "time") {
				t.Errorf("signature %s has no date or time: %s", s.ID, labels)
			}
		}
	}
	if found < 2 {
		t.Errorf("only %d signature blocks", found)
	}
}

// The information starts the time to think it over, so it never says that the patient decided on the day.
func TestInformationSaysNothingOfADecision(t *testing.T) {
	f := heldFacts(t)
	f.Report.Findings = []screen.Finding{{Rule: "reflection.united_kingdom", Outcome: "same_day", Level: screen.Inform,
		Adds: screen.Adds{Consent: []string{"risk.bleeding"}}}}
	for kind, want := range map[string]bool{"information": false, "consent": true} {
		if got := strings.Contains(compose(t, kind, f, "en").Dump(), "bruise more easily"); got != want {
			t.Errorf("%s: %v", kind, got)
		}
	}
}
