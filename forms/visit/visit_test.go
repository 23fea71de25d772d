package visit

import (
	"fmt"
	"slices"
	"strings"
	"testing"
	"time"

	"philtrum/forms"
	"philtrum/forms/device"
	"philtrum/forms/measure"
	"philtrum/forms/source"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"
	"pgregory.net/rapid"
)

func mL(s string) measure.Volume { return measure.MustVolume(s) }

func day(y int, m time.Month, d int) measure.Date { return measure.Date{Year: y, Month: m, Day: d} }

// same compares without positions and with times as moments.
var same = cmp.Options{
	cmpopts.IgnoreTypes(source.Span{}),
	cmpopts.IgnoreFields(Visit{}, "Zone", "Answers"),
	cmp.Comparer(func(a, b time.Time) bool { return a.Equal(b) }),
	cmp.Comparer(func(a, b measure.Volume) bool { return a.Equal(b) }),
	cmp.Comparer(func(a, b measure.Weight) bool { return a.Equal(b) }),
	cmp.Comparer(func(a, b measure.Dose) bool { return a.Equal(b) }),
	cmpopts.EquateEmpty(),
}

func codeOf(carrier string, typed device.Typed) *Scanned {
	s, _ := scan(carrier, 2026, typed)
	return s
}

func full() Visit {
	at := time.Date(2026, 12, 4, 14, 5, 0, 0, time.FixedZone("", 3600))
	return Visit{
		ID: "v-01", Patient: "p-01", Kind: Dissolving, Emergency: true, Appointment: at, Practitioner: "amara",
		After: "v-00", Course: "c-1", Form: Version{"lips", "1"}, Rules: Version{"rules", "2"}, Salt: "0012",
		IdentitySeen: &IdentitySeen{"passport", "desk-1", day(2026, 12, 4)},
		Answers:      source.Map("pregnant", "no"),
		Answered:     Answered{"patient", "paper", at},
		Interpreter:  &InterpreterAttends{"Ann Example", "77", "sv", "video", "yes"},
		Shown:        []Shown{{"vaccine", "ef", at}},
		Decisions:    []Decision{{Rule: "hsv", Outcome: "history", Reason: "no: “never” again", By: "amara", At: at, Digest: "ab", Transcribed: "desk-1", Saw: "video", SawAt: at}},
		Met:          []Condition{{Rule: "hsv", Outcome: "active", By: "amara", Note: "healed", At: at, Digest: "cd"}},
		Plan: Plan{
			Wish: "a little\nmore", Zones: []string{"UL", "LL-VB"}, Greatest: mL("1.0"), Classes: []string{"soft"},
			Product: "soft-1", Lidocaine: true, LidocaineSaid: true, Instruments: []string{"needle"}, Anaesthetic: "none", Price: "250",
			ReviewOn: day(2026, 12, 18), Examination: "10:30", By: "amara", At: at,
			Rows: []Row{{Zone: "UL-VB", Side: "left", Volume: mL("0.2")}},
		},
		Handed:    []Handed{{Paper: "information", Document: "d1", At: at, How: "in_person", By: "amara", Explained: true}},
		States:    []StateChange{{State: Informed, At: at, By: "amara", Note: "~"}},
		Papers:    []Paper{{Kind: "consent", Document: "d2", Language: "sv", At: at, Supersedes: "d1"}},
		WrittenIn: []WrittenIn{{"plan.wish", "sv"}, {"decisions.1.reason", "es-MX"}},
		Treatment: &Given{
			Start: at, End: at.Add(time.Hour), By: "amara", Asepsis: "yes", Weight: measure.MustWeight("54.5"), Reaction: "none", Reconfirmed: true,
			Photos: []string{"a"}, Kit: []string{"hyaluronidase"}, Notes: "{x}",
			Anaesthetics: []Anaesthetic{{Substance: "lidocaine", Form: "cream", Strength: "4%", Lot: "1E3", Volume: mL("0.5"),
				Dose: measure.MustDose("20"), At: at, Expiry: day(2027, 1, 31)}},
			Syringes: []Syringe{{Product: "soft-1", Lot: "0012", Device: "04", Carrier: "(01)04", Code: codeOf("(01)04", device.Typed{Device: "04", Lot: "0012", Expiry: day(2027, 3, 31)}), Expiry: day(2027, 3, 31),
				Labelled: mL("1"), Discarded: mL("0.05")}},
			Rows: []Row{{Zone: "UL-VB", Side: "left", Plane: "submucosal", Technique: "bolus", Instrument: "needle", Gauge: "30",
				LengthMm: "13", Product: "soft-1", Lot: "0012", Volume: mL("0.95"), Passes: 2, EntryPoints: 1, Syringe: 1,
				Aspiration: "negative", Refill: "brisk"}},
			Checks: []Check{{What: "refill", Result: "normal", At: at}},
		},
	}
}

