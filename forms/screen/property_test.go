package screen_test

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"philtrum/forms"
	"philtrum/forms/screen"
	"philtrum/forms/source"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"
	"pgregory.net/rapid"
)

// texts of medicine entries: of every kind of class, unknown, combined.
var entries = []string{
	"warfarin 3 mg", "apixaban", "clopidogrel", "aspirin", "ibuprofen", "sertraline", "ginkgo", "methotrexate", "amoxicillin",
	"ramipril/amlodipine", "zzz", "paracetamol", "isotretinoin", "nivolumab", "bisoprolol", "metformin", "levothyroxine",
	"aciclovir", "oseltamivir", "semaglutide", "ginseng", "tamoxifen", "valproic acid",
}

// drawValue draws an answer as a file would hold it.
func drawValue(t *rapid.T, q *forms.Question) string {
	switch q.Kind {
	case forms.YesNo:
		return rapid.SampledFrom([]string{"yes", "no"}).Draw(t, q.ID)
	case forms.OneOf:
		return rapid.SampledFrom(q.Options).Draw(t, q.ID)
	case forms.SomeOf:
		var some []string
		for _, o := range q.Options {
			if rapid.IntRange(0, 5).Draw(t, o) == 0 {
				some = append(some, o)
			}
		}
		fewest := slices.ContainsFunc(q.Checks, func(c forms.Check) bool { return c.Word == "fewest" })
		if len(some) == 0 && fewest {
			some = q.Options[:1]
		}
		return "[" + strings.Join(some, ", ") + "]"
	case forms.DateKind:
		if q.Ahead {
			return rapid.SampledFrom([]string{"2026-12-05", "2026-12-20", "2027-01", "2027-06-01", "2027"}).Draw(t, q.ID)
		}
		return rapid.SampledFrom([]string{"2026-12-03", "2026-11-15", "2026-10", "2026", "2015-05-05"}).Draw(t, q.ID)
	case forms.Number:
		return rapid.SampledFrom([]string{"3", "3.5", "3.6", "8", "12"}).Draw(t, q.ID)
	case forms.Medicines:
		return "[" + strings.Join(rapid.SliceOfN(rapid.SampledFrom(entries), 0, 3).Draw(t, q.ID), ", ") + "]"
	case forms.Entries:
		var list []string
		for range rapid.IntRange(0, 2).Draw(t, q.ID) {
			var fields []string
			for _, f := range q.Fields {
				required := slices.ContainsFunc(f.Checks, func(c forms.Check) bool { return c.Word == forms.Required })
				if required || rapid.IntRange(0, 4).Draw(t, f.ID) > 0 {
					fields = append(fields, f.FieldName()+": "+drawValue(t, f))
				}
			}
			list = append(list, "{"+strings.Join(fields, ", ")+"}")
		}
		return "[" + strings.Join(list, ", ") + "]"
	}
	return "words"
}

// drawVisit starts from a healthy adult and changes a few answers, so that visits that are free, held for
// one reason and held for many all come up. Questions that then matter are answered as well.
func drawVisit(t *rapid.T, tb testing.TB, rules *screen.Rules) *fixture {
	f := healthy(tb)
	all := f.form.Questions()
	for range rapid.IntRange(0, 4).Draw(t, "changes") {
		q := all[rapid.IntRange(0, len(all)-1).Draw(t, "question")]
		f.set(q.ID, parse(tb, drawAnswer(t, q)))
	}
	for range 3 { // a follow-up may bring another one
		for _, a := range rules.Relevant(f.ready(tb)) {
			if q, _ := f.form.Question(a.Question); a.State == screen.NotAsked && !a.Perhaps {
				f.set(q.ID, parse(tb, drawAnswer(t, q)))
			}
		}
	}
	f.fact(tb, "place", rapid.SampledFrom([]string{"GB-ENG", "SE", "ES", "US", "XX"}).Draw(t, "place"))
	f.fact(tb, "handed", rapid.SampledFrom([]string{"none", "2026-12-04", "2026-12-03", "2026-11-01"}).Draw(t, "handed"))
	f.fact(tb, "kind", rapid.SampledFrom([]string{"treatment", "consultation", "dissolving"}).Draw(t, "kind"))
	for _, fact := range []string{"consented", "expired", "treated", "course"} {
		if rapid.IntRange(0, 3).Draw(t, fact) > 0 {
			continue
		}
		values := map[string][]string{
			"consented": {"2026-11-02", "2026-12-03", "2026-12-04"}, "expired": {"hyaluronidase", "adrenaline"},
			"treated": {"2026-11-20", "2025-01-10"}, "course": {"yes"},
		}
		f.fact(tb, fact, rapid.SampledFrom(values[fact]).Draw(t, fact+" value"))
	}
	if rapid.Bool().Draw(t, "lidocaine") {
		f.fact(tb, "lidocaine", "yes")
	}
	return f
}

