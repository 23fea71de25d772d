package layout

// list sets bullets or numbers at the start side and texts at an indent. An item is a unit; the
// first and the last two stay together.
func (b *builder) list(v *List, parent *Element, width Length) []strip {
	el := add(parent, "L")
	el.Ordered = v.Ordered
	st := b.style(RoleBody)
	labels := make([][]Span, len(v.Items))
	indent := b.sheet.Indent
	for i := range v.Items {
		labels[i] = b.label(v.Ordered, i+1)
		indent = max(indent, b.set.natural(labels[i], st, manner{})+textGap)
	}
	indent = min(indent, width/2)
	var out []strip
	for i := range v.Items {
		flow := b.item(v, i, labels[i], el, width, indent)
		if len(flow) == 0 {
			continue
		}
		before := st.After / 2
		if len(out) == 0 {
			before = st.Before
		} else {
			out[len(out)-1].after = 0
		}
		flow[0].before = before
		if i == 1 || i > 0 && i == len(v.Items)-1 {
			flow[0].level = max(flow[0].level, holdSoft)
		}
		out = append(out, flow...)
	}
	if len(out) > 0 {
		out[len(out)-1].after = st.After
	}
	return out
}

func (b *builder) label(ordered bool, n int) []Span {
	if ordered {
		return []Span{{Text: b.doc.digits(n) + "."}}
	}
	return []Span{{Text: "•"}}
}

func (b *builder) item(v *List, i int, label []Span, list *Element, width, indent Length) []strip {
	li := add(list, "LI")
	lbl, body := add(li, "Lbl"), add(li, "LBody")
	item := &v.Items[i]
	text := body
	if len(item.Blocks) > 0 {
		text = add(body, "P")
	}
	mn := manner{role: RoleBody}
	flow := b.para(v.ID, item.Text, mn, width-indent, text)
	flow = append(flow, b.flow(item.Blocks, body, width-indent)...)
	if len(flow) == 0 {
		return nil
	}
	shift(flow, indent)
	st := b.style(RoleBody)
	lines := b.set.lines(label, st, mn, 0)
	up, tall := frame(st, lines)
	if blank(item.Text) {
		flow = append([]strip{{block: v.ID, x: indent, height: tall, next: holdClose}}, flow...)
	} else if f := flow[0].frags; len(f) > 0 {
		up = f[0].item.Rect.Y
	}
	var marks []frag
	for _, l := range lines {
		marks = append(marks, frag{el: lbl, item: Item{Kind: ItemLine, Line: l,
			Rect: Rect{X: -indent, Y: up, Width: l.Width}}})
	}
	flow[0].frags = append(marks, flow[0].frags...)
	return b.unit(v.ID, flow)
}

// digits writes a number in the digits of the document.
func (d *Document) digits(n int) string {
	if n < 0 {
		n = 0
	}
	var out []rune
	for {
		r := d.Digits[n%10]
		if r == 0 {
			r = '0' + rune(n%10)
		}
		out = append([]rune{r}, out...)
		if n /= 10; n == 0 {
			return string(out)
		}
	}
}
