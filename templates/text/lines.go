package text

import (
	"philtrum/templates/layout"
)

// lineState is what setting a request needs, used again from one to the next.
type lineState struct {
	req   *layout.Request
	p     *paragraph
	parts []part // of the line in the making, in logical order
	lines []layout.Line

	advance int64         // of parts, in 1/1000 em
	blanks  layout.Length // of parts
	hyphen  bool
	over    bool
	done    bool
}

// part is a piece, or a part of one that had to be broken.
type part struct {
	piece *piece
	word  *word
	start int32 // bytes of the paragraph's text
	end   int32
	level uint8
	added bool // a hyphen that the text does not have
}

// slabs hand out small slices of large ones.
type slabs struct {
	codes []uint16
	runs  []layout.Run
}

// Lines implements [layout.Metrics]. A line's Text holds the spaces that end it, so that the texts of all
// lines together are the text of the request; they are set, but not counted in its Width. Text that is
// broken UTF-8 or holds controls is set with U+FFFD and spaces in their place; see [Sanitise].
func (s *Setter) Lines(req layout.Request) []layout.Line {
	p := s.paragraphOf(&req)
	s.report(&req, p.missing)
	l := &s.line
	*l = lineState{req: &req, p: p, parts: l.parts[:0]}
	for i := 0; i < len(p.pieces); {
		i = s.fill(i)
		s.finishLine()
	}
	if len(l.lines) == 0 {
		s.finishLine()
	}
	return l.lines
}

// scaled is an advance in 1/1000 em at the request's size, rounded up: a line that fits by it fits.
func (l *lineState) scaled(advance int64) layout.Length {
	return layout.Length((advance*int64(l.req.Size) + 999) / 1000)
}

func (l *lineState) fits(advance int64, blanks layout.Length) bool {
	return l.req.Width <= 0 || l.scaled(advance)+blanks <= l.req.Width
}

func (l *lineState) push(pt part) {
	l.parts = append(l.parts, pt)
	if pt.word != nil {
		l.advance += int64(pt.word.advance)
	} else {
		l.blanks += l.req.Spans[pt.piece.span].Blank
	}
}

func whole(pc *piece) part {
	return part{piece: pc, word: pc.word, start: pc.start, end: pc.end, level: pc.level}
}

// fill puts pieces from i on the line while they fit and gives the piece that begins the next one.
func (s *Setter) fill(i int) int {
	l := &s.line
	pieces := l.p.pieces
	for i < len(pieces) {
		end := i // of the unit that may not be broken
		for end < len(pieces)-1 && !pieces[end].breakAfter {
			end++
		}
		end++
		if l.unitFits(pieces[i:end]) {
			for ; i < end; i++ {
				l.push(whole(&pieces[i]))
			}
			continue
		}
		if next, ok := s.hyphenate(i, end); ok {
			return next
		}
		if len(l.parts) > 0 {
			return i
		}
		return s.force(i, end)
	}
	return i
}

// unitFits measures a unit without the spaces that end it: those may hang over the edge.
func (l *lineState) unitFits(unit []piece) bool {
	if l.req.Width <= 0 {
		return true
	}
	n := len(unit)
	for n > 0 && unit[n-1].kind == pieceSpace {
		n--
	}
	if n == 0 {
		return true
	}
	advance, blanks := l.advance, l.blanks
	for i := range unit[:n] {
		if w := unit[i].word; w != nil {
			advance += int64(w.advance)
		} else {
			blanks += l.req.Spans[unit[i].span].Blank
		}
	}
	return l.fits(advance, blanks)
}

// force sets as much of an over-long unit as fits on a line of its own, at least one cluster.
func (s *Setter) force(i, end int) int {
	l := &s.line
	l.over = true
	for ; i < end; i++ {
		pc := &l.p.pieces[i]
		rest := whole(pc)
		if pc.kind != pieceText || pc.word == nil {
			if pc.kind == pieceBlank && len(l.parts) > 0 && !l.fits(l.advance, l.blanks+l.req.Spans[pc.span].Blank) {
				return i
			}
			l.push(rest)
			continue
		}
		for {
			if l.fits(l.advance+int64(rest.word.advance), l.blanks) {
				l.push(rest)
				break
			}
			head, tail, ok := l.split(rest)
			if head.word == nil && len(l.parts) > 0 {
				return s.resume(i, rest)
			}
			if !ok {
				l.push(rest)
				break
			}
			l.push(head)
			rest = tail
			s.finishLine()
			l.over = true
		}
	}
	return s.more(i)
}

