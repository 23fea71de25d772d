package layout

import (
	"strings"
	"unicode"
)

// builder turns blocks into a flow of strips and their elements.
type builder struct {
	doc    *Document
	sheet  *Sheet
	set    *setter
	space  int64  // percent of the sheet's spaces
	lead   int64  // percent of the sheet's leading
	room   Length // height that every page has for text
	level  int    // of the last heading
	forced bool   // a Break waits for the next strip
	pads   Length // padding of the panels around
	above  Length // height of the headings that the next block must stand below
	inside int    // depth of flows beside one another, where no page can be forced
	sizes  map[tableKey]widths
	styles []styled
}

// styled is the style of a role as it is set, found once.
type styled struct {
	role  Role
	style TextStyle
}

// style looks a role up; a role that the sheet lacks is set as its neighbour, at last as body text.
func (b *builder) style(r Role) TextStyle {
	for i := range b.styles {
		if b.styles[i].role == r {
			return b.styles[i].style
		}
	}
	st := b.styleOf(r)
	b.styles = append(b.styles, styled{r, st})
	return st
}

func (b *builder) styleOf(r Role) TextStyle {
	st, ok := b.sheet.Styles[r]
	for !ok && r != RoleBody {
		r = nearest(r)
		st, ok = b.sheet.Styles[r]
	}
	if !ok {
		st = TextStyle{Size: 10 * Pt, Leading: 14 * Pt, After: 7 * Pt}
	}
	if st.Leading <= 0 {
		st.Leading = st.Size * 7 / 5
	}
	st.Leading = scaled(st.Leading, b.lead, 100)
	st.Before, st.After = b.spaced(st.Before), b.spaced(st.After)
	return st
}

// tighten sets how tight spaces and leading are from here on.
func (b *builder) tighten(t tightness) {
	if b.space != t.space || b.lead != t.lead {
		b.space, b.lead, b.styles = t.space, t.lead, b.styles[:0]
	}
}

func nearest(r Role) Role {
	switch r {
	case RoleTitle:
		return RoleH1
	case RoleH1:
		return RoleH2
	case RoleH2:
		return RoleH3
	case "h4":
		return RoleH3
	case RoleLabel, RoleFoot:
		return RoleSmall
	}
	return RoleBody
}

// spaced applies the tightening of spaces to a length.
func (b *builder) spaced(l Length) Length { return scaled(l, b.space, 100) }

// para sets a passage as one strip a line. The first and last lines hold together so that MinLines stand
// on each side of a break.
func (b *builder) para(block string, spans []Span, mn manner, width Length, el *Element) []strip {
	st := b.style(mn.role)
	lines := b.broken(spans, st, mn, max(width-mn.hang, 1))
	base := b.set.langOf(spans)
	b.speak(el, spans, base)
	up, tall := frame(st, lines)
	room := len(lines)
	if mn.role == RoleTable {
		room += padding // rows pad their cells
	}
	flow := make([]strip, len(lines), room)
	p := pieces{base: base, el: el, frags: make([]frag, 0, len(lines))}
	for i := range lines {
		l := &lines[i]
		x := mn.start(l, i == 0, width)
		s := &flow[i]
		*s = strip{block: block, height: tall, base: up, frags: p.of(l, x, up)}
		if l.Overfull {
			s.frags[0].field = fieldOf(spans, l.Text)
		}
		if l.Opens {
			s.before = b.spaced(belowAir)
		}
		if i > 0 && (i < b.minLines() || len(lines)-i < b.minLines()) {
			s.level = holdClose
		}
	}
	holdPair(flow, lines, b.minLines())
	return air(flow, st.Before, st.After)
}

// broken breaks spans into lines, each passage of them by itself.
func (b *builder) broken(spans []Span, st TextStyle, mn manner, width Length) []Line {
	mn.whole = b.entire(spans, st, mn, width)
	if parts := b.set.passages(spans, st, mn, width); parts != nil {
		return b.set.stacked(parts, func(part []Span) []Line { return b.evened(part, st, mn, width) })
	}
	return b.evened(spans, st, mn, width)
}

