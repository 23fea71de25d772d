package exchange_test

import (
	"strings"
	"testing"
	"testing/fstest"
	"time"

	"philtrum/forms"
	"philtrum/forms/clinic"
	"philtrum/forms/device"
	"philtrum/forms/exchange"
	"philtrum/forms/intake"
	"philtrum/forms/measure"
	"philtrum/forms/source"
	"philtrum/forms/visit"
)

// words knows some messages, as a language does that is half translated.
type words map[string]string

func (w words) Word(id string) string { return w[id] }

var some = words{
	"exchange.observation.volume": "Volume injected", "term.zone.UL-VB": "upper lip border", "term.side.left": "left", "term.paper.consent": "Consent",
	"question.pregnancy": "Are you pregnant?", "exchange.device.filler": "Hyaluronic-acid filler", "paper.none": "none of these",
}

const formText = `id: lips
version: "1"
sections:
  - id: now
    questions:
      - {id: pregnancy, kind: yes_no, shelf_life: on_the_day}
      - {id: smoking, kind: one_of, options: [never, daily], shelf_life: 365 days}
      - {id: conditions, kind: some_of, options: [thyroid, cancer], shelf_life: 180 days}
      - {id: vaccine_on, kind: date, shelf_life: 180 days}
      - {id: sugar, kind: number, shelf_life: 180 days}
      - {id: wish, kind: text, shelf_life: 180 days}
      - {id: prescribed, kind: medicines, shelf_life: on_the_day}
      - id: earlier
        kind: entries
        shelf_life: always
        fields:
          - {id: product, kind: text}
          - {id: on, kind: date}
`

func at(day, hour, minute int) time.Time {
	zone, err := time.LoadLocation("Europe/London")
	if err != nil {
		panic(err)
	}
	return time.Date(2026, 12, day, hour, minute, 0, 0, zone)
}

