package layout

// emission turns pages of strips into pages of items, numbers marked content, and hangs it into the
// structure tree.
type emission struct {
	*attempt
	out  Result
	page *Page
	left Length   // of the measure on this page
	turn turn     // the column that reads the other way, if one is being placed
	last *Element // that the last item belonged to
}

func (a *attempt) emit() Result {
	e := emission{attempt: a, out: Result{Lang: a.doc.Lang, Direction: a.doc.Direction, Title: a.doc.Title,
		Sheet: a.doc.Sheet, Root: a.root, Reports: a.reports}}
	e.out.Pages = make([]Page, len(a.pages))
	for i := range a.pages {
		e.page = &e.out.Pages[i]
		e.page.Number = i + 1
		e.last = nil
		e.left = a.leftOf(i + 1)
		e.page.Items = make([]Item, 0, count(a.pages[i].flow)+furnitureItems)
		e.head()
		e.flowAt(a.pages[i].flow, 0, a.frame.top)
		e.closing()
		e.foot()
	}
	prune(a.root)
	return e.out
}

// furnitureItems is room for what a page shows besides its text.
const furnitureItems = 16

// count is the number of items of a flow.
func count(flow []strip) int {
	n := 0
	for i := range flow {
		n += len(flow[i].frags)
		for _, d := range flow[i].sides {
			n += count(d.flow)
		}
	}
	return n
}

// leftOf is the left edge of the measure. The binding edge is on the side where reading starts; on even
// pages of a mirrored sheet on the other.
func (a *attempt) leftOf(page int) Length {
	if a.outerLeft(page) {
		return a.sheet.Outer
	}
	return a.sheet.Inner
}

func (a *attempt) outerLeft(page int) bool {
	return (a.doc.Direction == RightToLeft) != (a.sheet.Mirror && page%2 == 0)
}

// across turns a distance from the start side of the measure into one from the left of the page.
func (e *emission) across(x, width Length) Length {
	x = e.turn.across(x, width)
	if e.doc.Direction == RightToLeft {
		return e.left + e.frame.measure - x - width
	}
	return e.left + x
}

// flowAt places a flow with its start side at x and its top at y.
func (e *emission) flowAt(flow []strip, x, y Length) {
	flow = dropLeading(flow)
	tops := make([]Length, len(flow))
	at := y
	for i := range flow {
		if i > 0 {
			at += gap(&flow[i-1], &flow[i])
		} else {
			at += flow[0].contPad
		}
		tops[i] = at
		at += flow[i].height
	}
	e.panels(flow, tops, x)
	for i := range flow {
		e.strip(&flow[i], x+flow[i].x, tops[i])
	}
}

func (e *emission) strip(s *strip, x, y Length) {
	if s.entry != nil {
		s.entry.Page, s.entry.Y = e.page.Number, y
		e.out.Outline = append(e.out.Outline, *s.entry)
	}
	for i := range s.frags {
		e.frag(s, &s.frags[i], x, y)
	}
	for _, d := range s.sides {
		outer := e.turn
		if d.turned > 0 {
			e.turn = turn{x + d.x, d.turned}
		}
		e.flowAt(d.flow, x+d.x, y)
		e.turn = outer
	}
}

func (e *emission) frag(s *strip, f *frag, x, y Length) {
	it := f.item
	it.Rect.X = e.across(x+it.Rect.X, it.Rect.Width) + f.off
	it.Rect.Y += y
	if it.Kind == ItemLine {
		it.Rect.Width = it.Line.Width
		if it.Line.Overfull {
			e.out.Reports = append(e.out.Reports, Report{ID: "overfull", Block: s.block, Page: e.page.Number, Field: f.field})
		}
	}
	if len(it.Labels) > 0 {
		it.Labels = append([]PlacedLabel(nil), it.Labels...)
		for i := range it.Labels {
			it.Labels[i].At.X += it.Rect.X
			it.Labels[i].At.Y += it.Rect.Y
		}
	}
	it.Mark = e.mark(f)
	if f.el != nil && f.el.Type == "Form" {
		f.el.Field = f.el.Field.on(e.page.Number)
		f.el.Page, f.el.BBox = e.page.Number, it.Rect
	}
	if f.el != nil && f.el.Type == "Figure" {
		f.el.Page, f.el.BBox = e.page.Number, it.Rect
	}
	e.page.Items = append(e.page.Items, it)
}

// mark gives an item's marked content: that of the item before it if both belong to one element,
// otherwise the next of the page.
func (e *emission) mark(f *frag) int {
	el := f.el
	if el == nil || el.Type == "Form" {
		e.last = nil
		return Artifact
	}
	if f.span != nil {
		if len(f.span.Kids) == 0 {
			el.Kids = append(el.Kids, Kid{Element: f.span})
		}
		el = f.span
	}
	if e.last != el {
		el.Kids = append(el.Kids, Kid{Page: e.page.Number, Mark: e.page.Marks})
		e.page.Marks++
		e.last = el
	}
	return e.page.Marks - 1
}

// panels paints what lies behind stretches of strips that share a panel, outer panels first.
func (e *emission) panels(flow []strip, tops []Length, x Length) {
	for from := range flow {
		for _, d := range flow[from].decos {
			if from > 0 && hasDeco(&flow[from-1], d) {
				continue
			}
			to := from
			for to+1 < len(flow) && hasDeco(&flow[to+1], d) {
				to++
			}
			top, bottom := tops[from], tops[to]+flow[to].height
			if from == 0 {
				top -= flow[0].contPad
			}
			if to == len(flow)-1 {
				bottom += flow[to].endPad
			}
			e.paint(d, x, top, bottom)
		}
	}
}

func hasDeco(s *strip, d *deco) bool {
	for _, own := range s.decos {
		if own == d {
			return true
		}
	}
	return false
}

func (e *emission) paint(d *deco, x, top, bottom Length) {
	s := e.sheet
	it := Item{Mark: Artifact, Rect: Rect{X: e.across(x+d.x, d.width), Y: top, Width: d.width, Height: bottom - top}}
	switch d.tone {
	case ToneWarning:
		it.Kind, it.Grey, it.Accent = ItemRule, 100, true
		it.Rect.X, it.Rect.Width = e.across(x+d.x, s.Bar), s.Bar
	case ToneNotice:
		it.Kind, it.Grey = ItemRule, s.Tint
	default:
		it.Kind, it.Grey, it.Stroke = ItemBox, 100, s.Rule
	}
	e.last = nil
	e.page.Items = append(e.page.Items, it)
}

// prune takes out elements that nothing hangs on; cells and figures stay.
func prune(el *Element) bool {
	kids := el.Kids[:0]
	for _, k := range el.Kids {
		if k.Element == nil || prune(k.Element) {
			kids = append(kids, k)
		}
	}
	el.Kids = kids
	return len(kids) > 0 || el.Type == "TD" || el.Type == "TH" || el.Type == "Figure" || el.Field != nil
}
