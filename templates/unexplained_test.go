package templates_test

import (
	"slices"
	"testing"

	"philtrum/locales"
	"philtrum/templates"
)

// A term that wants an explanation is named where a paper uses it first without one, in any ending.
func TestTermsThatAreNotExplained(t *testing.T) {
	terms := []locales.Term{
		{Use: "hialuronidaza", Explain: "lek, który rozkłada wypełniacz"}, {Use: "warga"}, {Use: "透明质酸酶", Explain: "一种能分解填充剂的药"},
	}
	for _, c := range []struct{ passages, want []string }{
		{[]string{"Nic tu nie ma."}, nil},
		{[]string{"Warga może być spuchnięta."}, nil},
		{[]string{"Hialuronidaza to lek, który rozkłada wypełniacz.", "Dawka hialuronidazy."}, nil},
		{[]string{"Dawka hialuronidazy.", "Hialuronidaza to lek, który rozkłada wypełniacz."}, []string{"hialuronidaza"}},
		{[]string{"可以用透明质酸酶。"}, []string{"透明质酸酶"}},
		{[]string{"可以用透明质酸酶，一种能分解填充剂的药。"}, nil},
	} {
		if got := templates.Unexplained(c.passages, terms); !slices.Equal(got, c.want) {
			t.Errorf("%q: %q, want %q", c.passages, got, c.want)
		}
	}
}