// more keeps filling the line that an over-long unit ended on.
func (s *Setter) more(i int) int {
	if i < len(s.line.p.pieces) && len(s.line.parts) > 0 {
		return s.fill(i)
	}
	return i
}

// resume ends the line before the rest of piece i and goes on with it.
func (s *Setter) resume(i int, rest part) int {
	s.finishLine()
	l := &s.line
	l.over = true
	if rest.start == l.p.pieces[i].start {
		return s.force(i, s.unitEnd(i))
	}
	l.push(rest)
	return s.more(i + 1)
}

func (s *Setter) unitEnd(i int) int {
	for i < len(s.line.p.pieces)-1 && !s.line.p.pieces[i].breakAfter {
		i++
	}
	return i + 1
}

// split parts a word at the last cluster boundary that fits, or after its first cluster if none does and
// the line is empty. ok is false if it cannot be split; head.word is nil if nothing fits here.
func (l *lineState) split(pt part) (head, tail part, ok bool) {
	at, advance, first := int32(-1), int64(0), int32(-1)
	w, n := pt.word, len(pt.word.clusters)
	for k := 0; k < n; k++ {
		c := k
		if pt.level%2 == 1 {
			c = n - 1 - k
		}
		if k > 0 {
			previous := c - 1
			if pt.level%2 == 1 {
				previous = c + 1
			}
			if w.starts[c] != w.starts[previous] {
				if first < 0 {
					first = w.starts[c]
				}
				if !l.fits(l.advance+advance, l.blanks) {
					break
				}
				at = w.starts[c]
			}
		}
		advance += int64(w.clusters[c].advance)
	}
	if at < 0 {
		if len(l.parts) > 0 {
			return part{}, part{}, false
		}
		if at = first; at < 0 {
			return pt, part{}, false
		}
	}
	return pt.cut(at)
}

// cut parts at byte at of the piece's text.
func (pt part) cut(at int32) (head, tail part, ok bool) {
	const end = 1 << 30
	head, tail = pt, pt
	head.word, tail.word = pt.word.cut(0, at), pt.word.cut(at, end)
	head.end = pt.piece.start + at
	tail.start = head.end
	return head, tail, true
}

// finishLine sets the gathered parts as a line and begins the next.
func (s *Setter) finishLine() {
	l := &s.line
	line := layout.Line{Overfull: l.over, Hyphen: l.hyphen}
	base := uint8(l.req.Direction)
	trail := len(l.parts)
	for trail > 0 && l.parts[trail-1].piece.kind == pieceSpace {
		trail--
		l.parts[trail].level = base // rule L1
	}
	hang := int64(0)
	for _, pt := range l.parts[trail:] {
		hang += int64(pt.word.advance)
	}
	if n := len(l.parts); n > 0 {
		line.Text = l.p.text[l.parts[0].start:l.parts[n-1].end]
	}
	line.Width = l.scaled(l.advance-hang) + l.blanks
	line.Ascent, line.Descent = s.extent()
	at := int64(0)
	if base == 1 {
		at = -hang
	}
	reorder(l.parts)
	line.Runs = s.runs(at)
	l.lines = append(l.lines, line)
	l.parts, l.advance, l.blanks, l.hyphen, l.over = l.parts[:0], 0, 0, false, false
}

// extent is the ascent and descent of the line's faces; an empty line has those of its language.
func (s *Setter) extent() (up, down layout.Length) {
	l := &s.line
	var ascent, descent int
	for _, pt := range l.parts {
		if pt.word != nil {
			f := s.engine.face(pt.piece.face)
			ascent, descent = max(ascent, f.ascent), max(descent, -f.descent)
		}
	}
	if ascent == 0 {
		f := s.engine.face(latin.face(l.req.Weight == layout.Bold))
		ascent, descent = f.ascent, -f.descent
	}
	return l.scaled(int64(ascent)), l.scaled(int64(descent))
}

