package visit

import (
	"strings"
	"testing"
	"time"

	"philtrum/forms/clinic"
	"philtrum/forms/device"
	"philtrum/forms/measure"
	"philtrum/forms/source"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"
)

// later is everything that a record may hold besides the injections themselves.
func later() Visit {
	at := time.Date(2026, 12, 4, 14, 5, 0, 0, time.FixedZone("", 3600))
	v := full()
	v.Treatment.Recorded = at
	v.Treatment.Views = []View{{View: "front", Stage: "before", At: at, File: "a.jpg"}}
	v.Treatment.Dissolved = &Dissolved{
		Reason: "lump", Filler: []Filler{{Product: "unknown", Lot: "unknown", Date: "spring 2024", Clinic: "elsewhere", Zones: "upper lip", Visit: "v-00"}},
		Patch: Patch{Decision: "done", Reason: "asked", Site: "forearm", Result: "no weal", Units: measure.MustUnits("3"), At: at, ReadAt: at},
		Vials: []Vial{{Substance: "hyaluronidase", Origin: "ovine", Lot: "0012", Device: "1", Expiry: day(2027, 1, 31), Units: measure.MustUnits("1500"),
			Diluent: "saline", MadeUp: mL("1")}},
		Doses: []Dose{{At: at, Zone: "UL-VB", Side: "left", Plane: "submucosal", Instrument: "needle", Gauge: "30G", Vial: 1,
			UnitsText: "some", Volume: mL("0.1"), Refill: "2 s", Response: "softer", By: "amara"}},
		ObservedUntil: at, Response: "flat",
	}
	v.Treatment.Event = &Event{Noticed: at, OnsetText: "about five months after", Of: "v-00", Zone: "UL-VB", Side: "left", Product: "soft-1", Lot: "0012",
		Signs: "lump", Pain: "2", Refill: "2 s", Vision: "normal", Seriousness: "none", Done: "seen", Referred: "no", Outcome: "open", Told: "yes", Kept: "no",
		Reports: []Reported{{To: "authority", On: "2026-12-05", Reference: "1", By: "amara"}}}
	v.Review = &Reviewed{At: at, By: "amara", Words: "fine", Settled: "even", Asymmetry: "none", Lumps: "none", Colour: "pink", Function: "full", Pain: "0",
		Satisfaction: "8", Views: []View{{View: "smile", Stage: "after"}}, Agreed: "more", TouchUp: "agreed", TouchUpWhere: "right peak", Complaint: "none",
		NextOn: day(2027, 1, 4), Notes: "x"}
	v.Amendments = []Amendment{{Where: "rows.1.volume", Was: "0.2", Now: "0.3", By: "amara", Why: "misread", At: at}}
	return v
}

// What is written is read again, value by value, with what a code says beside it.
func TestRecordsAreReadAsWritten(t *testing.T) {
	want := later()
	text, problems := source.Write(want.Node()), source.Problems(nil)
	node, found := source.Parse("visit.yaml", []byte(text))
	if problems = append(problems, found...); len(problems) > 0 {
		t.Fatal(problems)
	}
	r := &source.Reader{}
	got := Read(node, r, time.UTC)
	if len(r.Problems()) > 0 {
		t.Fatal(r.Problems())
	}
	same := append(same, cmp.Comparer(func(a, b measure.Units) bool { return a.Equal(b) }))
	for name, pair := range map[string][2]any{
		"dissolving": {want.Treatment.Dissolved, got.Treatment.Dissolved}, "event": {want.Treatment.Event, got.Treatment.Event},
		"views": {want.Treatment.Views, got.Treatment.Views}, "review": {want.Review, got.Review}, "amendments": {want.Amendments, got.Amendments},
	} {
		if diff := cmp.Diff(pair[0], pair[1], same); diff != "" {
			t.Errorf("%s (-want +got):\n%s", name, diff)
		}
	}
}

// code is of an invented product, with a prefix of GS1 kept for examples.
const code = "(01)09520123450014(17)270831(10)D7K4410"

func scanned(carrier string, more ...any) Given {
	n := source.Map("start", "2026-12-04 14:05", "syringes", source.List(source.Map(append([]any{"carrier", carrier}, more...)...)),
		"rows", source.List(source.Map("zone", "UL-TM", "volume", "0.6")))
	return *readTreatment(n, time.UTC, time.Time{})
}

