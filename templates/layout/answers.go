package layout

// Sizes of places for answers; common practice, no source.
var (
	cellWidth  = MM(5.5)
	cellHeight = MM(7)
	partGap    = MM(3)
)

func (b *builder) tickApart() Length { return max(b.sheet.Gutter, textGap) }

// tickRowWidth is the width of a row of boxes whose labels are as wide as these.
func (b *builder) tickRowWidth(labels []Length) Length {
	total := -b.tickApart()
	for _, l := range labels {
		total += b.sheet.Box + textGap + l + b.tickApart()
	}
	return total
}

// tick is a box before its label.
func (b *builder) tick(id string, t *TickBox, width Length, body *Element) []strip {
	var form *Element
	if b.doc.Fillable && t.Field != nil {
		form = &Element{Type: "Form", Field: t.Field}
		body.Kids = append(body.Kids, Kid{Element: form})
	}
	var mark *Element
	if t.Ticked {
		mark = &Element{Type: "Figure", Alt: t.Said}
		body.Kids = append(body.Kids, Kid{Element: mark})
	}
	flow := b.boxed(id, b.para(id, t.Label, manner{role: RoleBody, label: true}, width, add(body, "P")))
	box := &flow[0].frags[0]
	box.item.Field, box.el = t.Field, form
	if t.Ticked {
		r := box.item.Rect
		flow[0].frags = append(flow[0].frags, frag{el: mark, item: Item{Kind: ItemDrawing, Drawing: &tickMark, Rect: r}})
	}
	return air(flow, 0, 0)
}

// tickMark is a tick in a box.
var tickMark = Drawing{Name: "tick", Width: 10 * Pt, Height: 10 * Pt, Shapes: []Shape{{Stroke: Pt, Grey: 100, Path: []Segment{
	{Verb: MoveTo, Points: [3]Point{{X: 1600, Y: 5200}}}, {Verb: LineTo, Points: [3]Point{{X: 4200, Y: 8000}}},
	{Verb: LineTo, Points: [3]Point{{X: 9000, Y: 1000}}},
}}}}

// tickRow is one row of boxes, each label in its column.
func (b *builder) tickRow(id string, boxes []TickBox, labels []Length, body *Element) []strip {
	s := strip{block: id}
	var x Length
	for k := range boxes {
		flow := b.tick(id, &boxes[k], labels[k]+1, body)
		for _, f := range flow[0].frags {
			f.item.Rect.X += x + flow[0].x
			s.frags = append(s.frags, f)
		}
		s.height, s.base = max(s.height, flow[0].height), max(s.base, flow[0].base)
		x += b.sheet.Box + textGap + labels[k] + b.tickApart()
	}
	return []strip{s}
}

// tickGrid sets boxes below a text: a list in the columns that cost the least height, a mere row as it runs.
func (b *builder) tickGrid(id string, boxes []TickBox, body *Element, width Length, list bool) []strip {
	labels := b.tickWidths(boxes)
	if !list && b.tickRowWidth(labels) <= width {
		return b.tickRow(id, boxes, labels, body)
	}
	way := b.ticksWith(boxes, labels, width)
	var out []strip
	for i := 0; i < len(boxes); {
		var row []side
		for k := i; k == i || k < len(boxes) && way.at[k] > 0; k++ {
			x, own := b.place(way, k)
			flow := b.tick(id, &boxes[k], own-b.tickHead(), body)
			row = append(row, side{x: x, flow: glue(flow, holdUnit)})
		}
		i += len(row)
		s := beside(id, b.free(), 0, row...)
		s.before = b.spaced(MM(1))
		out = append(out, s)
	}
	return glue(out, holdUnit)
}

// partRow is a row of cells with their labels above, and boxes behind them. Its minimum is its width.
func (b *builder) partRow(id string, q *Asked, body *Element, width Length) strip {
	s := strip{block: id}
	st := b.style(RoleLabel)
	up, tall := frame(st, nil)
	s.base = up
	labels, rooms := make([][]strip, len(q.Parts)), b.partRooms(q, width)
	for i := range q.Parts {
		labels[i] = b.para(id, q.Parts[i].Label, manner{role: RoleLabel, quiet: true}, rooms[i], add(body, "P"))
		air(labels[i], 0, 0)
		tall = max(tall, height(labels[i]))
	}
	var x Length
	for i := range q.Parts {
		own, y := Length(q.Parts[i].Signs)*cellWidth, Length(0)
		for k := range labels[i] {
			line := &labels[i][k]
			y += line.before
			for _, f := range line.frags {
				f.item.Rect.X += x
				f.item.Rect.Y += y
				s.frags = append(s.frags, f)
			}
			y += line.height
		}
		if len(labels[i]) > 0 {
			s.base = labels[i][0].base
			own = max(own, rooms[i]-1)
		}
		q.Parts[i].cells(b, &s, x, tall+MM(0.7), body)
		x += own + partGap
	}
	s.height = tall + MM(0.7) + cellHeight
	s.minimum = x - partGap
	if len(q.Boxes) > 0 {
		x += b.tickApart() - partGap
		labels := b.tickWidths(q.Boxes)
		row := b.tickRow(id, q.Boxes, labels, body)[0]
		down := s.height - cellHeight + (cellHeight-row.height)/2
		if x+b.tickRowWidth(labels) > width { // no room behind the cells
			x, down = 0, s.height+MM(1.5)
			s.height = down + row.height
		} else {
			s.minimum = x + b.tickRowWidth(labels)
		}
		for _, f := range row.frags {
			f.item.Rect.X += x
			f.item.Rect.Y += down
			s.frags = append(s.frags, f)
		}
		s.minimum = max(s.minimum, x+b.tickRowWidth(labels))
	}
	return s
}

