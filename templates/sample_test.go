package templates_test

import (
	"testing"
	"time"

	"philtrum/forms/clinic"
	"philtrum/forms/measure"
	"philtrum/forms/place"
	"philtrum/forms/screen"
	"philtrum/forms/visit"
	"philtrum/locales"
	"philtrum/templates"
)

func printer(t testing.TB, tag string) *locales.Printer {
	t.Helper()
	c, err := locales.Load(locales.Default)
	if err != nil {
		t.Fatal(err)
	}
	p, err := c.Printer(tag)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

func load(t testing.TB, name string) *templates.Template {
	t.Helper()
	tpl, problems := templates.Load(templates.Default, name)
	if len(problems) > 0 {
		t.Fatal(problems)
	}
	return tpl
}

var london = func() *time.Location {
	l, err := time.LoadLocation("Europe/London")
	if err != nil {
		panic(err)
	}
	return l
}()

func at(month time.Month, day, hour, minute int) time.Time {
	return time.Date(2026, month, day, hour, minute, 0, 0, london)
}

// plannedFacts is a visit before its treatment; every name is invented.
func plannedFacts(t testing.TB) templates.Facts {
	t.Helper()
	places, problems := place.Load(place.Default)
	if len(problems) > 0 {
		t.Fatal(problems)
	}
	policy := clinic.DefaultPolicy()
	c := clinic.Clinic{
		Name: "Quayside Rooms", LegalName: "Quayside Rooms Ltd", Address: []string{"4 Harbour Row", "Sandleford"},
		Place: "GB-ENG", Zone: london, Language: "en-GB", Telephone: "01632 960 100", NightTelephone: "01632 960 999",
		Email: "desk@quayside.example", Demonstration: true, Page: "A4", Policy: policy,
	}
	p := visit.Patient{Given: "Marta", Family: "Okonedo-Lindqvist", Number: "P-4711", Born: measure.Date{Year: 1991, Month: 3, Day: 14}, Speaks: "en", Reads: "en"}
	v := visit.Visit{
		Kind: visit.Treatment, Appointment: at(12, 4, 14, 0), Practitioner: "ines",
		Form: visit.Version{ID: "lips", Version: "1"},
		Plan: visit.Plan{
			Wish: "A little fuller, so that both sides match.", Zones: []string{"UL", "LL"}, Greatest: measure.MustVolume("1"),
			Classes: []string{"soft"}, Product: "velva", Lidocaine: true, Instruments: []string{"needle"}, Price: "£280",
			ReviewOn: measure.Date{Year: 2026, Month: 12, Day: 18},
		},
		Handed: []visit.Handed{{Paper: "information", Document: "k7m2pq9x4tr8w", At: at(11, 27, 16, 20), How: "on paper", By: "ines", Explained: true}},
	}
	report := screen.Report{Held: true, Findings: []screen.Finding{}}
	return templates.Gather(templates.Issue{Document: "b4n8xk2w7qd5m", At: at(12, 4, 14, 40)}, screen.Case{
		Visit: v, Patient: p, Clinic: c, Place: places.On("GB-ENG", measure.Date{Year: 2026, Month: 12, Day: 4}),
		Staff: []clinic.Person{{ID: "ines", Name: "Dr Ines Falk", Profession: "physician", Registration: "R-00417"}},
		Stock: clinic.Stock{
			Products: []clinic.Product{{ID: "velva", Name: "Velva Soft 20", Class: "soft", Maker: "Norrland Gel AB", Volume: measure.MustVolume("1"), Lidocaine: true, LidocaineMgPerMl: "3", Dissolves: true}},
			Kit: []clinic.KitItem{
				{Item: "hyaluronidase", Lot: clinic.Lot{Number: "H0021", Expiry: measure.Date{Year: 2027, Month: 5, Day: 31}}},
				{Item: "adrenaline", Lot: clinic.Lot{Number: "A19", Expiry: measure.Date{Year: 2027, Month: 2, Day: 28}}},
			},
		},
	}, report)
}

// treatedFacts is the same visit after its treatment.
func treatedFacts(t testing.TB) templates.Facts {
	t.Helper()
	f := plannedFacts(t)
	row := func(zone, side, volume string, points int) visit.Row {
		return visit.Row{Zone: zone, Side: side, Plane: "subvermilion", Technique: "linear_retrograde", Instrument: "needle",
			Gauge: "30G", Product: "velva", Lot: "0012", Syringe: 1, Volume: measure.MustVolume(volume), Passes: 2, EntryPoints: points, Refill: "under 2 s, pink"}
	}
	f.Visit.Treatment = &visit.Given{
		Start: at(12, 4, 14, 5), End: at(12, 4, 14, 30), By: "ines", Asepsis: "chlorhexidine 0.5 %, gloves", Reconfirmed: true,
		Syringes: []visit.Syringe{{Product: "velva", Lot: "0012", Device: "04006381333931", Expiry: measure.Date{Year: 2027, Month: 9, Day: 30}, Labelled: measure.MustVolume("1"), Discarded: measure.MustVolume("0.1")}},
		Rows: []visit.Row{row("UL-VB", "right", "0.15", 2), row("UL-VB", "left", "0.15", 2), row("UL-TM", "midline", "0.1", 1),
			row("LL-TL", "right", "0.2", 1), row("LL-TL", "left", "0.2", 1), row("LL-VB", "left", "0.1", 1)},
		Checks: []visit.Check{{What: "capillary_refill", Result: "under 2 s on both sides", At: at(12, 4, 14, 28)}, {What: "pain", Result: "2", At: at(12, 4, 14, 28)}, {What: "vision", Result: "reads the chart, each eye", At: at(12, 4, 14, 29)}},
		Kit:    []string{"hyaluronidase", "adrenaline"},
	}
	return f
}
