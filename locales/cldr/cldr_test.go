package cldr

import (
	"strings"
	"testing"

	"pgregory.net/rapid"
)

func TestNoBreakSpaceBindsUnit(t *testing.T) {
	for tag, want := range map[string]string{
		"en-GB": "0.8\u00a0mL", "en-US": "0.8\u00a0mL", "es-ES": "0,8\u00a0ml", "fr-FR": "0,8\u00a0ml",
		"de-DE": "0,8\u00a0ml", "pl-PL": "0,8\u00a0ml", "zh-Hans-CN": "0.8毫升",
	} {
		if got, err := must(t, tag, "latn").Quantity("0.8", Millilitre); err != nil || got != want {
			t.Errorf("%s: %q %v, want %q", tag, got, err, want)
		}
	}
	for _, tag := range Tags() {
		for _, unit := range []Unit{Millilitre, Milligram, Celsius, Percent} {
			if got, err := must(t, tag, "latn").Quantity("0.8", unit); err != nil || strings.Contains(got, " ") {
				t.Errorf("%s: a line may end within %q (%v)", tag, got, err)
			}
		}
	}
}

func TestDigitsOfANumberAreKept(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		whole := rapid.StringMatching(`(0|[1-9][0-9]{0,11})`).Draw(t, "whole")
		fraction := rapid.StringMatching(`(\.[0-9]{1,4})?`).Draw(t, "fraction")
		tag := rapid.SampledFrom(Tags()).Draw(t, "tag")
		l, err := For(tag, "latn")
		if err != nil {
			t.Fatal(err)
		}
		got, err := l.Number(whole + fraction)
		if err != nil {
			t.Fatal(err)
		}
		figures := func(s string) (out string) {
			for _, r := range s {
				if r >= '0' && r <= '9' {
					out += string(r)
				}
			}
			return out
		}
		if figures(got) != figures(whole+fraction) {
			t.Fatalf("%s %s: %q", tag, whole+fraction, got)
		}
	})
}

func TestWhatIsNoNumberIsRefused(t *testing.T) {
	l := must(t, "en-GB", "latn")
	for _, s := range []string{"", "-", ".", "1.", ".5", "1,5", "1e3", "٣", "0x1", "1 000", "--1", "+1", "1.2.3"} {
		if got, err := l.Number(s); err == nil {
			t.Errorf("%q was read as %q", s, got)
		}
		if _, err := l.Quantity(s, Millilitre); err == nil {
			t.Errorf("%q was read as a quantity", s)
		}
	}
	if _, err := l.Quantity("1", "furlong"); err == nil {
		t.Error("an unknown unit was accepted")
	}
}

func TestListJoints(t *testing.T) {
	for _, c := range []struct {
		tag   string
		or    bool
		items []string
		want  string
	}{
		{"en-GB", false, nil, ""},
		{"en-GB", false, []string{"a"}, "a"},
		{"en-GB", false, []string{"a", "b"}, "a and b"},
		{"en-GB", false, []string{"a", "b", "c", "d"}, "a, b, c and d"},
		{"en-US", true, []string{"a", "b", "c"}, "a, b, or c"},
		{"es", false, []string{"frío", "inflamación"}, "frío e inflamación"},
		{"es", false, []string{"agua", "hielo"}, "agua y hielo"},
		{"es", false, []string{"uno", "hinchazón"}, "uno e hinchazón"},
		{"es", false, []string{"el", "ion"}, "el y ion"},
		{"es", true, []string{"siete", "ocho"}, "siete u ocho"},
		{"es", true, []string{"aguja", "hora"}, "aguja u hora"},
		{"es", true, []string{"a", "b", "c"}, "a, b o c"},
		{"ar", false, []string{"A", "B"}, "A وB"},
		{"zh-Hans", true, []string{"A", "B", "C"}, "A、B或C"},
	} {
		if got := must(t, c.tag, "latn").List(c.items, c.or); got != c.want {
			t.Errorf("%s %v: %q, want %q", c.tag, c.items, got, c.want)
		}
	}
}

func TestDayValid(t *testing.T) {
	for d, want := range map[Day]bool{
		{2028, 2, 29}: true, {2027, 2, 29}: false, {2026, 0, 0}: true, {2026, 12, 0}: true, {2026, 0, 4}: false,
		{2026, 13, 1}: false, {0, 1, 1}: false, {2026, 4, 31}: false, {10000, 1, 1}: false, {2026, 1, -1}: false,
	} {
		if d.Valid() != want {
			t.Errorf("%v: valid is %v", d, !want)
		}
	}
}

func TestUnknownTags(t *testing.T) {
	for _, tag := range []string{"", "xx", "cy-GB"} {
		if _, err := For(tag, "latn"); err == nil {
			t.Errorf("%q is known", tag)
		}
	}
	if _, err := For("en-GB", "roman"); err == nil {
		t.Error("an unknown numbering system was accepted")
	}
	if l := must(t, "en-AU", "latn"); l.Tag() != "en-GB" {
		t.Errorf("en-AU is written as %s", l.Tag())
	}
}

// The first of a month is an ordinal in French, in words and in no figures; no other day and no other language has one.
func TestFirstOfAMonthInFrench(t *testing.T) {
	fr := must(t, "fr", "latn")
	for got, want := range map[string]string{
		fr.Date(Day{2027, 1, 1}, Long): "1er janvier 2027", fr.Date(Day{2027, 1, 1}, Medium): "1er janv. 2027",
		fr.Date(Day{2027, 1, 1}, Full): "vendredi 1er janvier 2027", fr.Date(Day{2027, 1, 1}, Short): "01/01/2027",
		fr.Date(Day{2027, 1, 21}, Long): "21 janvier 2027", fr.Date(Day{2027, 1, 11}, Long): "11 janvier 2027",
		must(t, "es", "latn").Date(Day{2027, 1, 1}, Long): "1 de enero de 2027",
	} {
		if got != want {
			t.Errorf("%q, want %q", got, want)
		}
	}
}
