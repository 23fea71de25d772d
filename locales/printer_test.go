package locales

import (
	"encoding/json"
	"errors"
	"fmt"
	"os"
	"strings"
	"sync"
	"testing"
	"testing/fstest"
	"time"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"philtrum/forms/source"
	"philtrum/locales/cldr"
)

const sample = `a.plain: Your lips today
a.given:
  text: "**{who}, {amount}** on {day}"
  args: {who: text, amount: volume, day: date full}
a.days:
  one: "a day"
  other: "{n} days"
  args: {n: count}
a.ml:
  one: "{v} left of {n}"
  other: "{v} are left of {n}"
  args: {v: volume words, n: count}
  by: v
a.zones:
  text: "For {zones}: {what}"
  args: {zones: list, what: ref}
a.either:
  text: "{x}"
  args: {x: list or}
a.all:
  text: "{num} {dose} {at} {clock} {part}"
  args: {num: number, dose: dose, at: datetime, clock: clock, part: date}
a.loop:
  text: "{x}"
  args: {x: ref}
a.brace: "{{x}} 50% * **2**"
a.gap:
  few: "{n}"
  args: {n: count}
`

func printer(t testing.TB, tag string, files ...string) *Printer {
	t.Helper()
	fsys := fstest.MapFS{
		LanguagesFile: {Data: []byte(english + polish)},
		"en/a.yaml":   {Data: []byte(sample)},
		"pl/a.yaml":   {Data: []byte(sample)},
	}
	for i := 0; i+1 < len(files); i += 2 {
		fsys[files[i]] = &fstest.MapFile{Data: []byte(files[i+1])}
	}
	c, err := Load(fsys)
	if err != nil {
		t.Fatal(err)
	}
	p, err := c.Printer(tag)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

func TestSpans(t *testing.T) {
	p := printer(t, "en-GB")
	got, err := p.Spans("a.given", Args{
		"who": Field("Ada Example", "patient.name"), "amount": Volume("0.8"), "day": Date(2026, 3, 4)})
	if err != nil {
		t.Fatal(err)
	}
	want := []Span{
		{Text: "Ada Example", Kind: SpanValue, Field: "patient.name", Strong: true},
		{Text: ", ", Kind: SpanStrong, Lang: "en-GB", Strong: true},
		{Text: "0.8\u00a0mL", Kind: SpanValue, Lang: "en-GB", Strong: true},
		{Text: " on ", Kind: SpanWords, Lang: "en-GB"},
		{Text: "Wednesday, 4 March 2026", Kind: SpanValue, Lang: "en-GB", Whole: true},
	}
	if d := cmp.Diff(want, got); d != "" {
		t.Error(d)
	}
}

func TestText(t *testing.T) {
	at := time.Date(2026, 12, 4, 14, 5, 0, 0, time.UTC)
	for _, c := range []struct {
		tag, id string
		args    Args
		want    string
	}{
		{"en", "a.plain", nil, "Your lips today"},
		{"en", "a.brace", nil, "{x} 50% * 2"},
		{"en", "a.days", Args{"n": Count(1)}, "a day"},
		{"en", "a.days", Args{"n": Count(0)}, "0 days"},
		{"en", "a.days", Args{"n": Count(1200)}, "1,200 days"},
		{"en", "a.days", Args{"n": Blank()}, BlankText + " days"},
		{"en", "a.days", Args{"n": AsWritten("two?", "plan.days")}, "two? days"},
		{"en", "a.ml", Args{"v": Volume("1"), "n": Count(2)}, "1 millilitre left of 2"},
		{"en-US", "a.ml", Args{"v": Volume("1.0"), "n": Count(1)}, "1.0 milliliters are left of 1"},
		{"en", "a.zones", Args{"zones": List(Text("upper lip"), Ref("a.plain"), Text("x")), "what": Ref("a.plain")},
			"For upper lip, Your lips today and x: Your lips today"},
		{"en-US", "a.either", Args{"x": List(Text("a"), Text("b"), Text("c"))}, "a, b, or c"},
		{"en", "a.either", Args{"x": List(Volume("0.5"), Count(2))}, "0.5\u00a0mL or 2"},
		{"en", "a.all", Args{"num": Number("-1.50"), "dose": Dose("4.4"), "at": DateTime(at), "clock": Clock(at),
			"part": Partial(2026, 3, 0)}, "-1.50 4.4\u00a0mg 4 December 2026 at 14:05 14:05 March 2026"},
		{"en-US", "a.all", Args{"num": Count(3), "dose": Dose("4.4"), "at": DateTime(at), "clock": Clock(at),
			"part": Partial(2026, 0, 0)}, "3 4.4\u00a0mg December 4, 2026 at 2:05\u202fPM 2:05\u202fPM 2026"},
		{"en", "a.loop", Args{"x": RefWith("a.days", Args{"n": Count(3)})}, "3 days"},
		{"en", "a.given", Args{"who": Text("נועה"), "amount": Blank(), "day": Blank()},
			"\u2068נועה\u2069, " + BlankText + " on " + BlankText},
		{"pl", "a.plain", nil, "Your lips today"},
	} {
		p := printer(t, c.tag)
		got, err := p.Text(c.id, c.args)
		if err != nil || got != c.want {
			t.Errorf("%s %s: %q %v, want %q", c.tag, c.id, got, err, c.want)
		}
	}
}

func TestRenderedKeepsItsLanguage(t *testing.T) {
	pl, en := printer(t, "pl"), printer(t, "en")
	words, err := pl.Spans("a.plain", nil)
	if err != nil {
		t.Fatal(err)
	}
	got, err := en.Spans("a.loop", Args{"x": Rendered(words)})
	if err != nil {
		t.Fatal(err)
	}
	if d := cmp.Diff([]Span{{Text: "Your lips today", Lang: "pl-PL"}}, got); d != "" {
		t.Error(d)
	}
}

const secret = "Ada Secret"

func TestWrongArguments(t *testing.T) {
	p := printer(t, "en")
	whole := func(change Args) Args {
		args := Args{"who": Text(secret), "amount": Volume("0.8"), "day": Date(2026, 3, 4)}
		for k, v := range change {
			args[k] = v
		}
		return args
	}
	var loop Value = Ref("a.plain")
	for range 12 {
		loop = RefWith("a.loop", Args{"x": loop})
	}
	for _, c := range []struct {
		id     string
		args   Args
		holder string
	}{
		{"a.none", nil, ""},
		{"b.none", nil, ""},
		{"none", nil, ""},
		{"", nil, ""},
		{"../a.plain", nil, ""},
		{"a.given", nil, "who"},
		{"a.given", whole(Args{"day": Text(secret)}), "day"},
		{"a.given", whole(Args{"amount": Number("0.8")}), "amount"},
		{"a.given", whole(Args{"amount": Volume(secret)}), "amount"},
		{"a.given", whole(Args{"day": Date(2026, 2, 30)}), "day"},
		{"a.given", whole(Args{"day": Date(2026, 2, 0)}), "day"},
		{"a.given", whole(Args{"day": {}}), "day"},
		{"a.given", whole(Args{"more": Text(secret)}), "more"},
		{"a.plain", Args{"x": Text(secret)}, "x"},
		{"a.days", Args{"n": Count(-1)}, "n"},
		{"a.days", Args{"n": Number("2")}, "n"},
		{"a.ml", Args{"v": Volume(secret), "n": Count(1)}, "v"},
		{"a.zones", Args{"zones": List(), "what": Ref("a.plain")}, "zones"},
		{"a.zones", Args{"zones": List(Ref("a.none")), "what": Ref("a.plain")}, "zones"},
		{"a.loop", Args{"x": loop}, "x"},
		{"a.gap", Args{"n": Count(1)}, "n"},
	} {
		spans, err := p.Spans(c.id, c.args)
		var wrong *MessageError
		if !errors.As(err, &wrong) || wrong.ID != c.id || wrong.Placeholder != c.holder || spans != nil {
			t.Errorf("%s: %v", c.id, err)
			continue
		}
		if strings.Contains(err.Error(), secret) {
			t.Errorf("%s: the error holds the value: %v", c.id, err)
		}
	}
}

func TestNoOtherLanguageStandsIn(t *testing.T) {
	p := printer(t, "pl", "en/b.yaml", "b.only: English only\n")
	if got, err := p.Spans("b.only", nil); err == nil {
		t.Errorf("Polish gave %v", got)
	}
	if p.Has("b.only") || !p.Has("a.plain") || p.Has("a.nothing") {
		t.Error("Has does not say what the language has")
	}
	c, err := Load(fstest.MapFS{LanguagesFile: {Data: []byte(english + polish)}, "en/a.yaml": {Data: []byte(sample)}})
	if err != nil {
		t.Fatal(err)
	}
	for _, tag := range []string{"pl", "pl-PL", "fr", "", "pt-BR", "EN_GB"} {
		var unknown *UnknownLanguage
		if _, err := c.Printer(tag); !errors.As(err, &unknown) || len(unknown.Known) != 3 {
			t.Errorf("%q: %v", tag, err)
		}
	}
	if p, err := c.Printer("en-AU"); err != nil || p.Language().Region != "en-GB" {
		t.Errorf("en-AU: %v", err)
	}
	if l := c.Languages(); len(l) != 1 || l[0].Region != "en-GB" || len(l[0].Regions) != 2 {
		t.Errorf("languages: %v", l)
	}
}

func TestBrokenFilesAreErrorsWithPlaces(t *testing.T) {
	p := printer(t, "en", "en/b.yaml", "b.one: fine\nb.two:\n  text: x\n  nte: y\n")
	if _, err := p.Spans("b.one", nil); err != nil {
		t.Errorf("a mistake elsewhere in the file stopped a sound message: %v", err)
	}
	_, err := p.Spans("b.two", nil)
	var problems *source.Problems
	if !errors.As(err, &problems) || (*problems)[0].Span.Line != 4 {
		t.Errorf("got %v", err)
	}
	twice := printer(t, "en", "en/b.yaml", "b.one: x\nb.one: y\n")
	if _, err := twice.Spans("b.one", nil); !errors.As(err, &problems) {
		t.Errorf("got %v", err)
	}
	if _, err := Load(fstest.MapFS{LanguagesFile: {Data: []byte("en: x\n")}}); !errors.As(err, &problems) {
		t.Errorf("got %v", err)
	}
	if _, err := Load(fstest.MapFS{}); err == nil {
		t.Error("an empty file system was accepted")
	}
}

// The engine's plural rules and those of cldr agree, for every language that is known.
func TestEngineAgreesOnPlurals(t *testing.T) {
	data, err := os.ReadFile("cldr/testdata/plural-cases.json")
	if err != nil {
		t.Fatal(err)
	}
	var cases struct {
		Locales map[string]struct{ Cardinal map[string]string }
	}
	if err := json.Unmarshal(data, &cases); err != nil {
		t.Fatal(err)
	}
	for tag, c := range cases.Locales {
		m := message{id: "a.n", declared: declared{plural: "n"}}
		m.forms = categories
		g, err := newEngine(tag)
		if err == nil {
			err = g.add(m)
		}
		if err != nil {
			t.Fatal(err)
		}
		l, err := cldr.For(tag, "latn")
		if err != nil {
			t.Fatal(err)
		}
		for number, want := range c.Cardinal {
			got, err := g.lookup("a.n", number)
			if err != nil || got != want {
				t.Errorf("%s %s: %s (%v), want %s", tag, number, got, err, want)
			}
			if ours, err := l.Plural(number); err != nil || string(ours) != got {
				t.Errorf("%s %s: cldr says %s (%v), the engine %s", tag, number, ours, err, got)
			}
		}
	}
}

func TestConcurrentUse(t *testing.T) {
	p := printer(t, "en")
	q, err := p.c.Printer("pl")
	if err != nil {
		t.Fatal(err)
	}
	var wait sync.WaitGroup
	for i := range 16 {
		wait.Go(func() {
			for _, use := range []*Printer{p, q} {
				if _, err := use.Text("a.plain", nil); err != nil {
					t.Error(err)
				}
				if _, err := use.Text("a.ml", Args{"v": Volume(fmt.Sprint(i + 5)), "n": Count(i)}); err != nil {
					if use == p {
						t.Error(err)
					}
				}
			}
		})
	}
	wait.Wait()
}

// Whatever text a person has written comes out whole, as one value span.
func TestTextIsNeverMarkup(t *testing.T) {
	p := printer(t, "en")
	rapid.Check(t, func(t *rapid.T) {
		s := rapid.OneOf(rapid.String(), rapid.StringMatching(`[{}*a ]{0,8}`)).Draw(t, "text")
		spans, err := p.Spans("a.given", Args{"who": Field(s, "f"), "amount": Volume("1"), "day": Blank()})
		if err != nil {
			t.Fatal(err)
		}
		if spans[0].Text != s || spans[0].Kind != SpanValue || spans[0].Field != "f" || len(spans) != 5 {
			t.Fatalf("%q became %v", s, spans)
		}
	})
}

func BenchmarkSpans(b *testing.B) {
	p := printer(b, "en")
	args := Args{"who": Text("Ada Example"), "amount": Volume("0.8"), "day": Date(2026, 3, 4)}
	b.ReportAllocs()
	for b.Loop() {
		if _, err := p.Spans("a.given", args); err != nil {
			b.Fatal(err)
		}
	}
}
