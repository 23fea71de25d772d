package cldr

import "testing"

// The figures of a date stand in the order of the language (CLDR 48, yMd), and the date itself is written in it.
func TestOrder(t *testing.T) {
	for tag, want := range map[string]string{
		"en-GB": "dmy", "en-US": "mdy", "es-ES": "dmy", "fr-FR": "dmy", "de-DE": "dmy", "pl-PL": "dmy",
		"ar-001": "dmy", "ar-SA": "dmy", "hi-IN": "dmy", "zh-Hans-CN": "ymd",
	} {
		l := must(t, tag, "latn")
		if got := l.Order(); got != want {
			t.Errorf("%s: %s, want %s", tag, got, want)
		}
		written := ""
		for _, r := range l.Date(Day{2033, 11, 22}, Short) {
			if part, ok := map[rune]string{'1': "m", '2': "d", '3': "y"}[r]; ok && (written == "" || written[len(written)-1:] != part) {
				written += part
			}
		}
		if len(written) < 3 {
			t.Errorf("%s: %q", tag, l.Date(Day{2033, 11, 22}, Short))
		}
	}
}
