package templates_test

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"philtrum/forms/device"
	"philtrum/forms/measure"
	"philtrum/forms/visit"
	"philtrum/templates"
	"philtrum/templates/layout"
	"philtrum/templates/pdf"
	"philtrum/templates/text"
)

// occludedFacts is a suspected blocked vessel on the night after the treatment, with all that a report asks for.
func occludedFacts(t testing.TB) templates.Facts {
	t.Helper()
	f := treatedFacts(t)
	earlier := f.Visit
	earlier.ID = "v1"
	given := *earlier.Treatment
	given.Weight = measure.MustWeight("61.5")
	given.Anaesthetics = []visit.Anaesthetic{{Substance: "lidocaine", Strength: "2 %", Lot: "L77"}}
	const code = "(01)04006381333931(17)270930(10)0012"
	given.Syringes = append([]visit.Syringe(nil), given.Syringes...)
	given.Syringes[0].Carrier, given.Syringes[0].Code = code, &visit.Scanned{Carrier: device.Read(code, 2026)}
	earlier.Treatment = &given
	f.Earlier, f.Patient.Sex = []visit.Visit{earlier}, "female"
	night := at(12, 5, 2, 10)
	f.Visit.ID, f.Visit.After, f.Visit.Kind, f.Visit.Appointment = "v2", "v1", visit.Complication, night
	f.Visit.Handed, f.Visit.States = nil, nil
	f.Visit.Treatment = &visit.Given{By: "ines", Start: night, Event: &visit.Event{
		Onset: at(12, 5, 1, 30), Noticed: night, Zone: "UL-VB", Side: "left", Signs: "White patch of 1 cm above the left corner, net-like edge, growing until 02:20",
		Pain: "7", Refill: "5 s, right side 2 s", Vision: "as usual, each eye", Done: "Massage and warmth from 02:25; hyaluronidase as on the emergency sheet, lot H0021, from 02:30",
		Referred: "not needed", Seriousness: "intervention", Outcome: "skin pink again at 04:00", Tests: "none", History: "none known",
		Resolved: measure.Date{Year: 2026, Month: 12, Day: 7}, Told: "everything, at 02:30", Kept: "syringe and box, in the office",
		Reports: []visit.Reported{{To: "Yellow Card", On: "5 December 2026", Reference: "YC-4471", By: "ines"}},
	}, Dissolved: &visit.Dissolved{Vials: []visit.Vial{{Substance: "hyaluronidase", Lot: "H0021"}}}}
	return f
}

// longestEvent has the longest values that are plausible, from filler of another clinic.
func longestEvent(t testing.TB) templates.Facts {
	t.Helper()
	f := longFacts(t)
	long := strings.Repeat("Pale, then dusky patch from the left corner towards the nose, net-like edge, cooler than the right side. ", 4)
	f.Visit.Treatment.Event = &visit.Event{
		OnsetText: "some time in the night after the second treatment abroad", Noticed: at(12, 5, 2, 10), Zone: "UL-VB", Side: "left", Signs: long,
		Pain: "7 at first, 9 at 03:00", Refill: "more than 5 s, 2 s on the other side", Vision: "blurred on the left for ten minutes, then as usual", Done: long,
		Referred: "eye hospital, 03:10, accepted by the doctor on duty", Seriousness: "hospital", Outcome: long, Tests: long, History: long,
		ResolvedText: "not yet, seen each week", Kept: "box in the office, syringe thrown away", Product: "unknown", Lot: "unknown",
	}
	return f
}

func eventStates(t testing.TB) map[string]templates.Facts {
	unreadable := occludedFacts(t)
	unreadable.Visit.Treatment.Event = &visit.Event{Seriousness: "quite bad", ResolvedText: "32 December"}
	unreadable.Visit.Treatment.Unread = []visit.Unread{{Where: "event.noticed", Text: "25:10"}, {Where: "rows.1.volume", Text: "a bit"}}
	return map[string]templates.Facts{
		"empty": {}, "filled": occludedFacts(t), "later": noduleFacts(t, true), "longest": longestEvent(t), "unreadable": unreadable,
	}
}

func TestAdverseEventIsAsReviewed(t *testing.T) {
	for name, facts := range eventStates(t) {
		got := compose(t, "adverse", facts, "en").Dump()
		asReviewed(t, "adverse_"+name+".txt", got)
	}
}

