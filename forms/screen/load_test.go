package screen_test

import (
	"testing"

	"philtrum/forms"
	"philtrum/forms/medicine"
	"philtrum/forms/screen"
)

func load(t testing.TB) *screen.Rules {
	t.Helper()
	form, problems := forms.Load(forms.Default, "lips")
	for _, p := range problems {
		t.Error(p)
	}
	lex, problems := medicine.Load(medicine.Default)
	for _, p := range problems {
		t.Error(p)
	}
	rules, problems := screen.Load(screen.Default, form, lex)
	for _, p := range problems {
		t.Error(p.ID, p.Args, p.Span)
	}
	if t.Failed() {
		t.FailNow()
	}
	return rules
}

func BenchmarkLoad(b *testing.B) {
	form, _ := forms.Load(forms.Default, "lips")
	lex, _ := medicine.Load(medicine.Default)
	for b.Loop() {
		screen.Load(screen.Default, form, lex)
	}
}

func TestZZ(t *testing.T) { t.Log(len(load(t).All())) }
