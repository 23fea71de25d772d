package templates_test

import (
	"testing"

	"philtrum/forms"
	"philtrum/forms/clinic"
	"philtrum/forms/measure"
	"philtrum/forms/screen"
	"philtrum/forms/visit"
	"philtrum/templates"
	"philtrum/templates/layout"
	"philtrum/templates/text"
)

// longFacts is a visit with the longest values that one has to reckon with: names of many parts, all zones,
// two products, many findings and questions.
func longFacts(t testing.TB) templates.Facts {
	t.Helper()
	f := treatedFacts(t)
	f.Patient.Given, f.Patient.Family = "Maximiliane-Wilhelmina Konstanze", "von Hohenberg-Winterstein y Fernández de la Cordillera"
	f.Patient.Alerts = []string{"severe allergy to chlorhexidine", "faints with needles, lies down"}
	f.Patient.Needs = []string{"read_aloud", "large_print"}
	f.Patient.Interpreter = visit.Interpreter{Needed: true, Language: "es"}
	f.Clinic.Name, f.Clinic.LegalName = "Practice for Aesthetic Medicine at the Old Customs House", "Practice for Aesthetic Medicine at the Old Customs House Partnership Ltd"
	f.Clinic.Address = []string{"Old Customs House, second floor", "127 Great Northern Harbour Street", "Northquay upon the Water", "NQ1 4HS"}
	f.Clinic.Email = "appointments@old-customs-house.example"
	f.Clinic.Complaints = "Write to the practice manager at the address above. You get an answer within ten working days, and can go to the ombudsman after that."
	f.Practitioner.Name, f.Practitioner.Profession = "Dr Bartholomew Ashcombe-Winterbourne", "consultant plastic and reconstructive surgeon"
	f.Staff = []clinic.Person{f.Practitioner}
	f.Visit.Plan.Wish = "A little more volume so that both sides match, softer lines at the corners, and nobody at work should see at once that something was done."
	f.Visit.Plan.Examination = "Thin upper lip with a firm border, right side two millimetres lower at rest; scar of 1 cm at the left corner; small nodule in the left lower lip from earlier filler; teeth sound."
	f.Visit.Plan.Zones, f.Visit.Plan.Classes = []string{"UL", "LL", "COM", "PO-LINES"}, []string{"soft", "medium"}
	f.Visit.Plan.Instruments = []string{"needle", "cannula"}
	g := f.Visit.Treatment
	g.By = f.Practitioner.ID
	g.Reaction = "Pale patch at the left border at 14:20, gone after warmth and massage within one minute; refill 2 s afterwards on both sides."
	g.Syringes = append(g.Syringes, visit.Syringe{Product: "cantata", Lot: "LOT-2026-0012E4", Labelled: measure.MustVolume("1"), Discarded: measure.MustVolume("0.325"), Expiry: measure.Date{Year: 2027, Month: 9, Day: 30}})
	f.Stock.Products = append(f.Stock.Products, clinic.Product{ID: "cantata", Name: "Cantata Medium 24 with Lidocaine", Class: "medium", Maker: "Norrland Gel and Allied Instruments AB", Dissolves: true})
	for _, zone := range []string{"UL-TL", "LL-WD", "UL-WD", "COM", "PO-LINES", "UL-PHC", "LL-VBODY", "UL-VBODY"} {
		for _, side := range []string{"right", "left"} {
			r := g.Rows[0]
			r.Zone, r.Side, r.Product, r.Volume, r.Instrument, r.Gauge = zone, side, "cantata", measure.MustVolume("0.075"), "cannula", "25G"
			r.Refill = "2 s, pink, warm"
			g.Rows = append(g.Rows, r)
		}
	}
	f.Report = screen.Report{Held: true, Earliest: measure.Date{Year: 2027, Month: 1, Day: 20}}
	decided := &visit.Decision{Reason: "Prescriber reached by telephone, agrees and changes nothing; small volume, cannula.", By: f.Practitioner.ID, At: at(12, 3, 9, 30)}
	for _, x := range []struct {
		rule, outcome string
		level         screen.Level
		decided       *visit.Decision
	}{
		{"consent.interpreter", "absent", screen.Wait, nil}, {"infection.general", "recent", screen.Wait, nil},
		{"anticoagulant.vitamin_k", "taken", screen.Decide, decided}, {"cold_sore.history", "known", screen.Decide, nil},
		{"immune.suppressed", "medicine", screen.Decide, nil}, {"anaesthetic.slow_breakdown", "large_amount", screen.Decide, decided},
		{"smoking", "smokes", screen.Inform, nil},
	} {
		f.Report.Findings = append(f.Report.Findings, screen.Finding{Rule: x.rule, Outcome: x.outcome, Level: x.level, Condition: x.level == screen.Wait, Decided: x.decided,
			Adds: screen.Adds{Consent: []string{"rule.risk.cold_sore"}}})
	}
	for _, q := range []string{"pregnant", "breastfeeding", "vaccine", "capacity_doubt"} {
		f.Report.Findings = append(f.Report.Findings, screen.Finding{Rule: "cold_sore.active", Outcome: "present", Level: screen.Decide, Unknown: true, CouldBe: screen.Wait,
			Missing: []screen.Missing{{Question: q, Why: screen.NotAsked}}})
	}
	return f
}