// A report that leaves the clinic has a number, an age and a sex of the patient: no name, no date of birth, no
// address, no answer of the questionnaire, on no line and in no margin.
func TestAdverseEventNamesNobodyTreated(t *testing.T) {
	f := occludedFacts(t)
	f.Patient.Address, f.Patient.Telephone, f.Patient.Email = []string{"9 Mill Lane"}, "01632 960 777", "marta@post.example"
	f.Patient.Alerts, f.Visit.Plan.Wish = []string{"faints with needles"}, "Fuller lips"
	for _, tag := range []string{"en", "es"} {
		doc := compose(t, "adverse", f, tag)
		said := doc.Dump()
		for _, no := range []string{"Marta", "Okonedo", "Lindqvist", "1991", "Mill Lane", "960 777", "post.example", "faints", "Fuller"} {
			if strings.Contains(said, no) {
				t.Errorf("%s: the report says %q", tag, no)
			}
		}
		for _, yes := range []string{"P-4711", "35", "0012", "04006381333931", "Norrland Gel AB", "H0021", "YC-4471", "lidocaine 2 %"} {
			if !strings.Contains(said, yes) {
				t.Errorf("%s: the report does not say %q", tag, yes)
			}
		}
	}
}

// Whether the event stands where filler went in is said only where both places are written down.
func TestAdverseEventBesideTheInjections(t *testing.T) {
	for zone, want := range map[string]string{
		"UL-VB": "in a zone that was injected", "UL": "in a zone that was injected", "LIPS": "in a zone that was injected",
		"COM": "not in a zone that was injected", "": "",
	} {
		f := occludedFacts(t)
		f.Visit.Treatment.Event.Zone = zone
		said := compose(t, "adverse", f, "en").Dump()
		for _, words := range []string{"not in a zone that was injected", "in a zone that was injected"} {
			has := strings.Contains(said, words) && (words[0] == 'n' || !strings.Contains(said, "not "+words))
			if has != (words == want) {
				t.Errorf("%q: %q said: %v", zone, words, has)
			}
		}
	}
	f := occludedFacts(t)
	f.Earlier[0].Treatment.Rows[0].Zone, f.Visit.Treatment.Event.Zone = "", "COM"
	if strings.Contains(compose(t, "adverse", f, "en").Dump(), "a zone that was injected") {
		t.Error("a zone that nobody wrote down was taken for another one")
	}
}

// Every place of the table has its route on the report, and one that is not in it a line to write on.
func TestAdverseEventRoutes(t *testing.T) {
	f := occludedFacts(t)
	if !strings.Contains(compose(t, "adverse", f, "en").Dump(), "Yellow Card scheme") {
		t.Error("no route for England")
	}
	f.Place.Reporting = nil
	if !strings.Contains(compose(t, "adverse", f, "en").Dump(), "The authority of this place is not listed here") {
		t.Error("no line for the authority of an unknown place")
	}
}

func TestAdverseEventFitsItsSheets(t *testing.T) {
	engine := text.NewEngine()
	dir := os.Getenv("PAPERS_DIR")
	for name, facts := range eventStates(t) {
		for _, page := range []string{"A4", "Letter"} {
			for _, tag := range []string{"en", "es"} {
				tpl := load(t, "adverse")
				doc, _ := templates.Compose(templates.Paper{Kind: "adverse", Template: tpl, Printer: printer(t, tag), Facts: facts, Sheet: templates.SheetName(tpl.Look, page)})
				setter := engine.NewSetter(text.Options{Lang: doc.Lang})
				placed := layout.Place(doc, setter)
				for _, r := range placed.Reports {
					t.Errorf("%s %s %s: %+v", name, page, tag, r)
				}
				if dir == "" {
					continue
				}
				f, err := os.Create(filepath.Join(dir, strings.Join([]string{"adverse", name, page, tag}, "-")+".pdf"))
				if err != nil {
					t.Fatal(err)
				}
				if err := pdf.Write(f, placed, setter.Fonts(), pdf.Info{Title: doc.Title, Issued: time.Time{}}); err != nil {
					t.Error(err)
				}
				if err := f.Close(); err != nil {
					t.Error(err)
				}
			}
		}
	}
}
