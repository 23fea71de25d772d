package layout

// tightness is a step of tightening, in percent.
type tightness struct{ space, lead int64 }

// loose is a paper as its sheet says.
var loose = tightness{100, 100}

// Tightening, from none to the most that the eye forgives.
var tightenings = []tightness{{90, 99}, {80, 98}, {70, 97}, {70, 96}}

// tail is the number of lines that a last page must exceed.
const tail = 3

// Place sets a document on pages. It keeps these rules:
//
//   - A heading stays with what follows it, through further headings, up to the first lines, row or item.
//   - MinLines lines (2 where the sheet says nothing) of a paragraph stand on each side of a break.
//   - A list item, row, notice, signature, choice, grid, figure or Keep block stays whole if a page can
//     hold it; otherwise it is parted at line borders and reported as "torn".
//   - The first two items of a list stay together, and the last two, and so do the rows of a table, unless
//     more than an eighth of the page would stay empty.
//   - A dated group stays whole unless more than an eighth of the page would stay empty. Then it is parted
//     between its texts, and its date is repeated on the next page, as an artifact.
//   - The head of a table is repeated on each page, as an artifact.
//   - A signature is never first on a page while text before it could come along.
//   - A last page holds more than three lines, or the paper is tightened: spaces to 0.9, 0.8, 0.7 and
//     leading by up to 4 percent, alike in the whole paper. If that does not help, the page before gives
//     lines to the last.
//   - A last page that is less than a quarter full is saved where tightening saves it; of five pages or more
//     one that is less than a third full as well, and one less than half full where the first step does it; of
//     ten pages or more one that is less than half full as well, and a fuller one where two steps do it.
//     Otherwise the page before gives lines to one that is less than a quarter full.
//   - Right-to-left papers are mirrored; drawings never are.
//   - A word wider than its column is reported as "overfull".
func Place(doc Document, m Metrics) Result {
	p := placer{doc: &doc, set: newSetter(m, doc.Lang, doc.Direction), sizes: map[tableKey]widths{}}
	best := p.try(loose)
	if best.short() {
		for _, t := range tightenings {
			if next := p.try(t); !next.short() && len(next.pages) <= len(best.pages) {
				return next.emit()
			}
		}
		return best.lent().emit()
	}
	for _, t := range tightenings[:best.worth()] {
		if next := p.try(t); len(next.pages) < len(best.pages) && !next.short() {
			return next.emit()
		}
	}
	if best.sparse() {
		best = best.lent()
	}
	return best.emit()
}

type placer struct {
	doc   *Document
	set   *setter
	sizes map[tableKey]widths // of tables, whose columns no tightening changes
}

// attempt is a document built and paged with one tightness.
type attempt struct {
	*builder
	frame   frameOf
	root    *Element
	flow    []strip
	pages   []pageOf
	reports []Report
}

func (p *placer) try(t tightness) *attempt {
	b := &builder{doc: p.doc, sheet: &p.doc.Sheet, set: p.set, sizes: p.sizes, space: loose.space, lead: loose.lead}
	a := &attempt{builder: b, frame: b.area(), root: &Element{Type: "Document", Lang: p.doc.Lang}}
	b.tighten(t)
	b.room = max(a.frame.bottom-a.frame.top, 1)
	a.flow = b.flow(p.doc.Blocks, a.root, a.frame.measure)
	a.pages, a.reports = paginate(a.flow, func(int) Length { return b.room })
	return a
}

// short tells that the last page is only a tail. One that the document itself begins is not.
func (a *attempt) short() bool {
	last := a.pages[len(a.pages)-1]
	return len(a.pages) > 1 && !last.forced && a.lines(last.flow) <= tail
}

// sparse tells that the last page is less than a quarter full, and not because the document itself began it.
func (a *attempt) sparse() bool {
	last := a.pages[len(a.pages)-1]
	return len(a.pages) > 1 && !last.forced && height(last.flow) < a.room/4
}

// long is the number of pages from which small gains on each may add up to a third of one or more; on twice as many
// they may add up to a whole one.
const long = 5

// worth is how many steps of tightening the last page is worth saving by.
func (a *attempt) worth() int {
	last := a.pages[len(a.pages)-1]
	if len(a.pages) == 1 || last.forced {
		return 0
	}
	switch h, n := height(last.flow), len(a.pages); {
	case h < a.room/4, n >= long && h < a.room/3, n >= 2*long && h < a.room/2:
		return len(tightenings)
	case n >= 2*long:
		return 2
	case n >= long && h < a.room/2:
		return 1
	}
	return 0
}

// lines counts the lines of a flow; what is not text counts by its height.
func (a *attempt) lines(flow []strip) int {
	leading := max(a.style(RoleBody).Leading, 1)
	n := 0
	for i := range flow {
		s := &flow[i]
		switch {
		case s.drop:
		case s.sides != nil:
			most := int(s.minimum / leading)
			for _, d := range s.sides {
				most = max(most, a.lines(d.flow))
			}
			n += most
		case hasText(s):
			n++
		default:
			n += int(s.height / leading)
		}
	}
	return n
}

func hasText(s *strip) bool {
	for i := range s.frags {
		if s.frags[i].item.Kind == ItemLine {
			return true
		}
	}
	return false
}

// lent ends the page before the last earlier, so that the last is no longer sparse or, where that cannot be, as
// full as it can. That page keeps at least half of its height.
func (a *attempt) lent() *attempt {
	n := len(a.pages)
	lender, fullest := a.pages[n-2].flow, a
	for k := len(lender) - 1; k > 0; k-- {
		h := height(lender[:k])
		if h < a.room/2 {
			break
		}
		if held(&lender[k-1], &lender[k]) >= holdTail {
			continue
		}
		pages, reports := paginate(a.flow, func(page int) Length {
			if page == n-2 {
				return h
			}
			return a.room
		})
		next := *a
		next.pages, next.reports = pages, reports
		if len(pages) != n || height(pages[n-1].flow) <= height(fullest.pages[n-1].flow) {
			continue
		}
		if fullest = &next; !next.sparse() {
			break
		}
	}
	return fullest
}
