package visit

import (
	"testing"

	"philtrum/forms/measure"
	"philtrum/forms/source"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"
)

var softLine = func(string) Line { return Line{Known: true, Class: "soft", Lidocaine: true} }

func plannedUpper() Plan {
	return Plan{Zones: []string{"UL"}, Greatest: measure.MustVolume("0.8"), Classes: []string{"soft"}, Product: "soft",
		Lidocaine: true, LidocaineSaid: true, Instruments: []string{"needle"}}
}

func idsOf(found []Finding) []string {
	out := []string{}
	for _, f := range found {
		out = append(out, f.ID)
	}
	return out
}

// What is planned beyond a signed consent is found, each thing once; what lies inside it is not.
func TestPlanBeyondTheSignedConsent(t *testing.T) {
	signed := plannedUpper().Scope()
	for name, c := range map[string]struct {
		change func(*Plan)
		line   func(string) Line
		want   []string
	}{
		"the same":                        {func(*Plan) {}, softLine, []string{}},
		"a zone of the same lip":          {func(p *Plan) { p.Zones = []string{"UL-VB"} }, softLine, []string{}},
		"less":                            {func(p *Plan) { p.Greatest = measure.MustVolume("0.2") }, softLine, []string{}},
		"another lip":                     {func(p *Plan) { p.Zones = []string{"UL", "LL"} }, softLine, []string{"scope.zone"}},
		"both lips as one":                {func(p *Plan) { p.Zones = []string{"LIPS"} }, softLine, []string{"scope.zone"}},
		"more":                            {func(p *Plan) { p.Greatest = measure.MustVolume("0.81") }, softLine, []string{"scope.volume"}},
		"another class":                   {func(p *Plan) { p.Classes = []string{"firm"} }, softLine, []string{"scope.class"}},
		"a product of another class":      {func(*Plan) {}, func(string) Line { return Line{Known: true, Class: "firm"} }, []string{"scope.class"}},
		"the same class, another product": {func(p *Plan) { p.Product = "soft-two" }, softLine, []string{}},
		"cannula":                         {func(p *Plan) { p.Instruments = []string{"needle", "cannula"} }, softLine, []string{"scope.instrument"}},
		"an unknown product":              {func(*Plan) {}, func(string) Line { return Line{} }, []string{}},
	} {
		p := plannedUpper()
		c.change(&p)
		if got := idsOf(p.Beyond(signed, c.line)); !cmp.Equal(got, c.want) {
			t.Errorf("%s: %v, want %v", name, got, c.want)
		}
	}
	plain := signed
	plain.Lidocaine = false
	if got := idsOf(plannedUpper().Beyond(plain, softLine)); !cmp.Equal(got, []string{"scope.lidocaine"}) {
		t.Errorf("lidocaine: %v", got)
	}
}

// A plan is never beyond its own scope, whatever stands in it, if its product is one of its classes.
func TestPlanIsInsideItself(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := plannedUpper()
		p.Zones = rapid.SliceOf(rapid.SampledFrom(Lists().Codes())).Draw(t, "zones")
		p.Instruments = rapid.SliceOf(rapid.SampledFrom([]string{"needle", "cannula"})).Draw(t, "instruments")
		p.Greatest = measure.MustVolume(rapid.SampledFrom([]string{"0.1", "0.25", "1", "2.5"}).Draw(t, "greatest"))
		if found := p.Beyond(p.Scope(), softLine); len(found) > 0 {
			t.Fatalf("%v", idsOf(found))
		}
	})
}

func TestPlannedProductFitsThePlan(t *testing.T) {
	p := plannedUpper()
	for name, c := range map[string]struct {
		line func(string) Line
		plan func(*Plan)
		want []string
	}{
		"fits":              {softLine, func(*Plan) {}, []string{}},
		"not ours":          {func(string) Line { return Line{} }, func(*Plan) {}, []string{"scope.product_unknown"}},
		"firmer":            {func(string) Line { return Line{Known: true, Class: "firm"} }, func(*Plan) {}, []string{"scope.product_class"}},
		"lidocaine denied":  {softLine, func(p *Plan) { p.Lidocaine = false }, []string{"scope.product_lidocaine"}},
		"lidocaine unsaid":  {softLine, func(p *Plan) { p.Lidocaine, p.LidocaineSaid = false, false }, []string{}},
		"no product chosen": {func(string) Line { return Line{} }, func(p *Plan) { p.Product = "" }, []string{}},
	} {
		q := p
		c.plan(&q)
		if got := idsOf(q.Misfits(c.line)); !cmp.Equal(got, c.want) {
			t.Errorf("%s: %v, want %v", name, got, c.want)
		}
	}
}

