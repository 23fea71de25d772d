package medicine

import (
	"strings"
	"unicode"
	"unicode/utf8"

	"golang.org/x/text/unicode/norm"
)

// letters that have no decomposition but that people type without their stroke or ligature.
var letters = map[rune]string{
	'ł': "l", 'ø': "o", 'đ': "d", 'ð': "d", 'þ': "th", 'ß': "ss", 'æ': "ae", 'œ': "oe", 'ı': "i", 'ə': "e",
	'ة': "ه", 'ى': "ي", 'ٱ': "ا", 'ک': "ك", 'ی': "ي", 'ـ': "",
}

// normal folds case, drops accents and vowel marks and joins the words of text by single spaces.
func normal(text string) string {
	if isNormal(text) {
		return text
	}
	var b strings.Builder
	b.Grow(len(text))
	gap := false
	for _, r := range decompose(text) {
		if s, word := fold(r); word {
			if gap && b.Len() > 0 && s != "" {
				b.WriteByte(' ')
			}
			gap = gap && s == ""
			b.WriteString(s)
		} else if !unicode.Is(unicode.Mn, r) && !unicode.Is(unicode.Cf, r) {
			gap = true
		}
	}
	return b.String()
}

// isNormal says whether a text is small letters and digits of ASCII with single spaces between: most names.
func isNormal(text string) bool {
	gap := true
	for i := range len(text) {
		switch c := text[i]; {
		case c >= 'a' && c <= 'z', isDigit(c):
			gap = false
		case c == ' ' && !gap:
			gap = true
		default:
			return false
		}
	}
	return !gap || text == ""
}

func decompose(text string) string {
	for i := 0; i < len(text); i++ {
		if text[i] >= utf8.RuneSelf {
			return norm.NFKD.String(text)
		}
	}
	return text
}

var ascii = func() (out [utf8.RuneSelf]string) {
	for r := range out {
		out[r] = strings.ToLower(string(rune(r)))
	}
	return out
}()

// fold returns the folded form of r and whether r belongs to a word.
func fold(r rune) (string, bool) {
	if r < utf8.RuneSelf {
		return ascii[r], r >= 'a' && r <= 'z' || r >= '0' && r <= '9' || r >= 'A' && r <= 'Z'
	}
	if unicode.Is(unicode.Mn, r) {
		return "", false
	}
	r = unicode.ToLower(r)
	if s, ok := letters[r]; ok {
		return s, true
	}
	if unicode.IsLetter(r) || unicode.IsDigit(r) {
		return string(r), true
	}
	return "", false
}

// token is one word of an entry.
type token struct {
	text    string // normalised
	raw     string // as written
	from    int    // byte offsets in the entry
	to      int
	part    int // counts up at every separator of medicines
	matched bool
}

// joins are words that stand between two medicines of one entry.
var joins = map[string]bool{
	"and": true, "plus": true, "with": true, "y": true, "e": true, "et": true, "und": true, "i": true, "oraz": true,
	"con": true, "avec": true, "mit": true, "com": true, "и": true, "و": true, "also": true,
}

// tokens splits an entry into words. A comma, slash, plus sign, semicolon, ampersand or line break begins
// a new part; so does a joining word, which is itself a token of no part's own.
func tokens(text string) []token {
	var out []token
	part, start := 0, -1
	flush := func(end int) {
		if start < 0 {
			return
		}
		raw := text[start:end]
		start = -1
		t := token{text: normal(raw), raw: raw, from: end - len(raw), to: end, part: part}
		if t.text == "" {
			return
		}
		if joins[t.text] {
			part++
			t.part = part
			part++
		}
		out = append(out, t)
	}
	for i, r := range text {
		_, word := fold(r)
		switch {
		case word || unicode.Is(unicode.Mn, r) || unicode.Is(unicode.Cf, r):
			if start < 0 {
				start = i
			}
		default:
			decimal := (r == '.' || r == ',') && betweenDigits(text, i)
			flush(i)
			if !decimal && strings.ContainsRune(",;/+&\n|•،؛", r) {
				part++
			}
		}
	}
	flush(len(text))
	return out
}

func betweenDigits(text string, i int) bool {
	return i > 0 && i+1 < len(text) && isDigit(text[i-1]) && isDigit(text[i+1])
}

func isDigit(b byte) bool { return b >= '0' && b <= '9' }
