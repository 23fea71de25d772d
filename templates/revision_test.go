package templates

import (
	"slices"
	"testing"

	"philtrum/locales"
	"philtrum/templates/layout"
)

// No hyphen parts the name of a placeholder in a pack: whoever copies it would copy the hyphen.
func TestPlaceholdersOfAPackAreNotHyphenated(t *testing.T) {
	got := inLanguage("Call **{clinic_night_telephone}** by\n{n}.", locales.Language{Region: "en-GB"})
	want := []layout.Span{{Text: "Call **", Lang: "en-GB"}, {Text: "{clinic_night_telephone}", Lang: "zxx"}, {Text: "** by ", Lang: "en-GB"},
		{Text: "{n}", Lang: "zxx"}, {Text: ".", Lang: "en-GB"}}
	if !slices.EqualFunc(got, want, func(a, b layout.Span) bool { return a.Text == b.Text && a.Lang == b.Lang }) {
		t.Errorf("%+v", got)
	}
	if inLanguage("", locales.Language{}) != nil {
		t.Error("an empty cell has text")
	}
}
