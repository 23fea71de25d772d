package layout

import "strings"

// grid sets label above value in columns that are equal unless other widths save lines. The values of a row share
// one first baseline; an empty value is a line to write on, in room for a pen. A grid of up to three rows is a unit
// unless the page would have a hole, and a longer one keeps two rows on each side of a break.
func (b *builder) grid(v *Grid, parent *Element, width Length) []strip {
	n := max(v.Columns, 1)
	parts := b.evenedGrid(v, divided(width-b.sheet.Gutter*Length(n-1), n, nil))
	var out []strip
	for from := 0; from < len(v.Items); {
		row, at := from, 0
		for row < len(v.Items) && at+across(&v.Items[row], n) <= n {
			at += across(&v.Items[row], n)
			row++
		}
		s := b.gridRow(v, v.Items[from:row], parts, parent)
		s.before = b.spaced(MM(3)) + b.lack(v.Items[from:row])
		out = append(out, s)
		from = row
	}
	st := b.style(RoleBody)
	out = air(out, st.Before, st.After)
	if rows := len(out); rows > 3 {
		out[1].level, out[rows-1].level = holdUnit, holdUnit
		return out
	}
	for i := 1; i < len(out); i++ {
		out[i].level = holdSoft
	}
	return out
}

func across(i *GridItem, columns int) int { return min(max(i.Across, 1), columns) }

func (b *builder) gridRow(v *Grid, items []GridItem, parts []Length, parent *Element) strip {
	labels := make([][]strip, len(items))
	els := make([]*Element, len(items))
	at := make([]int, len(items))
	var tallest Length
	col := 0
	for i := range items {
		at[i] = col
		els[i] = add(parent, "P")
		labels[i] = b.para(v.ID, items[i].Label, manner{role: RoleLabel, quiet: true},
			b.spanned(parts, col, across(&items[i], len(parts))), add(els[i], "Span"))
		air(labels[i], 0, 0)
		tallest = max(tallest, height(labels[i]))
		col += across(&items[i], len(parts))
	}
	level(labels...)
	values := make([][]strip, len(items))
	for i := range items {
		w := b.spanned(parts, at[i], across(&items[i], len(parts)))
		values[i] = b.gridValue(v, &items[i], els[i], w)
		tallest = max(tallest, height(labels[i]))
	}
	level(values...)
	var sides []side
	for i := range items {
		flow := append(labels[i], strip{height: tallest - height(labels[i]) + b.lack(items)})
		flow = append(flow, values[i]...)
		b.pair(els[i], items[i].Label, items[i].Value)
		x := b.spanned(parts, 0, at[i])
		if at[i] > 0 {
			x += b.sheet.Gutter
		}
		sides = append(sides, side{x: x, flow: glue(flow, holdUnit)})
	}
	return beside(v.ID, b.free(), 0, sides...)
}

// lack is what a row needs above its values where one of them is a line to write on. The air above such
// a row grows by as much, so that labels stay nearest to their own values.
func (b *builder) lack(items []GridItem) Length {
	for i := range items {
		if blank(items[i].Value) {
			return max(b.sheet.PenRow-b.style(RoleBody).Leading, 0)
		}
	}
	return 0
}

// spanned is the width of columns with the gutters between them.
func (b *builder) spanned(parts []Length, from, count int) Length {
	var w Length
	for i := from; i < from+count; i++ {
		if i > from {
			w += b.sheet.Gutter
		}
		w += parts[i]
	}
	return w
}

func (b *builder) gridValue(v *Grid, item *GridItem, el *Element, width Length) []strip {
	if !blank(item.Value) {
		return air(b.para(v.ID, item.Value, manner{role: RoleBody, kept: true}, width, add(el, "Span")), 0, 0)
	}
	st := b.style(RoleBody)
	up, tall := frame(st, nil)
	return []strip{{block: v.ID, height: tall, base: up, frags: []frag{ruleAt(0, up+Pt, width, b.sheet.Rule)}}}
}

// pair makes label and value one passage for the ear, label first.
func (b *builder) pair(el *Element, label, value []Span) {
	l, v := strings.TrimSpace(textOf(label)), strings.TrimSpace(textOf(value))
	switch {
	case l == "" || v == "":
		el.Actual = l + v
	case strings.ContainsAny(l[len(l)-1:], ":?") || strings.HasSuffix(l, "؟") || strings.HasSuffix(l, "："):
		el.Actual = l + " " + v
	default:
		el.Actual = l + ": " + v
	}
}