// partRooms is the room of the label above each part: what it takes on one line, or that of the wider of its two
// languages where a row of such labels would leave its measure.
func (b *builder) partRooms(q *Asked, width Length) []Length {
	st, mn := b.style(RoleLabel), manner{quiet: true}
	rooms, total := make([]Length, len(q.Parts)), -partGap
	for i := range q.Parts {
		rooms[i] = b.set.natural(q.Parts[i].Label, st, mn) + 1
		total += max(rooms[i], Length(q.Parts[i].Signs)*cellWidth) + partGap
	}
	if total <= width {
		return rooms
	}
	for i := range q.Parts {
		least := Length(q.Parts[i].Signs) * cellWidth
		for _, part := range parted(q.Parts[i].Label, Beside) {
			least = max(least, b.set.natural(part, st, mn))
		}
		rooms[i] = min(rooms[i], least+1)
	}
	return rooms
}

// cells draws a part's cells with what is written in them.
func (p *Part) cells(b *builder, s *strip, x, y Length, body *Element) {
	own := Length(p.Signs) * cellWidth
	var form *Element
	if b.doc.Fillable && p.Field != nil {
		form = &Element{Type: "Form", Field: p.Field}
		body.Kids = append(body.Kids, Kid{Element: form})
	}
	stroke := max(b.sheet.Rule, Pt*7/10)
	s.frags = append(s.frags, frag{el: form, item: Item{Kind: ItemBox, Grey: 100, Stroke: stroke, Field: p.Field,
		Rect: Rect{X: x, Y: y, Width: own, Height: cellHeight}}})
	for k := 1; k < p.Signs; k++ {
		tick := cellHeight / 3
		s.frags = append(s.frags, frag{item: Item{Kind: ItemRule, Grey: 100,
			Rect: Rect{X: x + Length(k)*cellWidth - b.sheet.Rule/2, Y: y + cellHeight - tick, Width: b.sheet.Rule, Height: tick}}})
	}
	if len(p.Value) == 0 {
		return
	}
	el, st := add(body, "P"), b.style(RoleBody)
	first := p.Signs - len(p.Value)
	for k, sign := range p.Value {
		for _, l := range b.set.lines(sign, st, manner{}, 0) {
			at := x + Length(first+k)*cellWidth + (cellWidth-l.Width)/2
			if b.doc.Direction == RightToLeft {
				at = x + own - Length(first+k+1)*cellWidth + (cellWidth-l.Width)/2
			}
			s.frags = append(s.frags, frag{el: el, item: Item{Kind: ItemLine, Line: l,
				Rect: Rect{X: at, Y: y + cellHeight/2 + st.Size*36/100, Width: l.Width}}})
		}
	}
}

// writing is lines to write on, with what was written.
func (b *builder) writing(id string, q *Asked, body *Element, width Length) []strip {
	var form *Element
	if b.doc.Fillable && q.Field != nil {
		form = &Element{Type: "Form", Field: q.Field}
		body.Kids = append(body.Kids, Kid{Element: form})
	}
	var said []strip
	if !blank(q.Value) {
		said = b.para(id, q.Value, manner{role: RoleBody}, width, add(body, "P"))
	}
	lines := max(q.Lines, len(said))
	if b.doc.Fillable {
		height := Length(lines) * b.sheet.PenRow
		return []strip{{block: id, height: height, before: b.spaced(MM(1)), frags: []frag{{el: form, item: Item{Kind: ItemBox,
			Grey: 100, Stroke: max(b.sheet.Rule, Pt*7/10), Field: q.Field, Rect: Rect{Width: width, Height: height}}}}}}
	}
	out := make([]strip, 0, lines)
	for k := range lines {
		s := strip{block: id, height: b.sheet.PenRow, base: b.sheet.PenRow - MM(2)}
		if k < len(said) {
			for _, f := range said[k].frags {
				f.item.Rect.Y += s.base - said[k].base
				s.frags = append(s.frags, f)
			}
		}
		rule := ruleAt(0, s.height-b.sheet.Rule, width, b.sheet.Rule)
		rule.item.Field = q.Field
		s.frags = append(s.frags, rule)
		out = append(out, s)
	}
	return glue(out, holdUnit)
}