func parse(t testing.TB, data string) *source.Node {
	t.Helper()
	n, problems := source.Parse("visit.yaml", []byte(data))
	if err := problems.Err(); err != nil {
		t.Fatal(err)
	}
	return n
}

func TestWrittenVisitReadsBack(t *testing.T) {
	want := full()
	r := &source.Reader{}
	n := parse(t, string(source.Write(want.Node())))
	got := Read(n, r, time.UTC)
	if err := r.Problems().Err(); err != nil {
		t.Fatal(err)
	}
	if diff := cmp.Diff(want, got, same); diff != "" {
		t.Error(diff)
	}
	if len(got.Treatment.Marks) > 0 {
		t.Error(got.Treatment.Marks)
	}
}

func TestWrittenPatientReadsBack(t *testing.T) {
	want := Patient{
		ID: "p-01", Number: "n7", Given: "Ada", Family: "Example", Display: "Example Ada", Born: day(2000, 2, 29),
		Sex: "female", Address: []string{"1 Null Street", "no"}, Telephone: "020 7946 0000", Email: "ada@example.org",
		Speaks: "sv", Reads: "none", Interpreter: Interpreter{true, "sv"}, Needs: []string{"large_print"},
		Alerts: []string{"latex: rash"}, Representative: "Bo Example",
	}
	r := &source.Reader{}
	got := ReadPatient(parse(t, string(source.Write(want.Node()))), r)
	if err := r.Problems().Err(); err != nil {
		t.Fatal(err)
	}
	if diff := cmp.Diff(want, got, same); diff != "" {
		t.Error(diff)
	}
}

func TestPatientNameInTheirOwnOrder(t *testing.T) {
	for want, p := range map[string]Patient{
		"Ada Example": {Given: "Ada", Family: "Example"},
		"Example Ada": {Given: "Ada", Family: "Example", Display: "Example Ada"},
		"Suharto":     {Given: "Suharto"},
		"Example":     {Family: "Example"},
	} {
		if got := p.Name(); got != want {
			t.Errorf("%q, want %q", got, want)
		}
	}
}

// Nothing in a treatment may be lost, however it was written: every text that was typed stands in the
// value, in the texts as typed, or in Unread.
func TestTreatmentLosesNothing(t *testing.T) {
	keys := []string{
		"start", "by", "asepsis", "colour", "rows", "syringes", "anaesthetics", "checks", "notes", "reconfirmed",
		"zone", "side", "plane", "volume", "lot", "expiry", "labelled", "passes", "dose", "what", "at",
	}
	rapid.Check(t, func(rt *rapid.T) {
		typedTexts := map[string]bool{}
		serial := 0
		var tree func(depth int) *source.Node
		tree = func(depth int) *source.Node {
			shape := rapid.IntRange(0, 2).Draw(rt, "shape")
			switch {
			case depth == 0 || shape == 0:
				serial++
				text := fmt.Sprintf("word%dx", serial)
				typedTexts[text] = true
				return source.Text(text)
			case shape == 1:
				n := source.Map()
				for _, k := range rapid.SliceOfNDistinct(rapid.SampledFrom(keys), 0, 4, rapid.ID[string]).Draw(rt, "keys") {
					n.Keys = append(n.Keys, source.Key{Name: k, Value: tree(depth - 1)})
				}
				return n
			}
			n := source.List()
			for range rapid.IntRange(0, 3).Draw(rt, "items") {
				n.Items = append(n.Items, tree(depth-1))
			}
			return n
		}
		g := readTreatment(tree(4), time.UTC, time.Time{})
		if g == nil {
			rt.Fatal("a treatment was dropped")
		}
		marks := g.Marks
		g.Marks = nil
		kept := fmt.Sprintf("%+v", *g)
		for text := range typedTexts {
			if !strings.Contains(kept, text) {
				rt.Fatalf("%s is lost; marks %v; kept %s", text, marks, kept)
			}
		}
	})
}