func stock() clinic.Stock {
	return clinic.Stock{Products: []clinic.Product{{ID: "soft", Name: "Soft", Class: "soft", Volume: mL("1"), Devices: []string{"9520123450014"},
		Stock: []clinic.Lot{{Number: "d7k4410", Expiry: day(2027, 8, 31)}}}, {ID: "plain", Name: "Plain", Volume: mL("1"), Devices: []string{"09520123450021"}}}}
}

// A code alone says product, lot, expiry and labelled volume, and which lot each row was of.
func TestACodeFillsWhatWasLeftOpen(t *testing.T) {
	g := scanned(code)
	g.Resolve(stock())
	s, row := g.Syringes[0], g.Rows[0]
	if s.Carrier != code || s.Product != "soft" || s.Lot != "D7K4410" || s.Expiry != day(2027, 8, 31) || !s.Labelled.Equal(mL("1")) {
		t.Errorf("%+v", s)
	}
	if row.Product != "soft" || row.Lot != "D7K4410" {
		t.Errorf("%+v", row)
	}
}

// What was typed is never replaced, and where both differ it is said.
func TestACodeReplacesNothing(t *testing.T) {
	g := scanned(code, "product", "plain", "lot", "OTHER", "expiry", "2027-01-31", "labelled", "0.55")
	g.Resolve(stock())
	s := g.Syringes[0]
	if s.Product != "plain" || s.Lot != "OTHER" || s.Expiry != day(2027, 1, 31) || !s.Labelled.Equal(mL("0.55")) {
		t.Errorf("%+v", s)
	}
	got := strings.Join(ids(g.Against(stock(), day(2026, 12, 4))), " ")
	for _, want := range []string{"code", "device_mismatch", "labelled_differs"} {
		if !strings.Contains(got, want) {
			t.Errorf("%s: no %s", got, want)
		}
	}
}

func TestWhatTheStockSays(t *testing.T) {
	recall := func(lot, product string) clinic.Stock {
		s := stock()
		s.Recalls = []clinic.Recall{{Lot: lot, Product: product, On: day(2026, 11, 1), Reason: "particles"}}
		return s
	}
	for name, c := range map[string]struct {
		carrier string
		stock   clinic.Stock
		want    string
	}{
		"all in order":          {code, stock(), ""},
		"recalled":              {code, recall("d7k4410 ", "soft"), "recalled"},
		"recalled by number":    {code, recall("D7K4410", ""), "recalled"},
		"another line's recall": {code, recall("D7K4410", "plain"), ""},
		"another lot's recall":  {code, recall("D7K441O", "soft"), ""},
		"failed check digit":    {strings.Replace(code, "0014(", "0015(", 1), stock(), "code"},
		"unknown device":        {"(01)09520123450038(17)270831(10)D7K4410", stock(), "device_unknown"},
		"not in stock":          {strings.Replace(code, "D7K4410", "D7K4411", 1), stock(), "lot_not_in_stock"},
		"stock says otherwise":  {strings.Replace(code, "270831", "270731", 1), stock(), "stock_expiry"},
		"no code at all":        {"some words", stock(), "code"},
	} {
		g := scanned(c.carrier)
		g.Kit = []string{"hyaluronidase", "adrenaline"}
		g.Resolve(c.stock)
		got := strings.Join(ids(g.Against(c.stock, day(2026, 12, 4))), " ")
		if (c.want == "") != (got == "") || !strings.Contains(got, c.want) {
			t.Errorf("%s: %q, not %q", name, got, c.want)
		}
		if lot := g.Syringes[0].Lot; name == "failed check digit" && lot != "D7K4410" {
			t.Errorf("the lot was dropped: %q", lot)
		}
	}
}

