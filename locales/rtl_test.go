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

// Where people also read by another calendar, long dates carry both days; dates in tables do not.
func TestCalendarBeside(t *testing.T) {
	c, err := Load(fstest.MapFS{
		LanguagesFile: {Data: []byte("ar:\n  name: العربية\n  direction: rtl\n  digits: latn\n  formula: none\n  regions: {ar-001: long, ar-SA: long}\n")},
		"ar/a.yaml":   {Data: []byte("a.x:\n  text: \"{d}\"\n  args: {d: date}\na.y:\n  text: \"{d}\"\n  args: {d: date medium}\n")},
	})
	if err != nil {
		t.Fatal(err)
	}
	for _, w := range []struct{ tag, id, want string }{
		{"ar", "a.x", "\u20684 ديسمبر 2026\u2069"}, {"ar-EG", "a.x", "\u20684 ديسمبر 2026\u2069"},
		{"ar-SA", "a.x", "\u20684 ديسمبر 2026 (24 جمادى الآخرة 1448 هـ)\u2069"}, {"ar-SA", "a.y", "\u206804\u200f/12\u200f/2026\u2069"},
	} {
		p, err := c.Printer(w.tag)
		if err != nil {
			t.Fatal(err)
		}
		if got, err := p.Text(w.id, Args{"d": Date(2026, 12, 4)}); err != nil || got != w.want {
			t.Errorf("%s %s: %q %v, want %q", w.tag, w.id, got, err, w.want)
		}
	}
}