func TestTreatmentKeepsWhatItCannotRead(t *testing.T) {
	v := Read(parse(t, `id: v-01
patient: p-01
kind: treatment
appointment: 2026-12-04 14:00
treatment:
  start: 2026-12-04 14:10
  syringes:
    - {product: soft-1, lot: 12E4, expiry: 2027-02, labelled: 1.0}
    - {product: soft-1, lot: no, expiry: 03/04/2027, labelled: full}
  rows:
    - {zone: UL-VB, side: left, volume: 0,5}
    - {zone: UL-VB, side: left, volume: "0,5"}
    - {zone: ELSEWHERE, plane: deep, volume: a bit}
`), &source.Reader{}, time.UTC)
	g := v.Treatment
	if got := g.Syringes[0]; got.Lot != "12E4" || got.Expiry != day(2027, 2, 28) {
		t.Errorf("syringe 1: %+v", got)
	}
	if got := g.Syringes[1]; got.Lot != "no" || got.ExpiryText != "03/04/2027" || got.LabelledText != "full" {
		t.Errorf("syringe 2: %+v", got)
	}
	if got := g.Rows[0]; got.VolumeText != "0,5" || !got.Volume.IsZero() {
		t.Errorf("row 1, a decimal comma torn apart: %+v", got)
	}
	if got := g.Rows[1]; !got.Volume.Equal(mL("0.5")) {
		t.Errorf("row 2: %+v", got)
	}
	if got := g.Rows[2]; got.Zone != "ELSEWHERE" || got.Plane != "deep" || got.VolumeText != "a bit" {
		t.Errorf("row 3: %+v", got)
	}
	if got := g.Totals(); !got.All.Equal(mL("0.5")) || got.Unread != 2 {
		t.Errorf("totals: %+v", got)
	}
}

func TestConsentFollowsTime(t *testing.T) {
	at := func(minute int) time.Time { return time.Date(2026, 12, 4, 14, minute, 0, 0, time.UTC) }
	for _, c := range []struct {
		name    string
		changes []StateChange
		want    ConsentState
		odd     int
		holds   bool
	}{
		{"nothing yet", nil, Planned, 0, false},
		{"in order", []StateChange{{State: Informed, At: at(1)}, {State: Consented, At: at(2)}, {State: Treated, At: at(3)}}, Treated, 0, true},
		{"written late", []StateChange{{State: Treated, At: at(3)}, {State: Consented, At: at(2)}, {State: Informed, At: at(1)}}, Treated, 0, true},
		{"withdrawn", []StateChange{{State: Informed, At: at(1)}, {State: Consented, At: at(2)}, {State: Withdrawn, At: at(3)}}, Withdrawn, 0, false},
		{"withdrawn and given anew", []StateChange{{State: Informed, At: at(1)}, {State: Consented, At: at(2)}, {State: Withdrawn, At: at(3)}, {State: Consented, At: at(4)}}, Consented, 0, true},
		{"stopped early", []StateChange{{State: Informed, At: at(1)}, {State: Consented, At: at(2)}, {State: StoppedEarly, At: at(3)}}, StoppedEarly, 0, true},
		{"treated without consent", []StateChange{{State: Informed, At: at(1)}, {State: Treated, At: at(2)}}, Treated, 1, false},
		{"treated after withdrawal", []StateChange{{State: Informed, At: at(1)}, {State: Consented, At: at(2)}, {State: Withdrawn, At: at(3)}, {State: Treated, At: at(4)}}, Treated, 1, false},
		{"same minute keeps the file's order", []StateChange{{State: Informed, At: at(1)}, {State: Consented, At: at(1)}}, Consented, 0, true},
	} {
		got, odd := ConsentNow(c.changes)
		_, holds := Visit{States: c.changes}.Consented()
		if got != c.want || len(odd) != c.odd || holds != c.holds {
			t.Errorf("%s: %s, %d odd steps, holds %v; want %s, %d, %v", c.name, got, len(odd), holds, c.want, c.odd, c.holds)
		}
	}
}

func TestReflectionRunsFromTheFirstHanding(t *testing.T) {
	early, late := time.Date(2026, 12, 1, 9, 0, 0, 0, time.UTC), time.Date(2026, 12, 3, 9, 0, 0, 0, time.UTC)
	v := Visit{Handed: []Handed{{Paper: "information", At: late}, {Paper: "consent", At: early}, {Paper: "information", At: early}}}
	if h, ok := v.HandedFirst("information"); !ok || !h.At.Equal(early) {
		t.Errorf("%v %v", h, ok)
	}
	if _, ok := v.HandedFirst("aftercare"); ok {
		t.Error("a paper counts as handed over that was not")
	}
}

