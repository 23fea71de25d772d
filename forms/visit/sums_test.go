package visit

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"philtrum/forms/measure"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"
)

func ids(found []Finding) []string {
	var out []string
	for _, f := range found {
		out = append(out, strings.TrimPrefix(f.ID, "check."))
	}
	return out
}

func sums(list []Sum) string {
	var out []string
	for _, s := range list {
		out = append(out, s.Code+" "+s.Volume.String())
	}
	return strings.Join(out, ", ")
}

func TestTotals(t *testing.T) {
	g := Given{Rows: []Row{
		{Zone: "LL-VBODY", Side: "left", Product: "soft-1", Volume: mL("0.1")},
		{Zone: "UL-VB", Side: "left", Product: "soft-1", Volume: mL("0.15")},
		{Zone: "UL-VB", Side: "right", Product: "soft-1", Volume: mL("0.15")},
		{Zone: "UL-TM", Product: "firm-1", Volume: mL("0.05")},
		{Zone: "COM", Side: "right", Product: "soft-1", Volume: mL("0.05")},
		{Zone: "CHIN", Product: "firm-1", Volume: mL("0.3")},
		{Zone: "UL-VB", Side: "left", Volume: measure.Zero()},
	}}
	total := g.Totals()
	for name, c := range map[string][2]string{
		"all":     {total.All.String(), "0.8"},
		"zone":    {sums(total.ByZone), "UL-VB 0.3, UL-TM 0.05, COM 0.05, LL-VBODY 0.1, CHIN 0.3"},
		"lip":     {sums(total.ByLip), "upper 0.35, lower 0.1, both 0.05, none 0.3"},
		"side":    {sums(total.BySide), "right 0.2, left 0.25, midline 0.35"},
		"product": {sums(total.ByProduct), "soft-1 0.45, firm-1 0.35"},
		"unread":  {fmt.Sprint(total.Unread), "1"},
	} {
		if c[0] != c[1] {
			t.Errorf("%s: %s, want %s", name, c[0], c[1])
		}
	}
	if got := total.Above(mL("0.5")); len(got) != 0 {
		t.Errorf("0.5 mL in the lips is not above 0.5: %v", got)
	}
	if got := total.Above(mL("0.499")); len(got) != 1 {
		t.Errorf("0.5 mL in the lips is above 0.499: %v", got)
	}
}

func TestLimitOfALine(t *testing.T) {
	total := Total([]Row{{Product: "a", Volume: mL("0.6")}, {Product: "a", Volume: mL("0.4")}, {Product: "b", Volume: mL("2")}})
	limit := func(s string) func(string) measure.Volume {
		return func(product string) measure.Volume {
			if product == "a" {
				return mL(s)
			}
			return measure.Zero()
		}
	}
	if got := ids(total.AboveLimit(limit("1.0"))); len(got) != 0 {
		t.Errorf("1.0 mL of 1.0 mL: %v", got)
	}
	if got := ids(total.AboveLimit(limit("0.99"))); !slices.Equal(got, []string{"volume_above_product"}) {
		t.Errorf("1.0 mL of 0.99 mL: %v", got)
	}
}

func TestVisitsAddUp(t *testing.T) {
	given := func(v string) *Given { return &Given{Rows: []Row{{Zone: "UL-TM", Volume: mL(v)}}} }
	total := TotalOf([]Visit{{Treatment: given("0.5")}, {}, {Treatment: given("0.25")}})
	if !total.All.Equal(mL("0.75")) {
		t.Errorf("%s", total.All)
	}
}

func TestSupersededPapersDoNotStand(t *testing.T) {
	v := Visit{Papers: []Paper{{Kind: "consent", Document: "a"}, {Kind: "consent", Document: "b", Supersedes: "a"}, {Kind: "information", Document: "c"}, {Kind: "letter"}}}
	var got []string
	for _, p := range v.Standing() {
		got = append(got, p.Kind+" "+p.Document)
	}
	if diff := cmp.Diff([]string{"consent b", "information c", "letter "}, got); diff != "" {
		t.Error(diff)
	}
}

