package layout

// signature is one unit: what signing means, then rows of fields. The lines of a row stand at one
// height; labels are small below them. It holds on to the text before it, so that nobody signs a page
// that says nothing.
func (b *builder) signature(v *Signature, parent *Element, width Length) []strip {
	flow := b.para(v.ID, v.Meaning, manner{role: RoleBody}, width, add(parent, "P"))
	for _, row := range b.signRows(v, width) {
		s := b.signRow(v, row, parent)
		s.before = b.spaced(MM(2.5))
		flow = append(flow, s)
	}
	if len(flow) == 0 {
		return nil
	}
	st := b.style(RoleBody)
	flow = b.unit(v.ID, air(flow, max(st.After, b.spaced(signAir)), st.After))
	flow[0].level = holdTail
	return flow
}

type signPart struct {
	field *SignField
	width Length
	x     Length
}

// signRows divides fields into rows: at NewRow, and where the least widths no longer fit.
func (b *builder) signRows(v *Signature, width Length) [][]signPart {
	var rows [][]signPart
	var row []signPart
	var need Length
	flush := func() {
		if len(row) > 0 {
			rows = append(rows, b.widen(row, width))
			row, need = nil, 0
		}
	}
	for i := range v.Fields {
		f := &v.Fields[i]
		least := b.leastSign(f, width)
		if f.NewRow || len(row) > 0 && need+b.sheet.Gutter+least > width {
			flush()
		}
		if len(row) > 0 {
			need += b.sheet.Gutter
		}
		need += least
		row = append(row, signPart{field: f, width: least})
	}
	flush()
	return rows
}

// leastSign is the least width of a field: that of a signature, of its label's longest word, of its value
// up to half the measure, or 20 mm, enough for a date or time by hand (common practice, no source).
func (b *builder) leastSign(f *SignField, width Length) Length {
	least := MM(20)
	for _, w := range longest(f.Label) {
		least = max(least, b.set.natural(w, b.style(RoleLabel), manner{}))
	}
	least = max(least, min(b.set.natural(f.Value, b.style(RoleBody), manner{}), width/2))
	if f.Hand {
		least = max(least, b.sheet.SignWidth)
	}
	return min(least, width)
}

// widen shares a row's width among its fields, none below its least.
func (b *builder) widen(row []signPart, width Length) []signPart {
	free := width - b.sheet.Gutter*Length(len(row)-1)
	fixed := make([]bool, len(row))
	out := make([]Length, len(row))
	for again := true; again; {
		again = false
		left := free
		var shares []int
		for i := range row {
			if fixed[i] {
				left -= out[i]
			} else {
				shares = append(shares, row[i].field.Share)
			}
		}
		parts := divided(left, len(shares), shares)
		for i := range row {
			if fixed[i] {
				continue
			}
			out[i], parts = parts[0], parts[1:]
			if out[i] < row[i].width {
				out[i], fixed[i], again = row[i].width, true, true
			}
		}
	}
	var x Length
	for i := range row {
		row[i].width, row[i].x = out[i], x
		x += out[i] + b.sheet.Gutter
	}
	return row
}

func (b *builder) signRow(v *Signature, row []signPart, parent *Element) strip {
	values, labels := make([][]strip, len(row)), make([][]strip, len(row))
	var tallest Length
	for i, p := range row {
		el := add(parent, "P")
		label, value := add(el, "Span"), add(el, "Span")
		labels[i] = b.para(v.ID, p.field.Label, manner{role: RoleLabel, quiet: true}, p.width, label)
		values[i] = b.para(v.ID, p.field.Value, manner{role: RoleBody, kept: true}, p.width, value)
		air(labels[i], 0, 0)
		air(values[i], 0, 0)
		b.pair(el, p.field.Label, p.field.Value)
		least := max(b.sheet.PenRow, b.style(RoleBody).Leading)
		if p.field.Hand {
			least = max(least, b.sheet.SignHeight)
		}
		tallest = max(tallest, least, height(values[i]))
	}
	level(values...)
	for i := range values {
		tallest = max(tallest, height(values[i]))
	}
	var sides []side
	for i, p := range row {
		flow := append([]strip{{block: v.ID, height: tallest - height(values[i])}}, values[i]...)
		flow = append(flow, strip{block: v.ID, height: b.sheet.Rule + Pt,
			frags: []frag{ruleAt(0, 0, p.width, b.sheet.Rule)}})
		sides = append(sides, side{x: p.x, flow: glue(append(flow, labels[i]...), holdUnit)})
	}
	return beside(v.ID, b.free(), 0, sides...)
}