// treated is a visit with everything that a bundle can say. Names are invented.
func treated(t testing.TB) exchange.Record {
	t.Helper()
	form, problems := forms.Load(fstest.MapFS{"lips.yaml": {Data: []byte(formText)}}, "lips")
	if len(problems) > 0 {
		t.Fatal(problems)
	}
	const answers = `pregnancy: declined
smoking: daily
conditions: [thyroid]
vaccine_on: 2026-11
sugar: 6.40
wish: "a little fuller\u00a0on the left"
prescribed: [ibuprofen, vitamin E]
earlier: [{product: unknown, on: unsure}]
`
	node, problems := source.Parse("visit.yaml", []byte(answers))
	if len(problems) > 0 {
		t.Fatal(problems)
	}
	const code = "]d201095201234500141727083110D7K\x1d21S-1"
	v := visit.Visit{
		ID: "v1", Patient: "p1", Kind: visit.Treatment, Appointment: at(4, 9, 0), Practitioner: "amara", Salt: "a1b2c3", Zone: at(4, 9, 0).Location(),
		Form: visit.Version{ID: "lips", Version: "1"}, Answers: node, Answered: visit.Answered{By: "patient", Via: "screen", At: at(4, 8, 50)},
		States: []visit.StateChange{
			{State: visit.Informed, At: at(1, 10, 0), By: "amara"},
			{State: visit.Consented, At: at(4, 9, 2), By: "amara", Document: "d2", Covers: &visit.Scope{
				Zones: []string{"UL-VB"}, Greatest: measure.MustVolume("1"), Classes: []string{"soft"}, Instruments: []string{"needle"}, Lidocaine: true}},
			{State: visit.Treated, At: at(4, 9, 40), By: "amara"},
		},
		Confirmations: []visit.Confirmation{{Document: "d2", At: at(4, 10, 0), Legible: true, Signed: []string{"patient", "practitioner"}}},
		Treatment: &visit.Given{
			Start: at(4, 9, 10), End: at(4, 9, 40), Recorded: at(4, 9, 50), By: "amara", Asepsis: "chlorhexidine", Weight: measure.MustWeight("61.5"),
			Anaesthetics: []visit.Anaesthetic{{Substance: "lidocaine", Form: "block", Strength: "2 %", Lot: "L1", Dose: measure.MustDose("20"), At: at(4, 9, 5), Expiry: measure.Date{Year: 2027, Month: 5, Day: 31}}},
			Syringes:     []visit.Syringe{{Product: "soft", Carrier: code, Discarded: measure.MustVolume("0.4")}},
			Rows: []visit.Row{
				{Zone: "UL-VB", Side: "right", Plane: "submucosal", Technique: "linear_retrograde", Instrument: "needle", Gauge: "30G", Product: "soft", Lot: "D7K", Volume: measure.MustVolume("0.30"), Passes: 2, EntryPoints: 1, Refill: "under 2 s"},
				{Zone: "UL-VB", Side: "left", Product: "soft", Lot: "D7K", VolumeText: "a third\u2028or so"},
				{Zone: "COM", Product: "other", Lot: "=cmd|' /C calc'!A0"},
			},
			Checks: []visit.Check{{What: "capillary_refill", Result: "under 2 s", At: at(4, 9, 38)}},
			Dissolved: &visit.Dissolved{Vials: []visit.Vial{{Substance: "hyaluronidase", Lot: "HX1"}},
				Doses: []visit.Dose{{At: at(4, 9, 30), Zone: "UL-VB", Side: "left", Vial: 1, Units: measure.MustUnits("75")}, {Vial: 1, UnitsText: "some"}}},
			Event: &visit.Event{Onset: at(4, 9, 20), Noticed: at(4, 9, 20), Signs: "pale patch <1 cm> & growing", Seriousness: "intervention",
				Resolved: measure.Date{Year: 2026, Month: 12, Day: 7}},
		},
	}
	v.Treatment.Syringes[0].Code = &visit.Scanned{Carrier: device.Read(code, 2026)}
	s := &v.Treatment.Syringes[0]
	s.Device, s.Lot, s.Expiry = s.Code.Carrier.DeviceIdentifier, s.Code.Carrier.Lot, s.Code.Carrier.Expiry
	reader := &source.Reader{}
	answered := intake.Read(form, v, reader)
	if problems := reader.Problems(); len(problems) > 0 {
		t.Fatal(problems)
	}
	return exchange.Record{
		Visit: v, Names: true, Language: "en-GB", Words: some, Intake: answered, Digest: strings.Repeat("ab", 32),
		Patient: visit.Patient{ID: "p1", Number: "P-4711", Given: "Wilhelmina", Family: "Ostrowska-Quill", Born: measure.Date{Year: 1986, Month: 3, Day: 4},
			Sex: "female", Speaks: "pl", Reads: "en", Telephone: "01632 960300", Email: "w@post.example", Address: []string{"14 Weir Street", "Sandleford"},
			Interpreter: visit.Interpreter{Needed: true, Language: "pl"}},
		Clinic: clinic.Clinic{Name: "Quayside Clinic", Registration: "C-1", Telephone: "01632 960200", Zone: at(4, 9, 0).Location()},
		Staff:  []clinic.Person{{ID: "amara", Name: "Amara Voss", Profession: "nurse", Registration: "N-1"}},
		Stock:  clinic.Stock{Products: []clinic.Product{{ID: "soft", Name: "Soft line", Class: "soft", Maker: "Norrland Gel AB"}}},
		Documents: []exchange.Document{
			{ID: "d1", Kind: "consent", Language: "en", At: at(1, 10, 0), ContentType: "application/pdf", Size: 4000, SHA1: make([]byte, 20), SHA256: strings.Repeat("01", 32)},
			{ID: "d2", Kind: "consent", Language: "en", At: at(3, 10, 0), Supersedes: "d1", ContentType: "application/pdf", Size: 4100, SHA1: make([]byte, 20), SHA256: strings.Repeat("02", 32)},
			{ID: "d3", Kind: "record", Language: "en", At: at(4, 9, 55)},
			{ID: strings.Repeat("0c", 32), Of: []string{"d2"}, At: at(4, 10, 0), ContentType: "image/png", Size: 90000, SHA1: make([]byte, 20), SHA256: strings.Repeat("0c", 32)},
		},
	}
}

func bundleOf(t testing.TB, r exchange.Record) []byte {
	t.Helper()
	data, err := exchange.Bundle(r)
	if err != nil {
		t.Fatal(err)
	}
	return data
}