// reorder applies rule L2.
func reorder(parts []part) {
	highest, lowestOdd := uint8(0), uint8(255)
	for i := range parts {
		level := parts[i].level
		highest = max(highest, level)
		if level%2 == 1 {
			lowestOdd = min(lowestOdd, level)
		}
	}
	for level := highest; level >= lowestOdd && level > 0; level-- {
		for i := 0; i < len(parts); i++ {
			j := i
			for j < len(parts) && parts[j].level >= level {
				j++
			}
			for a, b := i, j-1; a < b; a, b = a+1, b-1 {
				parts[a], parts[b] = parts[b], parts[a]
			}
			i = max(i, j-1)
		}
	}
}

// runs joins the parts of a line, which are in visual order, as far as one font and manner shows them.
func (s *Setter) runs(at int64) []layout.Run {
	l := &s.line
	first := len(s.slabs.runs)
	if cap(s.slabs.runs)-first < len(l.parts) {
		s.slabs.runs = make([]layout.Run, 0, max(512, len(l.parts)))
		first = 0
	}
	blanks := layout.Length(0)
	var open *docFont
	var from, to, start int64 // of the open run: text, and the advance at its left end
	for i := range l.parts {
		pt := &l.parts[i]
		span := &l.req.Spans[pt.piece.span]
		if pt.word == nil {
			s.slabs.runs = append(s.slabs.runs, layout.Run{Font: -1, Size: l.req.Size, Blank: true, Width: span.Blank,
				X: l.position(at) + blanks, Ink: span.Ink, Lang: s.langOf(l.req, span),
				Text: l.p.text[pt.start:pt.end], RightToLeft: l.req.Direction == layout.RightToLeft})
			blanks += span.Blank
			open = nil
			continue
		}
		if len(pt.word.clusters) == 0 {
			continue
		}
		f, rtl, lang := s.fontOf(pt.piece.face, pt.piece.own, pt.word), pt.level%2 == 1, s.langOf(l.req, span)
		n := len(s.slabs.runs)
		joins := f == open && s.slabs.runs[n-1].RightToLeft == rtl && s.slabs.runs[n-1].Ink == span.Ink &&
			s.slabs.runs[n-1].Lang == lang && (rtl && int64(pt.end) == from || !rtl && int64(pt.start) == to)
		if !joins {
			s.slabs.runs = append(s.slabs.runs, layout.Run{Font: f.index, Size: l.req.Size, Ink: span.Ink, Lang: lang,
				X: l.position(at) + blanks, RightToLeft: rtl})
			open, from, to, start = f, int64(pt.start), int64(pt.end), at
			n++
		}
		run := &s.slabs.runs[n-1]
		run.Codes = s.appendCodes(run.Codes, f, pt.word)
		from, to = min(from, int64(pt.start)), max(to, int64(pt.end))
		run.Text = l.p.text[from:to]
		at += int64(pt.word.advance)
		run.Width = l.position(at) - l.position(start)
	}
	n := len(s.slabs.runs)
	return s.slabs.runs[first:n:n]
}

// position is an advance at the request's size, rounded to the nearest thousandth of a point.
func (l *lineState) position(advance int64) layout.Length {
	scaled := advance * int64(l.req.Size)
	if scaled < 0 {
		return -layout.Length((-scaled + 500) / 1000)
	}
	return layout.Length((scaled + 500) / 1000)
}

// appendCodes extends a run's codes, which are the last of the slab, by those of a word.
func (s *Setter) appendCodes(codes []uint16, f *docFont, w *word) []uint16 {
	slab := &s.slabs.codes
	if cap(*slab)-len(*slab) < len(w.clusters) {
		*slab = make([]uint16, 0, max(4096, 2*(len(codes)+len(w.clusters))))
		*slab = append(*slab, codes...)
		codes = (*slab)[:len(codes)]
	}
	first := len(*slab) - len(codes)
	*slab = f.appendCodes(*slab, w)
	n := len(*slab)
	return (*slab)[first:n:n]
}
