package locales

import (
	"testing"
	"testing/fstest"
)

// In a text that runs from right to left every value is isolated, and digits are those of the language's
// entry.
func TestRightToLeft(t *testing.T) {
	for digits, want := range map[string]string{
		"latn": "حقنا \u2068Ada\u2069 \u20680.8\u00a0ملتر\u2069 يوم \u20684 مارس 2026\u2069 و" + BlankText,
		"arab": "حقنا \u2068Ada\u2069 \u2068٠٫٨\u00a0ملتر\u2069 يوم \u2068٤ مارس ٢٠٢٦\u2069 و" + BlankText,
	} {
		c, err := Load(fstest.MapFS{
			LanguagesFile: {Data: []byte("ar:\n  name: العربية\n  direction: rtl\n  digits: " + digits +
				"\n  formula: none\n  regions: {ar-001: long}\n")},
			"ar/a.yaml": {Data: []byte("a.x:\n  text: \"حقنا {who} {v} يوم {d} و{b}\"\n  args: {who: text, v: volume, d: date, b: text}\n")},
		})
		if err != nil {
			t.Fatal(err)
		}
		p, err := c.Printer("ar")
		if err != nil {
			t.Fatal(err)
		}
		got, err := p.Text("a.x", Args{"who": Text("Ada"), "v": Volume("0.8"), "d": Date(2026, 3, 4), "b": Blank()})
		if err != nil || got != want {
			t.Errorf("%s: %q %v, want %q", digits, got, err, want)
		}
	}
}
