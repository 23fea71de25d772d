package layout

// choices sets one decision a row, with air between rows. A choice without boxes of its own has one
// before its text; otherwise its boxes stand at the row's end, in columns where rows agree, or below the
// text where the measure is too narrow.
func (b *builder) choices(v *Choices, parent *Element, width Length) []strip {
	el := add(parent, "L")
	var out []strip
	cols := b.boxColumns(v)
	for i := range v.Items {
		c := &v.Items[i]
		body := add(add(el, "LI"), "LBody")
		var flow []strip
		if len(c.Boxes) == 0 {
			flow = b.boxed(v.ID, b.para(v.ID, c.Text, manner{role: RoleBody}, width-b.sheet.Box-textGap, body))
		} else {
			flow = b.answers(v, c, cols[len(c.Boxes)], body, width)
		}
		air(flow, 0, 0)
		flow = b.unit(v.ID, flow)
		pad := max(b.sheet.PenRow-max(b.sheet.Box, b.style(RoleBody).Leading), MM(2.5))
		if len(out) > 0 {
			flow[0].before = b.spaced(pad)
		}
		out = append(out, flow...)
	}
	st := b.style(RoleBody)
	return air(out, st.After, st.After)
}

// boxColumns gives, for each count of boxes that occurs, the widths of their labels over all rows.
func (b *builder) boxColumns(v *Choices) map[int][]Length {
	cols := map[int][]Length{}
	for i := range v.Items {
		own := b.labelWidths(&v.Items[i])
		for k, w := range cols[len(own)] {
			own[k] = max(own[k], w)
		}
		cols[len(own)] = own
	}
	return cols
}

func (b *builder) labelWidths(c *Choice) []Length {
	out := make([]Length, len(c.Boxes))
	for k, label := range c.Boxes {
		out[k] = b.set.natural(label, b.style(RoleBody), manner{})
	}
	return out
}

// boxesWidth is the width of a row of boxes with labels as wide as these.
func (b *builder) boxesWidth(labels []Length) Length {
	apart := max(b.sheet.Gutter, textGap)
	total := -apart
	for _, l := range labels {
		total += b.sheet.Box + textGap + l + apart
	}
	return total
}

// answers sets a text with several boxes.
func (b *builder) answers(v *Choices, c *Choice, labels []Length, body *Element, width Length) []strip {
	apart := max(b.sheet.Gutter, textGap)
	total := b.boxesWidth(labels)
	if width-total-apart < width*2/5 {
		labels = b.labelWidths(c)
		total = b.boxesWidth(labels)
	}
	text := add(body, "P")
	if width-total-apart >= width*2/5 {
		left := b.para(v.ID, c.Text, manner{role: RoleBody}, width-total-apart, text)
		row := b.boxRow(v, c.Boxes, labels, body)
		level(left, row)
		s := beside(v.ID, b.free(), 0, side{x: 0, flow: glue(air(left, 0, 0), holdClose)}, side{x: width - total, flow: row})
		return []strip{s}
	}
	flow := air(b.para(v.ID, c.Text, manner{role: RoleBody}, width, text), 0, MM(1))
	if n := len(flow); n > 0 {
		flow[n-1].next = holdUnit
	}
	return append(flow, b.boxRows(v, c.Boxes, body, width)...)
}

// boxRow is one row of boxes, each label in its column.
func (b *builder) boxRow(v *Choices, boxes [][]Span, labels []Length, body *Element) []strip {
	st := b.style(RoleBody)
	s := strip{block: v.ID, height: max(st.Leading, b.sheet.Box)}
	var x Length
	for k := range boxes {
		flow := b.boxed(v.ID, b.para(v.ID, boxes[k], manner{role: RoleBody}, labels[k]+1, add(body, "P")))
		for _, f := range flow[0].frags {
			f.item.Rect.X += x + flow[0].x
			s.frags = append(s.frags, f)
		}
		s.height, s.base = max(s.height, flow[0].height), max(s.base, flow[0].base)
		x += b.sheet.Box + textGap + labels[k] + max(b.sheet.Gutter, textGap)
	}
	return []strip{s}
}

// boxRows sets boxes below a text, as many on a row as there is room for; a label too long for a row
// wraps beside its box.
func (b *builder) boxRows(v *Choices, boxes [][]Span, body *Element, width Length) []strip {
	st := b.style(RoleBody)
	var out []strip
	var row []side
	var x Length
	flush := func() {
		if len(row) > 0 {
			out = append(out, beside(v.ID, b.free(), 0, row...))
			row, x = nil, 0
		}
	}
	for k := range boxes {
		own := b.sheet.Box + textGap + b.set.natural(boxes[k], st, manner{})
		if x > 0 && x+own > width {
			flush()
		}
		w := min(own, width)
		inner := max(w-b.sheet.Box-textGap, 1)
		flow := b.boxed(v.ID, b.para(v.ID, boxes[k], manner{role: RoleBody, label: true}, inner, add(body, "P")))
		row = append(row, side{x: x, flow: glue(air(flow, 0, MM(1)), holdUnit)})
		x += w + max(b.sheet.Gutter, textGap)
	}
	flush()
	return glue(out, holdUnit)
}
