package text

import "philtrum/templates/layout"

// joiner makes the runs of a line: parts in visual order, joined as far as one font and manner shows them.
type joiner struct {
	s       *Setter
	l       *lineState
	at      int64 // advance of what is set, in 1/1000 em
	blanks  layout.Length
	open    *docFont // of the run in the making; nil if there is none
	span    int32
	heavy   bool
	face    faceID
	rtl     bool
	start   int64 // advance at the left end of the run
	from    int32 // bytes of its text
	to      int32
	first   int           // of its codes in the slab
	shifted layout.Length // blanks at its left end
}

// runs sets the gathered parts from the advance at.
func (s *Setter) runs(at int64) []layout.Run {
	l := &s.line
	if cap(s.slabs.runs)-len(s.slabs.runs) < len(l.parts) {
		s.slabs.runs = make([]layout.Run, 0, max(512, len(l.parts)))
	}
	first := len(s.slabs.runs)
	j := joiner{s: s, l: l, at: at}
	for i := range l.parts {
		pt := &l.parts[i]
		if w := l.wordOf(pt); w == nil {
			j.blank(pt)
		} else if len(w.clusters) > 0 {
			j.add(pt, w)
		}
	}
	j.close()
	n := len(s.slabs.runs)
	return s.slabs.runs[first:n:n]
}

// blank sets a line to write on.
func (j *joiner) blank(pt *part) {
	j.close()
	span := &j.l.req.Spans[j.l.p.pieces[pt.piece].span]
	j.s.slabs.runs = append(j.s.slabs.runs, layout.Run{
		Size: j.l.req.Size, X: j.l.position(j.at) + j.blanks, Width: span.Blank, Ink: span.Ink,
		Lang: j.s.langOf(j.l.req, span), Blank: true, Text: j.l.p.text[pt.start:pt.end],
		RightToLeft: j.l.req.Direction == layout.RightToLeft,
	})
	j.blanks += span.Blank
}

// add sets a word.
func (j *joiner) add(pt *part, w *word) {
	pc := &j.l.p.pieces[pt.piece]
	f, rtl := j.open, pt.level%2 == 1
	if f == nil || pc.own || f.own || pc.face != j.face || len(f.clusters)+len(w.clusters) > maxCodes {
		f = j.s.fontOf(pc.face, pc.own, w)
	}
	heavy := j.heavyIn(pc)
	if !(f == j.open && rtl == j.rtl && heavy == j.heavy && j.sameManner(pc.span) &&
		(rtl && pt.end == j.from || !rtl && pt.start == j.to)) {
		j.close()
		j.open, j.face, j.rtl, j.heavy, j.start, j.shifted = f, pc.face, rtl, heavy, j.at, j.blanks
		j.from, j.to, j.first = pt.start, pt.end, len(j.s.slabs.codes)
	}
	j.span = pc.span
	j.from, j.to = min(j.from, pt.start), max(j.to, pt.end)
	j.first = j.s.slabs.room(j.first, len(w.clusters))
	j.s.slabs.codes = f.appendCodes(j.s.slabs.codes, w)
	j.at += int64(w.advance)
}

// heavyIn says whether a piece is strong and its face has one weight.
func (j *joiner) heavyIn(pc *piece) bool {
	return (j.l.req.Weight == layout.Bold || j.l.req.Spans[pc.span].Strong) && pc.face.family().han()
}

// sameManner says whether a span looks and speaks like that of the open run.
func (j *joiner) sameManner(i int32) bool {
	if i == j.span {
		return true
	}
	a, b := &j.l.req.Spans[i], &j.l.req.Spans[j.span]
	return a.Ink == b.Ink && j.s.langOf(j.l.req, a) == j.s.langOf(j.l.req, b)
}

// close writes the open run.
func (j *joiner) close() {
	if j.open == nil {
		return
	}
	span, n := &j.l.req.Spans[j.span], len(j.s.slabs.codes)
	x := j.l.position(j.start)
	j.s.slabs.runs = append(j.s.slabs.runs, layout.Run{
		Font: j.open.index, Codes: j.s.slabs.codes[j.first:n:n], Size: j.l.req.Size,
		X: x + j.shifted, Width: j.l.position(j.at) - x, Ink: span.Ink, Heavy: j.heavy, Lang: j.s.langOf(j.l.req, span),
		Text: j.l.p.text[j.from:j.to], RightToLeft: j.rtl,
	})
	j.open = nil
}

// room makes sure that n more codes fit behind those from first on without moving them apart; it gives
// where they begin now.
func (s *slabs) room(first, n int) int {
	if cap(s.codes)-len(s.codes) >= n {
		return first
	}
	begun := s.codes[first:]
	s.codes = append(make([]uint16, 0, max(4096, 2*(len(begun)+n))), begun...)
	return 0
}