// However a total is divided, its parts add up to it.
func TestPartsAddUp(t *testing.T) {
	codes := Lists().Codes()
	rapid.Check(t, func(t *rapid.T) {
		var rows []Row
		for range rapid.IntRange(0, 20).Draw(t, "rows") {
			rows = append(rows, Row{
				Zone:    rapid.SampledFrom(append(codes, "ELSEWHERE", "")).Draw(t, "zone"),
				Side:    rapid.SampledFrom([]string{"left", "right", "both", ""}).Draw(t, "side"),
				Product: rapid.SampledFrom([]string{"a", "b", ""}).Draw(t, "product"),
				Volume:  measure.Microlitres(rapid.Int64Range(0, 3000).Draw(t, "volume")),
			})
		}
		total := Total(rows)
		for name, parts := range map[string][]Sum{"zone": total.ByZone, "lip": total.ByLip, "side": total.BySide, "product": total.ByProduct} {
			sum := measure.Zero()
			for _, p := range parts {
				sum = sum.Add(p.Volume)
			}
			if !sum.Equal(total.All) {
				t.Fatalf("by %s: %s of %s", name, sum, total.All)
			}
		}
	})
}

func TestBalances(t *testing.T) {
	syringe := func(product, lot, labelled, discarded string) Syringe {
		return Syringe{Product: product, Lot: lot, Labelled: mL(labelled), Discarded: mL(discarded), Expiry: day(2030, 1, 1)}
	}
	row := func(product, lot, volume string, number int) Row {
		return Row{Zone: "UL-TM", Product: product, Lot: lot, Volume: mL(volume), Syringe: number}
	}
	for _, c := range []struct {
		name string
		g    Given
		want string
	}{
		{"even, dead space discarded", Given{Syringes: []Syringe{syringe("a", "1", "1", "0.05")}, Rows: []Row{row("a", "1", "0.95", 0)}}, ""},
		{"a hundredth too little", Given{Syringes: []Syringe{syringe("a", "1", "1", "0.05")}, Rows: []Row{row("a", "1", "0.94", 0)}}, "balance_uneven"},
		{"a hundredth too much", Given{Syringes: []Syringe{syringe("a", "1", "1", "0.05")}, Rows: []Row{row("a", "1", "0.96", 0)}}, "balance_uneven"},
		{"two of one lot that rows do not tell apart", Given{Syringes: []Syringe{syringe("a", "1", "1", "0"), syringe("a", "1", "1", "0.5")},
			Rows: []Row{row("a", "1", "1.2", 0), row("a", "1", "0.3", 0)}}, ""},
		{"two of one lot, told apart and wrong", Given{Syringes: []Syringe{syringe("a", "1", "1", "0"), syringe("a", "1", "1", "0.5")},
			Rows: []Row{row("a", "1", "1.2", 1), row("a", "1", "0.3", 2)}}, "balance_uneven,balance_uneven"},
		{"case of a lot does not count", Given{Syringes: []Syringe{syringe("a", "ab", "1", "0")}, Rows: []Row{row("a", " AB", "1", 0)}}, ""},
		{"leading zeros of a lot do", Given{Syringes: []Syringe{syringe("a", "0012", "1", "1")}, Rows: []Row{row("a", "12", "1", 0)}}, "rows_without_syringe"},
		{"a syringe opened and thrown away", Given{Syringes: []Syringe{syringe("a", "1", "1", "1")}}, ""},
		{"a volume that could not be read", Given{Syringes: []Syringe{syringe("a", "1", "1", "0")}, Rows: []Row{{Product: "a", VolumeText: "bit"}}}, "volume_unread,balance_open"},
		{"no label read", Given{Syringes: []Syringe{{Product: "a", Lot: "1", Expiry: day(2030, 1, 1)}}, Rows: []Row{row("a", "1", "1", 0)}}, "balance_open"},
		{"rows without syringe", Given{Rows: []Row{row("a", "1", "1", 0)}}, "rows_without_syringe"},
		{"a number beyond the syringes", Given{Syringes: []Syringe{syringe("a", "1", "1", "0")}, Rows: []Row{row("a", "1", "1", 9)}}, ""},
	} {
		if got := strings.Join(ids(c.g.Remarks(day(2026, 12, 4))), ","); got != c.want {
			t.Errorf("%s: %q, want %q", c.name, got, c.want)
		}
	}
}

func TestExpiryOfSyringes(t *testing.T) {
	on := day(2026, 12, 4)
	for want, expiry := range map[string]measure.Date{
		"":                              on,
		"expired,balance_uneven":        on.AddDays(-1),
		"expiry_missing,balance_uneven": {},
	} {
		g := Given{Syringes: []Syringe{{Lot: "1", Labelled: mL("1"), Expiry: expiry}}}
		if want == "" {
			g.Syringes[0].Discarded = mL("1")
		}
		if got := strings.Join(ids(g.Remarks(on)), ","); got != want {
			t.Errorf("expiry %s on %s: %q, want %q", expiry, on, got, want)
		}
	}
	if got := ids(Given{Syringes: []Syringe{{Labelled: mL("1"), Discarded: mL("1"), Expiry: on}}}.Remarks(on)); !slices.Equal(got, []string{"lot_missing"}) {
		t.Errorf("without a lot: %v", got)
	}
}