func TestDigestIsOfWhatWasJudged(t *testing.T) {
	given := func(v forms.Value) forms.Answer {
		v.Kind = forms.YesNo
		return forms.Answer{State: forms.Given, Value: v}
	}
	yes, no := given(forms.Value{Yes: true}), given(forms.Value{})
	base := map[string]forms.Answer{"a": yes, "b": no}
	ids := []string{"a", "b"}
	d := Digest("salt", base, ids)
	if len(d) != 64 {
		t.Errorf("%q is no SHA-256", d)
	}
	if got := Digest("salt", base, []string{"b", "a", "a"}); got != d {
		t.Error("the order of questions changes the digest")
	}
	signed := yes
	signed.By, signed.Via, signed.At = "nurse-1", "speech", time.Unix(1, 0)
	if got := Digest("salt", map[string]forms.Answer{"a": signed, "b": no, "c": yes}, ids); got != d {
		t.Error("who answered, or another question, changes the digest")
	}
	different := map[string]string{
		"another salt":    Digest("salz", base, ids),
		"another answer":  Digest("salt", map[string]forms.Answer{"a": no, "b": no}, ids),
		"unsure":          Digest("salt", map[string]forms.Answer{"a": {State: forms.Unsure}, "b": no}, ids),
		"blank":           Digest("salt", map[string]forms.Answer{"a": {State: forms.Blank}, "b": no}, ids),
		"not asked":       Digest("salt", map[string]forms.Answer{"b": no}, ids),
		"fewer questions": Digest("salt", base, ids[:1]),
		"something more":  Digest("salt", base, ids, "lot 0012"),
	}
	seen := map[string]string{d: "the digest itself"}
	for name, got := range different {
		if other, twice := seen[got]; twice {
			t.Errorf("%s: the same digest as %s", name, other)
		}
		seen[got] = name
	}
}

// Texts cannot run into each other: moving a letter over a border changes the digest.
func TestDigestKeepsTextsApart(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		list := func(names []string) map[string]forms.Answer {
			return map[string]forms.Answer{"m": {State: forms.Given, Value: forms.Value{Kind: forms.Medicines, Names: names}}}
		}
		gen := rapid.SliceOfN(rapid.StringMatching(`[ab:1]{0,3}`), 0, 4)
		a, b := gen.Draw(t, "a"), gen.Draw(t, "b")
		equal := Digest("s", list(a), []string{"m"}) == Digest("s", list(b), []string{"m"})
		if equal != slices.Equal(a, b) {
			t.Fatalf("%q and %q: equal %v", a, b, equal)
		}
	})
}

// What a plan does not say of lidocaine, and a visit of its interpreter, is not no.
func TestWhatNobodyWroteIsNotNo(t *testing.T) {
	for text, want := range map[string][2]bool{
		"{zones: [UL]}":                {false, false},
		"{zones: [UL], lidocaine: }":   {false, false},
		"{zones: [UL], lidocaine: no}": {false, true}, "{zones: [UL], lidocaine: yes}": {true, true},
	} {
		plan := planOf(t, text)
		if plan.Lidocaine != want[0] || plan.LidocaineSaid != want[1] {
			t.Errorf("%s: %v, said %v", text, plan.Lidocaine, plan.LidocaineSaid)
		}
		if again := planOf(t, string(source.Write(plan.Node()))); again.LidocaineSaid != want[1] {
			t.Errorf("%s: written and read again, said %v", text, again.LidocaineSaid)
		}
	}
}

func planOf(t *testing.T, text string) Plan {
	t.Helper()
	n, problems := source.Parse("visit.yaml", []byte(text))
	if len(problems) > 0 {
		t.Fatal(problems)
	}
	root := source.Map("id", source.Text("v"), "patient", source.Text("p"), "kind", source.Text("treatment"),
		"appointment", source.Text("2026-12-04 10:00"), "plan", n)
	r := &source.Reader{}
	v := Read(root, r, time.UTC)
	if err := r.Problems().Err(); err != nil {
		t.Fatal(err)
	}
	return v.Plan
}
