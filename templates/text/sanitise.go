package text

import (
	"strings"
	"unicode"
	"unicode/utf8"

	"golang.org/x/text/unicode/norm"
)

// BadText reports text that cannot be set: broken UTF-8 or a control character. It names the place and,
// for a control character, the rune; never the text.
type BadText struct {
	Offset int  // in bytes
	Rune   rune // utf8.RuneError for broken UTF-8
}

func (e *BadText) Error() string {
	if e.Rune == utf8.RuneError {
		return "text: broken UTF-8"
	}
	return "text: control character"
}

// Sanitise brings a user's text into the form that can be set: Unicode NFC, with newlines and tabs as
// spaces. It refuses control characters and broken UTF-8 with a [*BadText].
func Sanitise(text string) (string, error) {
	for i, r := range text {
		if r == utf8.RuneError {
			if _, size := utf8.DecodeRuneInString(text[i:]); size <= 1 {
				return "", &BadText{Offset: i, Rune: r}
			}
		}
		if unicode.IsControl(r) && r != '\n' && r != '\t' {
			return "", &BadText{Offset: i, Rune: r}
		}
	}
	text = strings.NewReplacer("\n", " ", "\t", " ").Replace(text)
	return norm.NFC.String(text), nil
}
