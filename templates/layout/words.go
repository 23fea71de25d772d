package layout

import (
	"sort"
	"strings"
	"unicode"
)

// longest gives the words of a text that are likely to be the widest: the three of most characters.
// Where a script breaks between characters, each is a word.
func longest(spans []Span) [][]Span {
	type word struct {
		spans []Span
		runes int
	}
	var words []word
	var open word
	flush := func() {
		if open.runes > 0 {
			words = append(words, open)
		}
		open = word{}
	}
	for _, s := range spans {
		if s.Blank > 0 {
			flush()
			words = append(words, word{[]Span{s}, int(s.Blank/Pt)/4 + 1})
			continue
		}
		for _, part := range chunks(s.Text) {
			if strings.TrimSpace(part) == "" || part == "\u200b" {
				flush()
				continue
			}
			p := s
			p.Text = part
			open.spans = append(open.spans, p)
			open.runes += len([]rune(part))
			if breaksAfter(part) {
				flush()
			}
		}
	}
	flush()
	sort.SliceStable(words, func(i, j int) bool { return words[i].runes > words[j].runes })
	var out [][]Span
	for i := 0; i < len(words) && i < 3; i++ {
		out = append(out, words[i].spans)
	}
	return out
}

// chunks cuts a text so that every place where a line may end lies between two chunks.
func chunks(s string) []string {
	var out []string
	from := 0
	var last rune
	for i, r := range s {
		if i > from && (gapRune(r) || gapRune(last) || eastern(r) || eastern(last) || last == '-' || last == '\u00ad') {
			out = append(out, s[from:i])
			from = i
		}
		last = r
	}
	return append(out, s[from:])
}

func gapRune(r rune) bool {
	return r == '\u200b' || unicode.IsSpace(r) && r != '\u00a0' && r != '\u202f' && r != '\u2007'
}

func breaksAfter(part string) bool {
	r := []rune(part)
	last := r[len(r)-1]
	return last == '-' || last == '\u00ad' || eastern(last)
}

// eastern tells that lines may end beside a character without a space (UAX #14, classes ID and H2/H3).
func eastern(r rune) bool {
	return unicode.In(r, unicode.Han, unicode.Hiragana, unicode.Katakana, unicode.Hangul)
}