// The longest values fit every paper and sheet, and nothing is torn.
func TestLongestValuesFit(t *testing.T) {
	engine := text.NewEngine()
	before := longFacts(t)
	before.Visit.Treatment = nil
	for when, f := range map[string]templates.Facts{"after": longFacts(t), "before": before} {
		for _, name := range papers {
			tpl := load(t, name)
			for _, page := range []string{"A4", "Letter"} {
				for _, look := range []string{tpl.Look, "large"} {
					if look == "large" && !tpl.ForPatient() {
						continue
					}
					doc, problems := templates.Compose(templates.Paper{Kind: name, Template: tpl, Printer: printer(t, "en"), Facts: f, Sheet: templates.SheetName(look, page)})
					if len(problems) > 0 {
						t.Fatalf("%s: %v", name, problems)
					}
					placed := layout.Place(doc, engine.NewSetter(text.Options{Lang: doc.Lang}))
					for _, r := range placed.Reports {
						t.Errorf("%s %s on %s-%s: %+v", name, when, look, page, r)
					}
				}
			}
		}
	}
}

// The summary stays on one page, also where hardly anything was answered.
func TestSummaryIsOnePage(t *testing.T) {
	form, problems := forms.Load(forms.Default, "lips")
	if len(problems) > 0 {
		t.Fatal(problems)
	}
	blank := plannedFacts(t)
	for i, q := range form.Questions() {
		if q.When == "" {
			level := []screen.Level{screen.Stop, screen.Wait, screen.Wait, screen.Decide, screen.Decide, screen.Inform}[i%6]
			blank.Report.Findings = append(blank.Report.Findings, screen.Finding{Rule: "cold_sore.history", Outcome: "known", Level: level, Unknown: true, CouldBe: level,
				Missing: []screen.Missing{{Question: q.ID, Why: screen.NotAsked}}})
		}
	}
	few := longFacts(t)
	few.Report.Findings = few.Report.Findings[:4]
	engine := text.NewEngine()
	for when, f := range map[string]templates.Facts{"nothing answered": blank, "planned": plannedFacts(t), "long": few} {
		for _, page := range []string{"A4", "Letter"} {
			doc, problems := templates.Compose(templates.Paper{Kind: "summary", Template: load(t, "summary"), Printer: printer(t, "en"), Facts: f, Sheet: templates.SheetName("record", page)})
			if len(problems) > 0 {
				t.Fatal(problems)
			}
			if n := len(layout.Place(doc, engine.NewSetter(text.Options{Lang: doc.Lang})).Pages); n != 1 {
				t.Errorf("%s on %s: %d pages", when, page, n)
			}
		}
	}
}
