package layout

// table sets rows between hairlines, columns at the widths that measureColumns finds. The head is
// repeated on every page, as an artifact. Two rows stand together at either end of the table; a total
// stays with the row above it, under a heavier line.
func (b *builder) table(v *Table, parent *Element, width Length) []strip {
	if len(v.Columns) == 0 {
		return nil
	}
	el := add(parent, "Table")
	caption := b.para(v.ID, v.Caption, manner{role: RoleSmall, strong: true}, width, add(el, "Caption"))
	t := tableSetter{builder: b, table: v, el: el, cols: b.columnsOf(v, width), width: width}
	head := t.head(true)
	var repeat []strip
	if again := t.head(false); height(again) <= b.room/3 {
		repeat = again
	}
	t.room = b.free() - height(repeat)
	st := b.style(RoleBody)
	var rows []strip
	for i := range v.Rows {
		rows = append(rows, t.row(i, repeat)...)
	}
	if len(caption) > 0 {
		caption[len(caption)-1].next = holdClose
		glue(caption, holdClose)
		air(caption, 0, b.spaced(MM(1)))
	}
	if len(head) > 0 {
		glue(head, holdPadding)
		head[len(head)-1].next = holdClose
	}
	flow := append(append(caption, head...), rows...)
	if len(rows) == 0 && len(flow) > 0 {
		flow[len(flow)-1].next = holdNone
	}
	return air(flow, max(st.After, b.spaced(partAir)), max(st.After, b.spaced(partAir)))
}

type tableSetter struct {
	*builder
	table *Table
	el    *Element
	cols  widths
	width Length
	room  Length
}

// head is the row of column heads and its line; tagged is false for its repetitions.
func (t *tableSetter) head(tagged bool) []strip {
	var el *Element
	some := false
	for i := range t.table.Columns {
		some = some || !blank(t.table.Columns[i].Head)
	}
	if !some {
		return nil
	}
	if tagged {
		el = add(t.el, "TR")
	}
	var sides []side
	for i := range t.table.Columns {
		c := &t.table.Columns[i]
		var th *Element
		if tagged {
			th = add(el, "TH")
			th.Scope = "Column"
		}
		mn := manner{role: RoleTable, strong: true, align: headAlign(c.Align)}
		flow := t.para(t.table.ID, c.Head, mn, t.cols.width[i], th)
		sides = append(sides, side{x: t.cols.x(i), flow: flow})
	}
	var over []strip
	if t.cols.stacked {
		over, sides = glue(padded(sides[0].flow, rowPad, 0), holdClose), sides[1:]
	}
	own := beside(t.table.ID, t.builder.free(), 0, onTheirLine(sides)...)
	own.level = holdClose
	return append(over, own, t.rule(t.sheet.Rule))
}

// onTheirLine pads heads; those of unequal height stand on the line below them.
func onTheirLine(heads []side) []side {
	if lineCounts(heads) <= 1 {
		levelSides(heads)
	}
	var tallest Length
	for i := range heads {
		tallest = max(tallest, height(heads[i].flow))
	}
	for i := range heads {
		if lack := tallest - height(heads[i].flow); lack > 0 && len(heads[i].flow) > 0 {
			heads[i].flow = append([]strip{{height: lack}}, heads[i].flow...)
		}
		heads[i].flow = glue(padded(heads[i].flow, rowPad, rowPad), holdUnit)
	}
	return heads
}

func lineCounts(sides []side) int {
	n := 0
	for _, d := range sides {
		n = max(n, len(d.flow))
	}
	return n
}

func headAlign(a Align) Align {
	if a == AlignDecimal {
		return AlignEnd
	}
	return a
}

func (t *tableSetter) rule(thick Length) strip {
	return strip{block: t.table.ID, height: thick, level: holdPadding,
		frags: []frag{ruleAt(0, 0, t.width, thick)}}
}

func ruleAt(x, y, width, thick Length) frag {
	return frag{item: Item{Kind: ItemRule, Grey: 100, Rect: Rect{X: x, Y: y, Width: width, Height: thick}}}
}