// evened breaks a passage into lines. No word is hyphenated where that saves no line. Where the last would be a mere word or two, or a single ideograph, slightly
// narrower measures are tried, and the best taken that makes no more lines.
func (b *builder) evened(spans []Span, st TextStyle, mn manner, width Length) []Line {
	lines := b.set.lines(spans, st, mn, width)
	n := len(lines)
	if hyphenated(lines) {
		entire := mn
		entire.whole = true
		if m := b.set.measure(spans, st, entire, width); m.Lines <= n && !m.Overfull {
			lines, mn = b.set.lines(spans, st, entire, width), entire
			n = len(lines)
		}
	}
	if n < 2 {
		return lines
	}
	end := &lines[n-1]
	lone := ideographs(end.Text) == 1 && end.Width <= 3*st.Size
	if end.Width > width/6 && !lone {
		return lines
	}
	last, best := end.Width, width
	for _, narrower := range [4]Length{scaled(width, 95, 100), scaled(width, 90, 100), width - st.Size, width - 2*st.Size} {
		if narrower < width/2 || !lone && narrower < scaled(width, 90, 100) {
			continue
		}
		other := b.set.measure(spans, st, mn, narrower)
		if other.Lines == n && other.Last > last && !other.Overfull {
			last, best = other.Last, narrower
		}
	}
	return b.set.lines(spans, st, mn, best)
}

func hyphenated(lines []Line) bool {
	for i := range lines {
		if lines[i].Hyphen {
			return true
		}
	}
	return false
}

// ideographs counts the ideographs of a text.
func ideographs(text string) int {
	n := 0
	for _, r := range text {
		if r >= firstEastern && unicode.Is(unicode.Han, r) {
			n++
		}
	}
	return n
}

// entire says that no word is to be hyphenated: in a title, heading or label, unless a word is wider than its column.
func (b *builder) entire(spans []Span, st TextStyle, mn manner, width Length) bool {
	switch mn.role {
	case RoleTitle, RoleH1, RoleH2, RoleH3, RoleLabel, "h4":
		mn.label = true
	}
	if !mn.label {
		return false
	}
	mn.whole = true
	return !b.set.measure(spans, st, mn, width).Overfull
}

// speak sets the language of an element and, where right-to-left letters stand in it, its exact text.
func (b *builder) speak(el *Element, spans []Span, base string) {
	if el == nil {
		return
	}
	if base != b.doc.Lang {
		el.Lang = base
	}
	text := textOf(spans)
	if rightToLeft(text) {
		el.Actual = text
	}
}

func (b *builder) minLines() int {
	if b.sheet.MinLines > 0 {
		return b.sheet.MinLines
	}
	return 2
}

// frame gives the baseline's distance from the top of a line and the line's height. The baseline follows
// from the style alone, so that lines beside one another agree; faces too high for the leading (Naskh,
// Thai) widen all lines of the passage alike.
func frame(st TextStyle, lines []Line) (up, tall Length) {
	up, tall = st.Leading/2+st.Size*36/100, st.Leading
	slack := st.Size / 10
	var above, below Length
	for _, l := range lines {
		above = max(above, l.Ascent-up-slack)
		below = max(below, l.Descent-(tall-up)-slack)
	}
	return up + above, tall + above + below
}

// place gives the X of something as wide as own in a column, from its start side.
func place(a Align, width, own Length) Length {
	switch a {
	case AlignEnd, AlignDecimal:
		return max(width-own, 0)
	case AlignCentre:
		return max(width-own, 0) / 2
	}
	return 0
}

// fieldOf finds the user's field that a line's text comes from.
func fieldOf(spans []Span, line string) string {
	line = strings.TrimSpace(line)
	for _, s := range spans {
		if s.Field != "" && s.Text != "" && (strings.Contains(s.Text, line) || strings.Contains(line, s.Text)) {
			return s.Field
		}
	}
	return ""
}

