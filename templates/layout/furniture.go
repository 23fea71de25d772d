package layout

import "slices"

// Room around furniture; common practice, no source.
var (
	edge    = MM(7) // least distance of anything from the edge of the paper: printers leave that much white
	footAir = MM(4) // between text and furniture
)

// frameOf is where the text of a paper stands on each of its pages.
type frameOf struct {
	top, bottom Length // of the text area
	code        Length // top of the square kept free, 0 none
	headTop     Length // top of the head's lines
	footBottom  Length // bottom of the foot's lines
	measure     Length
}

// area finds the text area. It begins at the margins of the sheet; furniture that is too high for a
// margin, or a square for a code, takes more.
func (b *builder) area() frameOf {
	s := b.sheet
	f := frameOf{measure: max(s.Width-s.Inner-s.Outer, 1), top: s.Top, bottom: s.Height - s.Bottom}
	head, foot := b.furnitureHeight(&b.doc.Head, f.measure), b.furnitureHeight(&b.doc.Foot, f.foot(s))
	if head > 0 {
		f.top = max(f.top, edge+head+footAir)
		f.headTop = f.top - footAir - head
	}
	f.footBottom = s.Height - edge
	if s.CodeSide > 0 {
		f.bottom = min(f.bottom, s.Height-edge-max(s.CodeSide, foot)-footAir)
		f.code = f.bottom + footAir
		f.footBottom = f.code + max(s.CodeSide, foot)
	} else if foot > 0 {
		f.bottom = min(f.bottom, s.Height-edge-foot-footAir)
		f.footBottom = f.bottom + footAir + foot
	}
	f.bottom -= b.closingHeight(f.measure)
	return f
}

// foot is the measure of the foot: beside the square, never under it.
func (f frameOf) foot(s *Sheet) Length {
	if s.CodeSide > 0 {
		return max(f.measure-s.CodeSide-footAir, 1)
	}
	return f.measure
}

// furnitureHeight is the larger of the heights on page one and on the others.
func (b *builder) furnitureHeight(f *Furniture, width Length) Length {
	var h Length
	for _, page := range []int{1, 2} {
		start, end := f.on(page)
		start, end = b.numbered(start, 88, 88), b.numbered(end, 88, 88)
		h = max(h, b.furnitureLines(start, end, width).height)
	}
	return h
}

// on gives the spans of a page.
func (f *Furniture) on(page int) (start, end []Span) {
	start, end = f.Start, f.End
	if page == 1 && f.FirstStart != nil {
		start = f.FirstStart
	}
	if page == 1 && f.FirstEnd != nil {
		end = f.FirstEnd
	}
	return start, end
}

// numbered puts the page's number and their count in place of the marks for them. Spans without a mark are
// the same on every page.
func (b *builder) numbered(spans []Span, page, pages int) []Span {
	if !slices.ContainsFunc(spans, func(s Span) bool { return s.Page || s.Pages }) {
		return spans
	}
	out := append([]Span(nil), spans...)
	for i := range out {
		switch {
		case out[i].Page:
			out[i].Text = b.doc.digits(page)
		case out[i].Pages:
			out[i].Text = b.doc.digits(pages)
		}
		out[i].Page, out[i].Pages = false, false
	}
	return out
}

// NewLine between spans of [Furniture.Start] begins a new line.
var NewLine = Span{Text: "\n"}

func splitLines(spans []Span) [][]Span {
	var out [][]Span
	for len(spans) > 0 {
		at := slices.Index(spans, NewLine)
		if at < 0 {
			return append(out, spans)
		}
		out = append(out, spans[:at])
		spans = spans[at+1:]
	}
	return out
}

// furnitureSet is the two sides of a running line, set.
type furnitureSet struct {
	start, end []strip
	endX       Length
	height     Length
}

// furnitureLines sets both sides in one measure: the end as wide as it is, half at most where the start
// needs room, the start in what is left.
func (b *builder) furnitureLines(start, end []Span, width Length) furnitureSet {
	mn := manner{role: RoleFoot, quiet: true}
	st := b.style(RoleFoot)
	between := max(b.sheet.Gutter, textGap)
	own := b.set.natural(end, st, mn)
	rest := width - own - between
	if first := b.set.natural(start, st, mn); first == 0 {
		rest, own = 0, min(own, width)
	} else if own > 0 && rest < first && own > width/2 {
		own = (width - between) / 2
		rest = width - own - between
	} else if own == 0 {
		rest = width
	}
	var f furnitureSet
	for _, line := range splitLines(start) {
		f.start = append(f.start, air(b.para("", line, mn, rest, nil), 0, 0)...)
	}
	mn.align = AlignEnd
	f.end = air(b.para("", end, mn, own, nil), 0, 0)
	f.endX = width - own
	first, last := max(upOf(f.start), upOf(f.end)), max(downOf(f.start), downOf(f.end))
	f.height = max(height(f.start)-upOf(f.start), height(f.end)-upOf(f.end)) + first
	f.height = max(f.height, max(height(f.start)-downOf(f.start), height(f.end)-downOf(f.end))+last)
	return f
}

// head places the running head of a page.
func (e *emission) head() {
	f := e.runningLine(&e.doc.Head, e.frame.measure)
	if f.height == 0 {
		return
	}
	first := max(upOf(f.start), upOf(f.end))
	e.flowAt(f.start, 0, e.frame.headTop+first-upOf(f.start))
	e.flowAt(f.end, f.endX, e.frame.headTop+first-upOf(f.end))
	if e.doc.Head.Rule {
		e.hairline(0, e.frame.top-footAir/2, e.frame.measure)
	}
}

// foot places the running foot, its last line at the bottom of the square beside it.
func (e *emission) foot() {
	side, x := e.sheet.CodeSide, Length(0)
	width := e.frame.foot(e.sheet)
	if side > 0 {
		left := e.left + e.frame.measure - side
		if e.outerLeft(e.page.Number) {
			left = e.left
		}
		e.page.Code = Rect{X: left, Y: e.frame.footBottom - side, Width: side, Height: side}
		if e.outerLeft(e.page.Number) != (e.doc.Direction == RightToLeft) {
			x = side + footAir
		}
	}
	f := e.runningLine(&e.doc.Foot, width)
	if f.height == 0 {
		return
	}
	bottom := e.frame.footBottom
	if e.doc.Foot.Rule {
		e.hairline(x, bottom-f.height-footAir/2, width)
	}
	below := max(downOf(f.start), downOf(f.end))
	e.flowAt(f.start, x, bottom-height(f.start)+downOf(f.start)-below)
	e.flowAt(f.end, x+f.endX, bottom-height(f.end)+downOf(f.end)-below)
}

// upOf is the height above the first baseline of a flow, downOf that below the last: the two sides of a
// running line share them.
func upOf(flow []strip) Length {
	if len(flow) == 0 {
		return 0
	}
	return flow[0].base
}

func downOf(flow []strip) Length {
	if len(flow) == 0 {
		return 0
	}
	last := &flow[len(flow)-1]
	return last.height - last.base
}

func (e *emission) runningLine(f *Furniture, width Length) furnitureSet {
	start, end := f.on(e.page.Number)
	n, all := e.page.Number, len(e.out.Pages)
	e.builder.tighten(loose)
	return e.furnitureLines(e.numbered(start, n, all), e.numbered(end, n, all), width)
}

func (e *emission) hairline(x, y, width Length) {
	e.strip(&strip{frags: []frag{ruleAt(0, 0, width, e.sheet.Rule)}}, x, y)
}
