package layout

import (
	"unicode"
	"unicode/utf8"
)

// longest gives the words of a text that are likely to be the widest: the three of most characters.
// Where a script breaks between characters, each is a word.
func longest(spans []Span) [][]Span {
	s := wordSeeker{spans: spans}
	for i := range spans {
		s.span(i)
	}
	s.close()
	var out [][]Span
	for _, w := range s.most {
		if w.runes > 0 {
			out = append(out, s.spansOf(w))
		}
	}
	return out
}

// wordAt is a word: from a byte of a span to a byte of a later one or the same.
type wordAt struct {
	first, from int
	last, to    int
	runes       int
}

// wordSeeker walks over spans and keeps the longest words, longer ones and earlier ones first.
type wordSeeker struct {
	spans []Span
	open  wordAt
	most  [3]wordAt
}

func (s *wordSeeker) close() {
	w := s.open
	s.open = wordAt{}
	for i := range s.most {
		if w.runes > s.most[i].runes {
			copy(s.most[i+1:], s.most[i:])
			s.most[i] = w
			return
		}
	}
}

func (s *wordSeeker) span(i int) {
	text := s.spans[i].Text
	if width := s.spans[i].Blank; width > 0 {
		s.close()
		s.open = wordAt{first: i, last: i, to: len(text), runes: int(width/Pt)/4 + 1}
		s.close()
		return
	}
	from, runes := 0, 0
	var last rune
	whole := s.spans[i].Whole
	for at, r := range text {
		if at > from && (whole && r == '\u200b' || !whole && mayEnd(last, r)) {
			s.chunk(i, from, at, runes, last)
			from, runes = at, 0
		}
		last = r
		runes++
	}
	s.chunk(i, from, len(text), runes, last)
}

// chunk takes in a stretch of a span that no line ends in; last is its last rune.
func (s *wordSeeker) chunk(i, from, to, runes int, last rune) {
	if from == to || onlySpace(s.spans[i].Text[from:to]) {
		s.close()
		return
	}
	if s.open.runes == 0 {
		s.open.first, s.open.from = i, from
	}
	s.open.last, s.open.to = i, to
	s.open.runes += runes
	if last == '-' || last == '\u00ad' || eastern(last) {
		s.close()
	}
}

func (s *wordSeeker) spansOf(w wordAt) []Span {
	out := make([]Span, 0, w.last-w.first+1)
	for i := w.first; i <= w.last; i++ {
		p := s.spans[i]
		from, to := 0, len(p.Text)
		if i == w.first {
			from = w.from
		}
		if i == w.last {
			to = w.to
		}
		p.Text = p.Text[from:to]
		out = append(out, p)
	}
	return out
}

// onlySpace tells that a stretch shows nothing: spaces, or the mark of a place where a line may end.
func onlySpace(s string) bool {
	if s == "\u200b" {
		return true
	}
	for _, r := range s {
		if !unicode.IsSpace(r) {
			return false
		}
	}
	return true
}

// mayEnd tells that a line may end between two runes.
func mayEnd(last, next rune) bool {
	return gapRune(next) || gapRune(last) || last == '-' || last == '\u00ad' || eastern(next) || eastern(last)
}

func gapRune(r rune) bool {
	if r < utf8.RuneSelf {
		return r == ' ' || r >= '\t' && r <= '\r'
	}
	return r == '\u200b' || unicode.IsSpace(r) && r != '\u00a0' && r != '\u202f' && r != '\u2007'
}

// firstEastern is the first rune of the scripts in [eastern].
const firstEastern = 0x1100

// eastern tells that lines may end beside a character without a space (UAX #14, classes ID and H2/H3).
func eastern(r rune) bool {
	return r >= firstEastern && unicode.In(r, unicode.Han, unicode.Hiragana, unicode.Katakana, unicode.Hangul)
}
