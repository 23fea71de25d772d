package measure_test

import (
	"testing"

	"philtrum/forms/measure"

	"github.com/shopspring/decimal"
	"pgregory.net/rapid"
)

func TestVolumes(t *testing.T) {
	for text, want := range map[string]string{
		"0.8": "0.8", "0,8": "0.8", "0.8 mL": "0.8", "0.8ml": "0.8", "0.80": "0.8", "1": "1", "1.0 ml": "1", "0": "0", "0.00": "0",
		"0.125": "0.125", "0,125": "0.125", "1.125": "1.125", "0.1000": "0.1", " 0.8 ": "0.8", "10": "10", "1,50": "1.5", "1,5000": "1.5",
	} {
		if v, err := measure.ParseVolume(text); err != nil || v.String() != want {
			t.Errorf("%q: %s, %v", text, v, err)
		}
	}
	for text, want := range map[string]string{
		".8": "number_form map[]", "8.": "number_form map[]", ",8": "number_form map[]", "-0.8": "number_form map[]", "+0.8": "number_form map[]",
		"08": "number_form map[]", "00.8": "number_form map[]", "1e3": "number_form map[]", "12E4": "number_form map[]", "0x1": "number_form map[]",
		"1.2.3": "number_form map[]", "1,000.5": "number_form map[]", "1'000": "number_form map[]", "": "number_form map[]", "mL": "number_form map[]",
		"1,500": "number_ambiguous map[]", "1,000 mL": "number_ambiguous map[]", "0.0001": "number_places map[places:3]",
		"0.8 µL": "unit map[unit:mL]", "0.8 ML": "unit map[unit:mL]", "0.8 cl": "unit map[unit:mL]", "0.8 cc": "unit map[unit:mL]", "0.8 l": "unit map[unit:mL]",
		"0.8 mg": "unit map[unit:mL]", "0.8 m": "unit map[unit:mL]", "0.8%": "unit map[unit:mL]", "0.8  mL": "number_form map[]", "0.8 mL 2": "number_form map[]",
		"1234567": "number_form map[]", "٠٫٨": "number_form map[]", "０.８": "number_form map[]", "0·8": "number_form map[]", "1/2": "number_form map[]",
		"0.8\nmL": "number_form map[]", "0 .8": "number_form map[]", "0.8O": "unit map[unit:mL]", "l.0": "number_form map[]",
	} {
		if v, err := measure.ParseVolume(text); why(err) != want || !v.IsZero() {
			t.Errorf("%q: %s, %s, not %s", text, v, why(err), want)
		}
	}
}

func TestDoses(t *testing.T) {
	for text, want := range map[string]string{"4.4": "4.4", "4,4 mg": "4.4", "300mg": "300", "0.000001": "0.000001", "1.125": "1.125"} {
		if d, err := measure.ParseDose(text); err != nil || d.String() != want {
			t.Errorf("%q: %s, %v", text, d, err)
		}
	}
	for _, text := range []string{"4 g", "4 µg", "4 mcg", "4 mL", "4 IU", "4 mg/mL", "4 MG", "4 Mg"} {
		if d, err := measure.ParseDose(text); why(err) != "unit map[unit:mg]" {
			t.Errorf("%q: %s, %v", text, d, err)
		}
	}
	if got := measure.DoseIn(measure.MustVolume("1.8"), decimal.RequireFromString("20")); got.String() != "36" {
		t.Errorf("1.8 mL of 20 mg/mL: %s", got)
	}
}

func TestVolumesAreExact(t *testing.T) {
	tenth, sum := measure.MustVolume("0.1"), measure.Zero()
	for range 10 {
		sum = sum.Add(tenth)
	}
	if sum.Cmp(measure.MustVolume("1")) != 0 || sum.String() != "1" || !sum.Equal(measure.MustVolume("1.000")) {
		t.Errorf("ten tenths are %s", sum)
	}
	if got := tenth.Sub(sum); !got.IsZero() {
		t.Errorf("0.1 less 1 leaves %s", got)
	}
	if got := sum.Sub(tenth); got.Microlitres() != 900 {
		t.Errorf("1 less 0.1 is %s", got)
	}
	rapid.Check(t, func(t *rapid.T) {
		a := rapid.Int64Range(0, 999_999_999).Draw(t, "a")
		b := rapid.Int64Range(0, 999_999_999).Draw(t, "b")
		v, w := measure.Microlitres(a), measure.Microlitres(b)
		again, err := measure.ParseVolume(v.String())
		if err != nil || !again.Equal(v) || again.Microlitres() != a {
			t.Errorf("%s reads as %s: %v", v, again, err)
		}
		if v.Add(w).Microlitres() != a+b || v.Sub(w).Microlitres() != max(a-b, 0) || (v.Cmp(w) < 0) != (a < b) {
			t.Errorf("%s and %s", v, w)
		}
	})
	if !measure.Microlitres(-1).IsZero() {
		t.Error("a volume below zero")
	}
}

func FuzzAmounts(f *testing.F) {
	for _, s := range []string{"0.8 mL", "0,8", "1,500", "4.4 mg", "12E4"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		if v, err := measure.ParseVolume(s); err == nil {
			if again, err := measure.ParseVolume(v.String()); err != nil || !again.Equal(v) || v.Microlitres() < 0 {
				t.Errorf("%q reads as %s: %v", s, v, err)
			}
		}
		if d, err := measure.ParseDose(s); err == nil {
			if again, err := measure.ParseDose(d.String()); err != nil || !again.Equal(d) {
				t.Errorf("%q reads as %s: %v", s, d, err)
			}
		}
	})
}