// Filling in twice is filling in once, and no value that was written changes.
func TestResolveIsDoneOnce(t *testing.T) {
	word := func(t *rapid.T, name string, words ...string) string { return rapid.SampledFrom(words).Draw(t, name) }
	rapid.Check(t, func(t *rapid.T) {
		var g Given
		for range rapid.IntRange(0, 3).Draw(t, "syringes") {
			g.Syringes = append(g.Syringes, Syringe{Product: word(t, "product", "", "soft", "plain", "other"), Lot: word(t, "lot", "", "A", "B"),
				Device: word(t, "device", "", "09520123450014", "09520123450021", "9"), Labelled: measure.Microlitres(rapid.Int64Range(0, 1).Draw(t, "labelled") * 1000)})
		}
		for range rapid.IntRange(0, 4).Draw(t, "rows") {
			g.Rows = append(g.Rows, Row{Product: word(t, "of", "", "soft", "plain"), Lot: word(t, "row lot", "", "A", "B"), Syringe: rapid.IntRange(0, 4).Draw(t, "syringe")})
		}
		before := Given{Syringes: append([]Syringe(nil), g.Syringes...), Rows: append([]Row(nil), g.Rows...)}
		g.Resolve(stock())
		for i, s := range before.Syringes {
			if s.Product != "" && g.Syringes[i].Product != s.Product || s.Lot != g.Syringes[i].Lot || !s.Labelled.IsZero() && !s.Labelled.Equal(g.Syringes[i].Labelled) {
				t.Fatalf("%+v became %+v", s, g.Syringes[i])
			}
		}
		for i, r := range before.Rows {
			if r.Product != "" && r.Product != g.Rows[i].Product || r.Lot != "" && r.Lot != g.Rows[i].Lot {
				t.Fatalf("%+v became %+v", r, g.Rows[i])
			}
		}
		once := Given{Syringes: append([]Syringe(nil), g.Syringes...), Rows: append([]Row(nil), g.Rows...)}
		g.Resolve(stock())
		if diff := cmp.Diff(once, g, same); diff != "" {
			t.Fatal(diff)
		}
	})
}

// A vial of 1,500 IU made up to 1 mL holds 150 IU in 0.1 mL; by hand.
func TestVialsAddUp(t *testing.T) {
	vial := Vial{Lot: "H1", Expiry: day(2027, 1, 31), Units: measure.MustUnits("1500"), MadeUp: mL("1")}
	dose := func(units, volume string) Dose { return Dose{Units: measure.MustUnits(units), Volume: mL(volume)} }
	of := func(vials []Vial, doses ...Dose) *Dissolved {
		return &Dissolved{Vials: vials, Doses: doses, Patch: Patch{Decision: "not_done"}, ObservedUntil: time.Unix(1, 0)}
	}
	late, nameless := vial, vial
	late.Expiry, nameless.Lot = day(2026, 12, 3), " "
	for name, c := range map[string]struct {
		d    *Dissolved
		want string
	}{
		"even":                {of([]Vial{vial}, dose("150", "0.1"), dose("75", "0.05")), ""},
		"all of it":           {of([]Vial{vial}, dose("1500", "1")), ""},
		"ten times too much":  {of([]Vial{vial}, dose("150", "0.01")), "dose_dilution"},
		"more than was there": {of([]Vial{vial}, dose("1500", "1"), dose("1.5", "0.001")), "vial_overdrawn"},
		"two vials, unsaid":   {of([]Vial{vial, vial}, dose("150", "0.1")), "dose_without_vial"},
		"no units":            {of([]Vial{vial}, Dose{Volume: mL("0.1")}), "units_unread"},
		"expired":             {of([]Vial{late}), "vial_expired"},
		"no lot":              {of([]Vial{nameless}), "vial_lot_missing"},
		"no decision":         {&Dissolved{}, "patch_open"},
		"not observed":        {&Dissolved{Vials: []Vial{vial}, Doses: []Dose{dose("150", "0.1")}, Patch: Patch{Decision: "done"}}, "observation_open"},
	} {
		if got := strings.Join(ids(c.d.against(clinic.Stock{}, day(2026, 12, 4))), " "); got != c.want {
			t.Errorf("%s: %q, not %q", name, got, c.want)
		}
	}
}

// The sum of units does not depend on the order, and unread doses are counted, not guessed.
func TestUnitsAddUp(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d := &Dissolved{}
		tenths, unread := int64(0), 0
		for range rapid.IntRange(0, 12).Draw(t, "doses") {
			n := rapid.Int64Range(0, 9999).Draw(t, "tenths")
			u := measure.MustUnits(measure.Microlitres(n * 100).String())
			tenths += n
			if n == 0 {
				unread++
			}
			d.Doses = append(d.Doses, Dose{Units: u})
		}
		sum, n := d.Total()
		if want := measure.MustUnits(measure.Microlitres(tenths * 100).String()); !sum.Equal(want) || n != unread {
			t.Fatalf("%s of %s, %d of %d unread", sum, want, n, unread)
		}
	})
}

