package layout

import (
	"strings"
	"unicode"
)

// mono is a Metrics in which every character is 0.6 of the size wide, bold 0.66. It breaks at spaces,
// and words that are too long between characters.
type mono struct{}

type monoGlyph struct {
	r    rune
	span int
	w    Length
}

func (m mono) Lines(q Request) []Line {
	var all []monoGlyph
	for i, s := range q.Spans {
		if s.Blank > 0 {
			all = append(all, monoGlyph{-1, i, s.Blank})
			continue
		}
		per := q.Size * 60 / 100
		if s.Strong || q.Weight == Bold {
			per = q.Size * 66 / 100
		}
		for _, r := range s.Text {
			all = append(all, monoGlyph{r, i, per})
		}
	}
	var lines []Line
	for len(all) > 0 || len(lines) == 0 {
		n, over := m.fit(all, q.Width)
		lines = append(lines, m.line(q, all[:n], over))
		all = all[n:]
	}
	return lines
}

// fit tells how many characters stand on one line, the spaces at its end included.
func (m mono) fit(all []monoGlyph, width Length) (n int, over bool) {
	var w Length
	last := 0
	for i, g := range all {
		if width > 0 && w+g.w > width && !unicode.IsSpace(g.r) {
			switch {
			case last > 0:
				return last, false
			case i > 0:
				return i, true
			default:
				return 1, true
			}
		}
		w += g.w
		if g.r == ' ' {
			last = i + 1
		}
	}
	return len(all), false
}

func (m mono) line(q Request, glyphs []monoGlyph, over bool) Line {
	l := Line{Ascent: q.Size * 8 / 10, Descent: q.Size * 2 / 10, Overfull: over}
	var text strings.Builder
	var end Length
	for _, g := range glyphs {
		s := q.Spans[g.span]
		if g.r >= 0 {
			text.WriteRune(g.r)
		}
		lang := s.Lang
		if lang == "" {
			lang = q.Lang
		}
		n := len(l.Runs)
		if n == 0 || l.Runs[n-1].Lang != lang || l.Runs[n-1].Ink != s.Ink || g.r < 0 {
			l.Runs = append(l.Runs, Run{Size: q.Size, X: end, Lang: lang, Ink: s.Ink, Blank: g.r < 0})
			n++
		}
		r := &l.Runs[n-1]
		if g.r >= 0 {
			r.Codes = append(r.Codes, uint16(g.r))
			r.Text += string(g.r)
		}
		r.Width += g.w
		end += g.w
		if !unicode.IsSpace(g.r) {
			l.Width = end
		}
	}
	l.Text = text.String()
	if q.Direction == RightToLeft {
		for i := range l.Runs {
			l.Runs[i].X = l.Width - l.Runs[i].X - l.Runs[i].Width
			l.Runs[i].RightToLeft = true
		}
		for i, j := 0, len(l.Runs)-1; i < j; i, j = i+1, j-1 {
			l.Runs[i], l.Runs[j] = l.Runs[j], l.Runs[i]
		}
	}
	return l
}

// testSheet is a small page with round numbers: a measure of 200 points and 20 lines of 10.
func testSheet() Sheet {
	st := func(size, lead, before, after Length) TextStyle {
		return TextStyle{Size: size * Pt, Leading: lead * Pt, Before: before * Pt, After: after * Pt}
	}
	s := Sheet{Name: "test", Width: 300 * Pt, Height: 300 * Pt, Top: 50 * Pt, Bottom: 50 * Pt,
		Inner: 60 * Pt, Outer: 40 * Pt, Gutter: 10 * Pt, Indent: 12 * Pt, Rule: 500, HeavyRule: 1500,
		Bar: 4 * Pt, Tint: 7, PenRow: 20 * Pt, Box: 12 * Pt, SignHeight: 45 * Pt, SignWidth: 120 * Pt,
		MinLines: 2, Styles: map[Role]TextStyle{
			RoleTitle: st(16, 20, 0, 10), RoleH2: st(12, 14, 12, 6), RoleH3: st(10, 12, 10, 5),
			RoleBody: st(10, 10, 0, 5), RoleSmall: st(8, 9, 0, 4), RoleLabel: st(7, 8, 0, 0),
			RoleTable: st(8, 10, 0, 0), RoleNumber: st(20, 24, 2, 2), RoleFoot: st(6, 8, 0, 0),
		}}
	for _, r := range []Role{RoleTitle, RoleH2, RoleH3, RoleNumber} {
		v := s.Styles[r]
		v.Weight = Bold
		s.Styles[r] = v
	}
	return s
}

func say(text string) []Span { return []Span{{Text: text}} }

func para(text string) *Paragraph { return &Paragraph{Text: say(text)} }

// lines is a paragraph of exactly n lines on the test sheet.
func linesOf(n int, word string) *Paragraph {
	var parts []string
	for i := range n {
		w := word + string(rune('a'+i%26))
		parts = append(parts, w+strings.Repeat("x", 33-len([]rune(w))))
	}
	return para(strings.Join(parts, " "))
}

func paper(dir Direction, blocks ...Block) Document {
	d := Document{Lang: "en", Direction: dir, Title: "Test", Sheet: testSheet(), Blocks: blocks}
	if dir == RightToLeft {
		d.Lang = "ar"
	}
	return d
}
