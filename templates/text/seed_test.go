package text

import (
	"bytes"
	"testing"

	"philtrum/templates/layout"
)

// sentence sets a template's words and a value, and gives the fonts.
func sentence(e *Engine, lang, words, value string) []Font {
	s := e.NewSetter(Options{Lang: lang})
	s.Lines(layout.Request{Lang: lang, Size: 10 * layout.Pt, Spans: []layout.Span{
		{Text: value, Value: true}, {Text: words}, {Text: value, Value: true},
	}})
	return s.Fonts()
}

// Dates, doses, lots and most names stand in the template's font, whether the template has their signs or
// not, and leave it as it is.
func TestPlainValuesNeedNoFontOfTheirOwn(t *testing.T) {
	e := NewEngine()
	bare := sentence(e, "en", "of ", "")
	if len(bare) != 1 {
		t.Fatalf("%d fonts without a value", len(bare))
	}
	for _, value := range []string{"2027-03-01", "40\u00A0mg", "0.8\u00A0mL", "Sam", "+00 555 0142", "12:30"} {
		fonts := sentence(e, "en", "of ", value)
		if len(fonts) != 1 || fonts[0].Name != bare[0].Name || !bytes.Equal(fonts[0].Program, bare[0].Program) {
			t.Errorf("%s: %d fonts, the first %s, without the value %s", value, len(fonts), fonts[0].Name, bare[0].Name)
		}
	}
	if fonts := sentence(e, "ar", "من ", "2027-03-01"); len(fonts) != 2 {
		t.Errorf("a date in Arabic words has %d fonts", len(fonts))
	}
}

// What the template's font lacks goes into another, so that no two papers differ in the template's.
func TestRareValuesLeaveTheTemplatesFontAlone(t *testing.T) {
	e := NewEngine()
	bare := sentence(e, "en", "of ", "")
	for _, value := range []string{"Żółć", "Τήλεφος", "AVATAR"} {
		fonts := sentence(e, "en", "of ", value)
		if len(fonts) != 2 {
			t.Fatalf("%s: %d fonts", value, len(fonts))
		}
		if fonts[0].Name != bare[0].Name && fonts[1].Name != bare[0].Name {
			t.Errorf("%s changed the template's font", value)
		}
	}
}