// pieces parts lines at passages of another language, so that each can be an element of its own. A
// passage that goes over a line's end stays one element.
type pieces struct {
	base  string
	el    *Element
	open  *Element // the passage that the last piece belonged to
	frags []frag   // of all lines
}

func (p *pieces) of(l *Line, x, baseline Length) []frag {
	from := len(p.frags)
	whole := frag{el: p.el, item: Item{Kind: ItemLine, Line: *l,
		Rect: Rect{X: x, Y: baseline, Width: l.Width}}}
	if p.el == nil || p.plain(l) {
		p.open = nil
		return p.keep(from, whole)
	}
	groups := p.groups(l)
	if len(groups) == 0 {
		p.open = nil
		return p.keep(from, whole)
	}
	for _, g := range groups {
		f := whole
		f.span, f.off = p.passage(g.lang), max(g.line.Runs[0].X, 0)
		f.item.Line = g.line
		f.item.Line.Runs = rebased(g.line.Runs, f.off)
		p.frags = append(p.frags, f)
	}
	out := p.frags[from:len(p.frags):len(p.frags)]
	out[0].item.Line.Overfull = l.Overfull
	out[len(out)-1].item.Line.Hyphen = l.Hyphen
	return out
}

func (p *pieces) keep(from int, f frag) []frag {
	p.frags = append(p.frags, f)
	return p.frags[from : from+1 : from+1]
}

// plain says whether all of a line is in the language of the block.
func (p *pieces) plain(l *Line) bool {
	for i := range l.Runs {
		if lang := l.Runs[i].Lang; lang != "" && lang != p.base {
			return false
		}
	}
	return true
}

// passage is the element of a piece: nil in the language of the block.
func (p *pieces) passage(lang string) *Element {
	switch {
	case lang == p.base:
		p.open = nil
	case p.open == nil || p.open.Lang != lang:
		p.open = &Element{Type: "Span", Lang: lang}
	}
	return p.open
}

type langGroup struct {
	lang string
	line Line
}

// groups gathers runs of one language, in the order in which they are read. It gives none where that
// order cannot be told from the runs, and the line then stays whole.
func (p *pieces) groups(l *Line) []langGroup {
	var out []langGroup
	for _, r := range l.Runs {
		lang := r.Lang
		if lang == "" {
			lang = p.base
		}
		if n := len(out); n == 0 || out[n-1].lang != lang {
			out = append(out, langGroup{lang: lang, line: Line{Ascent: l.Ascent, Descent: l.Descent}})
		}
		g := &out[len(out)-1].line
		g.Runs = append(g.Runs, r)
		// Spaces at a line's end lie beyond its width.
		g.Width = min(r.X+r.Width, l.Width) - max(g.Runs[0].X, 0)
	}
	if len(out) == 0 {
		return nil
	}
	if sliced(out, l.Text) {
		return out
	}
	for i, j := 0, len(out)-1; i < j; i, j = i+1, j-1 {
		out[i], out[j] = out[j], out[i]
	}
	if sliced(out, l.Text) {
		return out
	}
	return nil
}

// sliced gives each group its part of the line's text and tells whether the parts follow one another.
func sliced(groups []langGroup, text string) bool {
	for i := range groups {
		g := &groups[i]
		n := 0
		for _, r := range g.line.Runs {
			n += len(r.Text)
		}
		if n > len(text) || i == len(groups)-1 {
			n = len(text)
		}
		part := text[:n]
		for _, r := range g.line.Runs {
			if !strings.Contains(part, strings.TrimSpace(r.Text)) {
				return false
			}
		}
		g.line.Text, text = part, text[n:]
	}
	return true
}

func rebased(runs []Run, x Length) []Run {
	out := append([]Run(nil), runs...)
	for i := range out {
		out[i].X -= x
	}
	return out
}
