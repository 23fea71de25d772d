package text

import (
	"slices"

	"philtrum/templates/layout"
)

// lineState is what setting a request needs, used again from one to the next.
type lineState struct {
	req   *layout.Request
	p     *paragraph
	parts []part // of the line in the making, in logical order
	cuts  []*word
	lines []layout.Line

	advance int64         // of parts, in 1/1000 em
	blanks  layout.Length // of parts
	hyphen  bool
	over    bool
	rest    part // of a broken piece, for the next line
	resting bool
}

// part is a piece, or a part of one that had to be broken. It holds no pointers, so that gathering a line
// costs the collector nothing.
type part struct {
	piece int32
	cut   int32 // index into lineState.cuts of its word, -1 for the piece's own
	start int32 // bytes of the paragraph's text
	end   int32
	level uint8
}

// slabs hand out small slices of large ones.
type slabs struct {
	codes []uint16
	runs  []layout.Run
	lines []layout.Line
}

// Lines implements [layout.Metrics]. A line's Text holds the spaces that end it, so that the texts of all
// lines together are the text of the request; they are set, but not counted in its Width. Text that is
// broken UTF-8 or holds controls is set with U+FFFD and spaces in their place; see [Sanitise].
func (s *Setter) Lines(req layout.Request) []layout.Line {
	s.request = req
	p := s.paragraphOf(&s.request)
	s.report(&s.request, p.missing)
	l := &s.line
	*l = lineState{req: &s.request, p: p, parts: l.parts[:0], cuts: l.cuts[:0], lines: l.lines[:0]}
	for i := 0; i < len(p.pieces); {
		i = s.fill(i)
		s.finishLine()
	}
	if len(l.lines) == 0 {
		s.finishLine()
	}
	return s.slabs.keepLines(l.lines)
}

// keepLines copies lines to memory that is the caller's.
func (s *slabs) keepLines(lines []layout.Line) []layout.Line {
	if cap(s.lines)-len(s.lines) < len(lines) {
		s.lines = make([]layout.Line, 0, max(64, len(lines)))
	}
	n := len(s.lines)
	s.lines = append(s.lines, lines...)
	return s.lines[n:len(s.lines):len(s.lines)]
}

// scaled is an advance in 1/1000 em at the request's size, rounded up: a line that fits by it fits.
func (l *lineState) scaled(advance int64) layout.Length {
	return layout.Length((advance*int64(l.req.Size) + 999) / 1000)
}

func (l *lineState) fits(advance int64, blanks layout.Length) bool {
	return l.req.Width <= 0 || advance*int64(l.req.Size) <= int64(l.req.Width-blanks)*1000
}

func (l *lineState) push(pt part) {
	l.parts = append(l.parts, pt)
	if pt == l.rest {
		l.resting = false
	}
	if w := l.wordOf(&pt); w != nil {
		l.advance += int64(w.advance)
	} else {
		l.blanks += l.blankOf(&l.p.pieces[pt.piece])
	}
}

func (l *lineState) whole(i int) part {
	pc := &l.p.pieces[i]
	return part{piece: int32(i), cut: -1, start: pc.start, end: pc.end, level: pc.level}
}

// partAt is what is still to be set of piece i.
func (l *lineState) partAt(i int) part {
	if l.resting && int(l.rest.piece) == i {
		return l.rest
	}
	return l.whole(i)
}

// wordOf is the word that a part shows, nil for a blank.
func (l *lineState) wordOf(pt *part) *word {
	if pt.cut >= 0 {
		return l.cuts[pt.cut]
	}
	return l.p.pieces[pt.piece].word
}

func (l *lineState) blankOf(pc *piece) layout.Length { return l.req.Spans[pc.span].Blank }

// finishLine sets the gathered parts as a line and begins the next.
func (s *Setter) finishLine() {
	l := &s.line
	line := layout.Line{Overfull: l.over, Hyphen: l.hyphen}
	base := uint8(l.req.Direction)
	hang := int64(0)
	for i := len(l.parts) - 1; i >= 0 && l.p.pieces[l.parts[i].piece].kind == pieceSpace; i-- {
		l.parts[i].level = base // rule L1
		hang += int64(l.wordOf(&l.parts[i]).advance)
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

// extent is the ascent and descent of the line's faces; a line without text has those of its language.
func (s *Setter) extent() (up, down layout.Length) {
	l := &s.line
	var ascent, descent int
	last := faceCount
	for i := range l.parts {
		pc := &l.p.pieces[l.parts[i].piece]
		if pc.word != nil && pc.face != last {
			f := s.engine.face(pc.face)
			ascent, descent, last = max(ascent, f.above), max(descent, f.below), pc.face
		}
	}
	if ascent == 0 {
		home := familyOfLang(s.langOf(l.req, &layout.Span{}))
		f := s.engine.face(home.face(l.req.Weight == layout.Bold))
		ascent, descent = f.above, f.below
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
			slices.Reverse(parts[i:j])
			i = max(i, j-1)
		}
	}
}

// position is an advance at the request's size, rounded to the nearest thousandth of a point.
func (l *lineState) position(advance int64) layout.Length {
	scaled := advance * int64(l.req.Size)
	if scaled < 0 {
		return -layout.Length((-scaled + 500) / 1000)
	}
	return layout.Length((scaled + 500) / 1000)
}