// Swapping left and right swaps exactly the totals by side, and nothing else.
func TestMirroredRowsSwapTheSides(t *testing.T) {
	mirror := map[string]string{"left": "right", "right": "left"}
	rapid.Check(t, func(t *rapid.T) {
		var rows, mirrored []Row
		for range rapid.IntRange(0, 20).Draw(t, "rows") {
			row := Row{Zone: rapid.SampledFrom(Lists().Codes()).Draw(t, "zone"), Side: rapid.SampledFrom([]string{"left", "right", "both", "midline", ""}).Draw(t, "side"),
				Product: rapid.SampledFrom([]string{"a", "b"}).Draw(t, "product"), Volume: measure.Microlitres(rapid.Int64Range(0, 900).Draw(t, "volume"))}
			rows = append(rows, row)
			if other, sided := mirror[row.Side]; sided {
				row.Side = other
			}
			mirrored = append(mirrored, row)
		}
		a, b := Total(rows), Total(mirrored)
		for i, s := range b.BySide {
			if other, sided := mirror[s.Code]; sided {
				b.BySide[i].Code = other
			}
		}
		sides := func(all []Sum) map[string]string {
			out := map[string]string{}
			for _, s := range all {
				out[s.Code] = s.Volume.String()
			}
			return out
		}
		if diff := cmp.Diff(sides(a.BySide), sides(b.BySide)); diff != "" {
			t.Fatal(diff)
		}
		a.BySide, b.BySide = nil, nil
		if diff := cmp.Diff(a, b, same); diff != "" {
			t.Fatal(diff)
		}
	})
}

// What was injected in all balances is what the rows hold, and each syringe and row is in one of them.
func TestBalancesLoseNothing(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var g Given
		for range rapid.IntRange(0, 4).Draw(t, "syringes") {
			g.Syringes = append(g.Syringes, Syringe{Product: rapid.SampledFrom([]string{"a", "b"}).Draw(t, "product"), Lot: rapid.SampledFrom([]string{"", "1", "2"}).Draw(t, "lot"),
				Labelled: mL("1"), Discarded: measure.Microlitres(rapid.Int64Range(0, 900).Draw(t, "discarded"))})
		}
		for range rapid.IntRange(0, 9).Draw(t, "rows") {
			g.Rows = append(g.Rows, Row{Product: rapid.SampledFrom([]string{"", "a", "b", "c"}).Draw(t, "of"), Lot: rapid.SampledFrom([]string{"", "1", "3"}).Draw(t, "row lot"),
				Syringe: rapid.IntRange(0, 5).Draw(t, "syringe"), Volume: measure.Microlitres(rapid.Int64Range(1, 900).Draw(t, "volume"))})
		}
		injected, syringes, rows := measure.Zero(), 0, 0
		for _, b := range g.Balances() {
			injected, syringes, rows = injected.Add(b.Injected), syringes+len(b.Syringes), rows+len(b.Rows)
		}
		if !injected.Equal(g.Totals().All) || syringes != len(g.Syringes) || rows != len(g.Rows) {
			t.Fatalf("%s of %s, %d of %d syringes, %d of %d rows", injected, g.Totals().All, syringes, len(g.Syringes), rows, len(g.Rows))
		}
	})
}

func TestAmendmentsKeepTheOldValue(t *testing.T) {
	was := source.Map("by", "amara", "recorded", "x", "rows", source.List(source.Map("zone", "UL-VB", "volume", "0.2"), source.Map("zone", "UL-TM")))
	now := source.Map("by", "amara", "recorded", "y", "rows", source.List(source.Map("zone", "UL-VB", "volume", "0.3", "side", "left")))
	want := []Amendment{{Where: "rows.1.volume", Was: "0.2", Now: "0.3"}, {Where: "rows.2.zone", Was: "UL-TM"}, {Where: "rows.1.side", Now: "left"}}
	if diff := cmp.Diff(want, Amend(was, now, "recorded"), same); diff != "" {
		t.Error(diff)
	}
	if same := Amend(was, was); len(same) > 0 {
		t.Errorf("%v", same)
	}
}

// A code's remarks of no weight are no findings.
func TestNotesAreNoFindings(t *testing.T) {
	s := &Scanned{Remarks: []device.Remark{{ID: "scan.a", Level: device.Note}, {ID: "scan.b", Level: device.Doubt}, {ID: "scan.c", Level: device.Fault}}}
	if got := s.findings("check.code", "syringe", 1); len(got) != 2 {
		t.Errorf("%v", got)
	}
}