func TestOutsideTheConsent(t *testing.T) {
	scope := Plan{Zones: []string{"UL"}, Greatest: mL("1.0"), Classes: []string{"soft"}, Instruments: []string{"needle"}}.Scope()
	lines := map[string]Line{
		"soft": {Known: true, Class: "soft"}, "firm": {Known: true, Class: "firm"},
		"numb": {Known: true, Class: "soft", Lidocaine: true},
	}
	line := func(id string) Line { return lines[id] }
	good := Row{Zone: "UL-VB", Side: "left", Product: "soft", Instrument: "needle", Volume: mL("1.0")}
	change := func(f func(*Row)) Row { r := good; f(&r); return r }
	for _, c := range []struct {
		name string
		rows []Row
		want []string
	}{
		{"inside", []Row{good}, nil},
		{"a zone of the other lip", []Row{change(func(r *Row) { r.Zone = "LL-VB" })}, []string{"zone_outside_consent"}},
		{"the corner belongs to no single lip", []Row{change(func(r *Row) { r.Zone = "COM" })}, []string{"zone_outside_consent"}},
		{"the wider area", []Row{change(func(r *Row) { r.Zone = "LIPS" })}, []string{"zone_outside_consent"}},
		{"a zone of no list", []Row{change(func(r *Row) { r.Zone = "ELSEWHERE" })}, []string{"zone_outside_consent"}},
		{"another class", []Row{change(func(r *Row) { r.Product = "firm" })}, []string{"class_outside_consent"}},
		{"lidocaine", []Row{change(func(r *Row) { r.Product = "numb" })}, []string{"lidocaine_outside_consent"}},
		{"a product nobody knows", []Row{change(func(r *Row) { r.Product = "other" })}, []string{"product_unknown"}},
		{"cannula", []Row{change(func(r *Row) { r.Instrument = "cannula" })}, []string{"instrument_outside_consent"}},
		{"not said which", []Row{change(func(r *Row) { r.Instrument = "" })}, []string{"instrument_missing"}},
		{"a microlitre too much in all", []Row{good, change(func(r *Row) { r.Volume = mL("0.001") })}, []string{"volume_above_consent"}},
	} {
		if diff := cmp.Diff(c.want, ids(Given{Rows: c.rows}.Outside(scope, line))); diff != "" {
			t.Errorf("%s: %s", c.name, diff)
		}
	}
}

func TestZonesOfTheList(t *testing.T) {
	words := Lists()
	for _, z := range words.Zones {
		if z.Area != "" && !words.Covers([]string{z.Area}, z.Code) {
			t.Errorf("%s does not hold its zone %s", z.Area, z.Code)
		}
		if !words.Covers([]string{z.Code}, z.Code) {
			t.Errorf("%s does not hold itself", z.Code)
		}
		inLips := z.Lip != "none"
		if words.Covers([]string{"LIPS"}, z.Code) != inLips || words.Covers([]string{"LL", "UL"}, z.Code) != inLips {
			t.Errorf("%s: the lips hold it: %v", z.Code, !inLips)
		}
		if words.Covers(nil, z.Code) {
			t.Errorf("an empty consent holds %s", z.Code)
		}
	}
	if len(words.Zones) < 30 || !slices.Contains(words.Planes, "unknown") || !slices.Contains(words.Techniques, "other") {
		t.Errorf("the lists are not whole: %d zones, %v, %v", len(words.Zones), words.Planes, words.Techniques)
	}
	if words.Covers([]string{"UL-VB"}, "UL") {
		t.Error("a zone holds its whole area")
	}
}

func TestWrongListsAreRefused(t *testing.T) {
	for name, data := range map[string]string{
		"twice":        "zones: [{code: A, lip: none, side: midline}, {code: A, lip: none, side: midline}]\nareas: []\nplanes: []\ntechniques: []\ninstruments: []\n",
		"unknown area": "zones: [{code: A, lip: none, side: midline, area: B}]\nareas: []\nplanes: []\ntechniques: []\ninstruments: []\n",
		"no planes":    "zones: []\nareas: []\ntechniques: []\ninstruments: []\n",
	} {
		if _, problems := readWords("zones.yaml", []byte(data)); len(problems) != 1 {
			t.Errorf("%s: %v", name, problems)
		}
	}
}

func BenchmarkTotals(b *testing.B) {
	g := full().Treatment
	for b.Loop() {
		g.Totals()
	}
}