func drawAnswer(t *rapid.T, q *forms.Question) string {
	if rapid.IntRange(0, 19).Draw(t, "state") == 0 {
		return rapid.SampledFrom([]string{"unsure", "declined", "blank"}).Draw(t, "which")
	}
	return drawValue(t, q)
}

func parse(tb testing.TB, value string) *source.Node {
	n, problems := source.Parse("", []byte("x: "+value))
	if len(problems) > 0 {
		tb.Fatal(value, problems)
	}
	return n.Keys[0].Value
}

var noSpans = cmpopts.IgnoreTypes(source.Span{})

func unexported() cmp.Option { return cmpopts.IgnoreUnexported(screen.Finding{}) }

// Blanking or blurring a whole answer never turns held into free.
func TestBlurringNeverFrees(t *testing.T) {
	rules := load(t)
	rapid.Check(t, func(r *rapid.T) {
		f := drawVisit(r, t, rules)
		if !rules.Evaluate(f.ready(t)).Held || len(f.answers) == 0 {
			return
		}
		k := f.answers[rapid.IntRange(0, len(f.answers)-1).Draw(r, "which")]
		state := rapid.SampledFrom([]string{"unsure", "declined", "blank", ""}).Draw(r, "blur")
		f.set(k.Name, nil)
		if state != "" {
			f.set(k.Name, source.Text(state))
		}
		if !rules.Evaluate(f.ready(t)).Held {
			r.Fatalf("%s %q frees", k.Name, state)
		}
	})
}

// The order of answers and judging twice change nothing.
func TestJudgingIsAFunctionOfTheCase(t *testing.T) {
	rules := load(t)
	rapid.Check(t, func(r *rapid.T) {
		f := drawVisit(r, t, rules)
		first := rules.Evaluate(f.ready(t))
		if diff := cmp.Diff(first, rules.Evaluate(f.ready(t)), unexported()); diff != "" {
			r.Fatal(diff)
		}
		slices.Reverse(f.answers)
		if diff := cmp.Diff(first, rules.Evaluate(f.ready(t)), unexported(), noSpans); diff != "" {
			r.Fatal(diff)
		}
	})
}

// Adding a medicine never frees.
func TestAddingAMedicineNeverFrees(t *testing.T) {
	rules := load(t)
	rapid.Check(t, func(r *rapid.T) {
		f := drawVisit(r, t, rules)
		list := rapid.SliceOfN(rapid.SampledFrom(entries), 0, 3).Draw(r, "list")
		more := rapid.SampledFrom(entries).Draw(r, "more")
		question := rapid.SampledFrom([]string{"prescribed", "own_medicines"}).Draw(r, "question")
		f.set(question, parse(t, "["+strings.Join(list, ", ")+"]"))
		f.set("blood_thinner", parse(t, rapid.SampledFrom([]string{"yes", "no"}).Draw(r, "thinner")))
		before := rules.Evaluate(f.ready(t))
		f.set(question, parse(t, "["+strings.Join(append(list, more), ", ")+"]"))
		if after := rules.Evaluate(f.ready(t)); before.Held && !after.Held {
			r.Fatalf("%s frees", more)
		}
	})
}

