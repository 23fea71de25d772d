package text

// fill puts pieces from i on the line while they fit and gives the piece that begins the next one.
func (s *Setter) fill(i int) int {
	l := &s.line
	pieces := l.p.pieces
	for i < len(pieces) {
		first := &pieces[i]
		if first.unitEnd > 0 && !l.resting && l.fits(l.advance+int64(first.unitAdvance), l.blanks) {
			i = l.pushUnit(i, int(first.unitEnd))
			continue
		}
		end := l.unitEnd(i)
		if l.unitFits(i, end) {
			for ; i < end; i++ {
				l.push(l.partAt(i))
			}
			continue
		}
		if next, ok := s.hyphenate(i, end); ok {
			return next
		}
		if len(l.parts) > 0 {
			return i
		}
		if next := l.partly(i, end); next > i {
			return next
		}
		if i = s.force(i, l.partEnd(i, end)); l.over {
			return i
		}
	}
	return i
}

// pushUnit puts the pieces [i, end), which are words and spaces, on the line.
func (l *lineState) pushUnit(i, end int) int {
	for ; i < end; i++ {
		pc := &l.p.pieces[i]
		l.parts = append(l.parts, part{piece: int32(i), cut: -1, start: pc.start, end: pc.end, level: pc.level})
		l.advance += int64(pc.word.advance)
	}
	return i
}

// unitEnd is the end of the unit, which may not be broken, that piece i belongs to.
func (l *lineState) unitEnd(i int) int {
	for i < len(l.p.pieces)-1 && !l.p.pieces[i].breakAfter {
		i++
	}
	return i + 1
}

// partEnd is where the unit [i, end) may be parted first because no line holds it, its end if nowhere.
func (l *lineState) partEnd(i, end int) int {
	for i < end-1 && !l.p.pieces[i].partsAfter {
		i++
	}
	return i + 1
}

// partly puts as many parts of a unit on an empty line as it holds.
func (l *lineState) partly(i, end int) int {
	for i < end {
		next := l.partEnd(i, end)
		if !l.unitFits(i, next) {
			break
		}
		for ; i < next; i++ {
			l.push(l.partAt(i))
		}
	}
	return i
}

// unitFits measures a unit without the spaces that end it: those may hang over the edge.
func (l *lineState) unitFits(i, end int) bool {
	if l.req.Width <= 0 {
		return true
	}
	for end > i && l.p.pieces[end-1].kind == pieceSpace {
		end--
	}
	advance, blanks := l.advance, l.blanks
	for k := i; k < end; k++ {
		if pt := l.partAt(k); pt.cut >= 0 {
			advance += int64(l.cuts[pt.cut].advance)
		} else if w := l.p.pieces[k].word; w != nil {
			advance += int64(w.advance)
		} else {
			blanks += l.blankOf(&l.p.pieces[k])
		}
	}
	return end == i || l.fits(advance, blanks)
}

// force sets as much of an over-long unit as fits on a line of its own, at least one cluster, and gives
// the piece that goes on.
func (s *Setter) force(i, end int) int {
	l := &s.line
	l.over = true
	for ; i < end; i++ {
		pt, pc := l.partAt(i), &l.p.pieces[i]
		switch {
		case pc.kind == pieceSpace:
		case pc.kind == pieceBlank:
			if len(l.parts) > 0 && !l.fits(l.advance, l.blanks+l.blankOf(pc)) {
				return i
			}
		case !l.fits(l.advance+int64(l.wordOf(&pt).advance), l.blanks):
			if n := len(l.parts); n > 0 && l.p.pieces[l.parts[n-1].piece].kind == pieceSpace {
				return i // between words rather than inside one
			}
			if head, tail, ok := l.split(pt); ok {
				l.push(head)
				l.rest, l.resting = tail, true
				return i
			}
			if len(l.parts) > 0 {
				return i
			}
		}
		l.push(pt)
	}
	return i
}

// split parts a word at the last cluster boundary that fits, or after its first cluster if none does and
// the line is empty. ok is false if it cannot be split here.
func (l *lineState) split(pt part) (head, tail part, ok bool) {
	at, advance, first := int32(-1), int64(0), int32(-1)
	w := l.wordOf(&pt)
	n := len(w.clusters)
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
			return part{}, part{}, false
		}
	}
	head, tail = l.parted(pt, at)
	return head, tail, true
}

// parted parts at byte at of the piece's text.
func (l *lineState) parted(pt part, at int32) (head, tail part) {
	const end = 1 << 30
	w := l.wordOf(&pt)
	head, tail = pt, pt
	head.cut, tail.cut = int32(len(l.cuts)), int32(len(l.cuts)+1)
	l.cuts = append(l.cuts, w.cut(0, at), w.cut(at, end))
	head.end = l.p.pieces[pt.piece].start + at
	tail.start = head.end
	return head, tail
}