// A reason is asked for above the clinic's figure, not at it, and not once it is given; without a figure never.
func TestReasonIsAskedAboveTheFigure(t *testing.T) {
	one := measure.MustVolume("1.0")
	p := plannedUpper()
	for volume, want := range map[string]int{"0.9": 0, "1.0": 0, "1.01": 1} {
		p.Greatest = measure.MustVolume(volume)
		if got := len(p.AskReason(one)); got != want {
			t.Errorf("%s: %d", volume, got)
		}
	}
	if len(p.AskReason(measure.Zero())) != 0 {
		t.Error("asked without a figure")
	}
	p.VolumeReason = "staged before"
	if len(p.AskReason(one)) != 0 {
		t.Error("asked although a reason is given")
	}
}

// What was signed stays what it was while the plan changes, and is gone once consent is taken back.
func TestSignedStaysAsItWas(t *testing.T) {
	covers := plannedUpper().Scope()
	v := Visit{Plan: plannedUpper(), States: []StateChange{{State: Consented, Covers: &covers}}}
	v.Plan.Zones = []string{"LL"}
	if s, ok := v.Signed(); !ok || !cmp.Equal(s.Zones, []string{"UL"}) {
		t.Errorf("%v %v", s, ok)
	}
	v.States = append(v.States, StateChange{State: Withdrawn})
	if _, ok := v.Signed(); ok {
		t.Error("still signed after it was taken back")
	}
	v.States = []StateChange{{State: Consented}}
	if _, ok := v.Signed(); ok {
		t.Error("a consent of unknown extent covers something")
	}
}

// A consent covers what its paper was printed for, not what is planned by now.
func TestPrintedPaperSaysWhatIsCovered(t *testing.T) {
	printed := plannedUpper().Scope()
	v := Visit{Plan: Plan{Zones: []string{"LL"}}, Papers: []Paper{{Kind: "consent", Document: "d1", Covers: &printed}}}
	if s := v.Printed("d1"); !cmp.Equal(s.Zones, []string{"UL"}) {
		t.Errorf("%v", s.Zones)
	}
	if s := v.Printed(""); !cmp.Equal(s.Zones, []string{"LL"}) {
		t.Errorf("without a paper: %v", s.Zones)
	}
}

func TestPlanWithExaminationReadsBack(t *testing.T) {
	p := plannedUpper()
	p.Examined = Examined{Tissue: "lax", Rest: "right lower", Profile: "behind", Scars: "none"}
	p.Sessions, p.IntervalWeeks, p.UpperLower, p.RightLeft, p.VolumeReason = 2, 4, "1 : 1.5", "1 : 1", "both lips"
	covers := p.Scope()
	want := Visit{ID: "v", Patient: "p", Kind: Treatment, Plan: p, States: []StateChange{{State: Consented, Covers: &covers}}}
	node, problems := source.Parse("visit.yaml", source.Write(want.Node()))
	if len(problems) > 0 {
		t.Fatal(problems)
	}
	got := Read(node, &source.Reader{}, nil)
	got.Plan.Span = source.Span{}
	if diff := cmp.Diff(want.Plan, got.Plan); diff != "" {
		t.Error(diff)
	}
	if s, ok := got.Signed(); !ok || !cmp.Equal(s, covers) {
		t.Errorf("%+v", s)
	}
}

func TestShareIsTwoNumbers(t *testing.T) {
	for text, want := range map[string]string{"1:2": "1 : 2", "1 : 1,5": "1 : 1,5", "one:two": "", "1": "", "1:2:3": "", ":": ""} {
		node, _ := source.Parse("visit.yaml", source.Write(source.Map("plan", source.Map("upper_lower", text))))
		r := &source.Reader{}
		if got := Read(node, r, nil).Plan.UpperLower; got != want {
			t.Errorf("%q: %q, want %q", text, got, want)
		}
	}
}