// Moving the visit may free it only where time itself counts: a window, a shelf life, an age, the day on which
// the information was handed over, a first treatment, what is in date. All else that is open stays open.
func TestMovingFreesOnlyByTime(t *testing.T) {
	rules := load(t)
	outcomes := map[string]screen.Outcome{}
	for _, rule := range rules.All() {
		for _, o := range rule.Outcomes {
			outcomes[rule.ID+"."+o.ID] = o
		}
	}
	byTime := func(f screen.Finding) bool {
		if slices.ContainsFunc(f.Missing, func(m screen.Missing) bool { return m.Why == screen.Outlived }) {
			return true
		}
		o := outcomes[f.Rule+"."+f.Outcome]
		for _, fact := range []string{"age", "same_day", "first_treatment", "repeat_treatment", "kit_", "reflection", "consent_"} {
			if strings.Contains(o.When, fact) {
				return true
			}
		}
		return o.Test.Kind != screen.NoTest || f.Unknown && slices.ContainsFunc(f.Missing, func(m screen.Missing) bool {
			q, ok := theForm().Question(m.Question)
			return ok && q.Kind == forms.DateKind
		})
	}
	rapid.Check(t, func(r *rapid.T) {
		f := drawVisit(r, t, rules)
		before := rules.Evaluate(f.ready(t))
		f.Visit.Appointment = f.Visit.Appointment.AddDate(0, 0, rapid.IntRange(-40, 400).Draw(r, "days"))
		after := rules.Evaluate(f.ready(t))
		for _, x := range before.Findings {
			if !x.Open() || byTime(x) {
				continue
			}
			open := slices.ContainsFunc(after.Findings, func(y screen.Finding) bool { return y.Rule == x.Rule && y.Open() })
			if !open {
				r.Fatalf("%s.%s was open and is gone", x.Rule, x.Outcome)
			}
		}
	})
}

// A policy lengthens what the law of a place sets and never shortens it.
func TestPolicyOnlyLengthensReflection(t *testing.T) {
	rules := load(t)
	for _, c := range []struct {
		place, policy, handed, until string
	}{
		{"SE", "0", "2026-12-03", "2026-12-05"}, {"SE", "1", "2026-12-03", "2026-12-05"}, {"SE", "7", "2026-12-03", "2026-12-10"},
		{"GB-ENG", "0", "2026-12-03", ""}, {"GB-ENG", "7", "2026-12-03", "2026-12-10"},
		{"nowhere", "0", "2026-12-03", "2026-12-05"}, {"nowhere", "7", "2026-12-03", "2026-12-10"},
	} {
		f := healthy(t)
		f.fact(t, "place", c.place)
		f.fact(t, "reflection", c.policy)
		f.fact(t, "handed", c.handed)
		got := ""
		if report := rules.Evaluate(f.ready(t)); !report.Earliest.IsZero() {
			got = report.Earliest.String()
		}
		if got != c.until {
			t.Errorf("%s with %s days of the clinic's: %q, want %q", c.place, c.policy, got, c.until)
		}
	}
}

// Held is exactly an open finding, the earliest date the latest of the waits, and a consent refused only
// where the visit is held.
func TestReportsAreOfOnePiece(t *testing.T) {
	rules := load(t)
	rapid.Check(t, func(r *rapid.T) {
		report := rules.Evaluate(drawVisit(r, t, rules).ready(t))
		open := slices.ContainsFunc(report.Findings, screen.Finding.Open)
		if open != report.Held {
			r.Fatal("held is not an open finding")
		}
		if may, _ := report.MayPrintConsent(); !may && !report.Held {
			r.Fatal("refused, yet nothing is held")
		}
		for _, f := range report.Findings {
			switch {
			case f.Digest == "" || f.Source == "" || f.Trust == "":
				r.Fatalf("%+v", f)
			case f.Unknown && (len(f.Missing) == 0 || f.CouldBe == ""):
				r.Fatalf("%s.%s is unknown and names nothing", f.Rule, f.Outcome)
			case f.Level == screen.Wait && !f.Condition && !f.Until.After(report.Appointment):
				r.Fatalf("%s.%s waits until %v", f.Rule, f.Outcome, f.Until)
			case f.Until.After(report.Earliest) && f.Open():
				r.Fatalf("%s.%s waits longer than the report", f.Rule, f.Outcome)
			}
			for _, m := range f.Missing {
				if m.Why == screen.Defect || m.Why == "" {
					r.Fatalf("%s.%s: %+v", f.Rule, f.Outcome, m)
				}
			}
		}
	})
}

func BenchmarkEvaluate(b *testing.B) {
	rules := load(b)
	f := healthy(b)
	f.apply(b, answers(b, "{prescribed: [apixaban 5 mg, ramipril], cold_sores: yes, cold_sores_often: no, cold_sores_trigger: no, cold_sores_last: 2020, filler_before: yes, dissolved: no, fillers: [{area: upper_lip, product: hyaluronic, date: 2025, lumps: no, problem: []}]}"))
	c := f.ready(b)
	b.ReportAllocs()
	for b.Loop() {
		if len(rules.Evaluate(c).Findings) == 0 {
			b.Fatal("nothing found")
		}
	}
}

func ExampleReport_MayPrintConsent() {
	var r screen.Report
	fmt.Println(r.MayPrintConsent())
	// Output: true []
}