// row is a row and the line below it, which is heavier above a total.
func (t *tableSetter) row(i int, repeat []strip) []strip {
	row := &t.table.Rows[i]
	el := add(t.el, "TR")
	var sides []side
	at := 0
	for c := range row.Cells {
		if at >= len(t.table.Columns) {
			break
		}
		across := min(max(row.Cells[c].Across, 1), len(t.table.Columns)-at)
		sides = append(sides, t.cell(row, c, at, across, el))
		at += across
	}
	for ; at < len(t.table.Columns); at++ {
		add(el, "TD")
	}
	least := Length(0)
	if row.Pen {
		least = t.sheet.PenRow
	}
	thick := t.sheet.Rule
	if i+1 < len(t.table.Rows) && t.table.Rows[i+1].Total {
		thick = t.sheet.HeavyRule
	}
	strips := append(t.set(sides, least), t.rule(thick))
	for s := range strips {
		strips[s].repeat = repeat
	}
	switch last := len(t.table.Rows) - 1; {
	case row.Total:
		strips[0].level = holdTail
	case i > 0 && i == last || i == 1 && last > 2:
		strips[0].level = holdSoft
	}
	return strips
}

// set puts the cells of a row beside one another, or its head above the others.
func (t *tableSetter) set(sides []side, least Length) []strip {
	if t.cols.stacked {
		return t.stacked(sides, least)
	}
	return []strip{beside(t.table.ID, t.room, least, t.centred(sides, least)...)}
}

// centred pads cells; in a row that a pen fills, a row's text stands in the middle.
func (t *tableSetter) centred(sides []side, least Length) []side {
	levelSides(sides)
	tallest := Length(0)
	for _, d := range sides {
		tallest = max(tallest, height(d.flow))
	}
	pad := max(rowPad, (least-tallest)/2)
	for i := range sides {
		sides[i].flow = glue(padded(sides[i].flow, pad, pad), holdClose)
	}
	return sides
}

func levelSides(sides []side) {
	flows := make([][]strip, len(sides))
	for i := range sides {
		flows[i] = sides[i].flow
	}
	level(flows...)
}

// padded puts air above and below a flow, as strips that stay with it. The flow is not to be used
// afterwards: where its memory has room, that becomes the padded one.
func padded(flow []strip, above, below Length) []strip {
	if len(flow) == 0 {
		return []strip{{height: above + below}}
	}
	air(flow, 0, 0)
	n := len(flow)
	var out []strip
	if cap(flow) >= n+padding {
		out = flow[:n+padding]
	} else {
		out = make([]strip, n+padding)
	}
	copy(out[1:], flow)
	out[0] = strip{height: above, next: holdPadding}
	out[n+1] = strip{height: below, level: holdPadding}
	return out
}

// padding is the number of strips that padded adds.
const padding = 2

func (t *tableSetter) cell(row *Row, c, at, across int, tr *Element) side {
	cell := &row.Cells[c]
	kind := "TD"
	if row.Header && c == 0 {
		kind = "TH"
	}
	el := add(tr, kind)
	if kind == "TH" {
		el.Scope = "Row"
	}
	if across > 1 {
		el.ColSpan = across
	}
	width := t.cols.span(at, across)
	mn := manner{role: RoleTable, strong: row.Total || kind == "TH", align: t.table.Columns[at].Align}
	if cell.Box {
		inner := width - t.sheet.Box - textGap
		mn.align = AlignStart
		return side{x: t.cols.x(at), flow: t.boxed(t.table.ID, t.para(t.table.ID, cell.Text, mn, inner, el))}
	}
	flow := t.para(t.table.ID, cell.Text, mn, width, el)
	if mn.align == AlignDecimal && across == 1 && len(flow) == 1 {
		t.onSign(flow[0].frags, cell.Text, mn, at)
	}
	return side{x: t.cols.x(at), flow: flow}
}

// onSign moves a number so that its decimal sign stands below those above it.
func (t *tableSetter) onSign(frags []frag, text []Span, mn manner, col int) {
	before := t.cols.sign[col] - t.signAt(text, mn)
	own := frags[0].item.Rect.Width
	if before < 0 || before+own > t.cols.width[col] {
		return
	}
	for i := range frags {
		frags[i].item.Rect.X = before
	}
}

// boxed puts a tick box before the first line of a text, middle to middle.
func (b *builder) boxed(block string, flow []strip) []strip {
	box := b.sheet.Box
	if len(flow) == 0 {
		up, tall := frame(b.style(RoleTable), nil)
		flow = []strip{{block: block, height: tall, base: up}} // stands level with the words beside it
	}
	shift(flow, box+textGap)
	s := &flow[0]
	if lack := box - s.height; lack > 0 {
		s.sink(lack / 2)
		s.height = box
	}
	s.frags = append([]frag{b.box(-box-textGap, (s.height-box)/2)}, s.frags...)
	return flow
}

func (b *builder) box(x, y Length) frag {
	return frag{item: Item{Kind: ItemBox, Grey: 100, Stroke: max(b.sheet.Rule, Pt*7/10),
		Rect: Rect{X: x, Y: y, Width: b.sheet.Box, Height: b.sheet.Box}}}
}
