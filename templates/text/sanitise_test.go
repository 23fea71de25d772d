package text

import (
	"errors"
	"strings"
	"testing"
	"unicode/utf8"

	"golang.org/x/text/unicode/norm"
)

func TestSanitise(t *testing.T) {
	for in, want := range map[string]string{"Zoe\u0308": "Zoë", "a\nb\tc": "a b c", "": "", "لا": "لا", "\uFFFD": "\uFFFD"} {
		if got, err := Sanitise(in); err != nil || got != want {
			t.Errorf("%q: %q, %v", in, got, err)
		}
	}
	for in, want := range map[string]BadText{
		"ab\x00": {2, 0}, "a\x1bb": {1, 0x1B}, "é\u0085": {2, 0x85}, "ab\xe2": {2, utf8.RuneError}, "\xff": {0, utf8.RuneError}, "a\r": {1, '\r'},
	} {
		_, err := Sanitise(in)
		var bad *BadText
		if !errors.As(err, &bad) || *bad != want {
			t.Errorf("%q: %v", in, err)
		} else if strings.Contains(err.Error(), "ab") {
			t.Errorf("the error shows the text: %v", err)
		}
	}
}

func FuzzSanitise(f *testing.F) {
	f.Add("Zoe\u0308\x00\xe2")
	f.Fuzz(func(t *testing.T, in string) {
		out, err := Sanitise(in)
		if err == nil && (!utf8.ValidString(out) || !norm.NFC.IsNormalString(out)) {
			t.Errorf("%q became %q", in, out)
		}
		if err != nil && utf8.ValidString(in) && !strings.ContainsFunc(in, func(r rune) bool { return r < 0x20 || r >= 0x7F && r < 0xA0 }) {
			t.Errorf("%q was refused", in)
		}
	})
}
