package text

import "philtrum/templates/layout"

// Measure implements [layout.Measurer]: it breaks a request as Lines does without setting it, so that what
// is only measured leaves no glyph in the document's fonts.
func (s *Setter) Measure(req layout.Request) layout.Extent {
	s.request = req
	p := s.paragraphOf(&s.request)
	s.report(&s.request, p.missing)
	l := &s.line
	*l = lineState{req: &s.request, p: p, parts: l.parts[:0], cuts: l.cuts[:0], lines: l.lines[:0]}
	var m layout.Extent
	if req.Width <= 0 {
		m.Lines, m.Widest = 1, l.natural()
		m.Last = m.Widest
		return m
	}
	for i := 0; i < len(p.pieces); {
		i = s.fill(i)
		m.Lines++
		m.Last = l.width()
		m.Widest = max(m.Widest, m.Last)
		m.Overfull = m.Overfull || l.over
		l.parts, l.advance, l.blanks, l.hyphen, l.over = l.parts[:0], 0, 0, false, false
	}
	m.Lines = max(m.Lines, 1)
	return m
}

// width is that of the gathered line without the spaces that end it.
func (l *lineState) width() layout.Length {
	advance := l.advance
	for i := len(l.parts) - 1; i >= 0 && l.p.pieces[l.parts[i].piece].kind == pieceSpace; i-- {
		advance -= int64(l.wordOf(&l.parts[i]).advance)
	}
	return l.scaled(advance) + l.blanks
}

// natural is the width of the whole paragraph on one line, without the spaces that end it.
func (l *lineState) natural() layout.Length {
	end := len(l.p.pieces)
	for end > 0 && l.p.pieces[end-1].kind == pieceSpace {
		end--
	}
	advance, blanks := int64(0), layout.Length(0)
	for i := range l.p.pieces[:end] {
		if pc := &l.p.pieces[i]; pc.word != nil {
			advance += int64(pc.word.advance)
		} else {
			blanks += l.blankOf(pc)
		}
	}
	return l.scaled(advance) + blanks
}
