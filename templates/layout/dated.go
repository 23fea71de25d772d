package layout

import "slices"

// dated sets dates in one column and what holds until then in the other, a hairline between groups.
// Texts hang from their first words, which are verbs: further lines are indented. A group is a unit
// unless it would leave a hole; then it is parted between its texts, and its date is repeated. In a sheet that
// stacks rows the date stands above its texts.
func (b *builder) dated(v *Dated, parent *Element, width Length) []strip {
	list := add(parent, "L")
	st := b.style(RoleBody)
	when := b.whenWidth(v, width)
	var out []strip
	for from := 0; from < len(v.Items); {
		to := from + 1
		for to < len(v.Items) && textOf(v.Items[to].When) == textOf(v.Items[from].When) {
			to++
		}
		group := b.datedGroup(v, v.Items[from:to], list, when, width)
		from = to
		if len(group) == 0 {
			continue
		}
		if len(out) > 0 {
			rule := strip{block: v.ID, height: b.sheet.Rule, drop: true, next: holdPadding,
				frags: []frag{ruleAt(0, 0, width, b.sheet.Rule)}}
			rule.before, rule.after = b.spaced(MM(2.2)), b.spaced(MM(1.6))
			out = append(out, rule)
		}
		out = append(out, group...)
	}
	return air(out, st.After, st.After)
}

// whenWidth is the width of the dates' column: what the widest date takes, within a third of the
// measure, and no more than its lines fill.
func (b *builder) whenWidth(v *Dated, width Length) Length {
	var w Length
	for i := range v.Items {
		w = max(w, b.set.natural(v.Items[i].When, b.style(RoleBody), manner{strong: true}))
		w = max(w, b.set.natural(v.Items[i].Note, b.style(RoleSmall), manner{quiet: true}))
	}
	if w <= width/3 {
		return max(w, width/6)
	}
	w = 0
	for i := range v.Items {
		w = max(w, b.set.measure(v.Items[i].When, b.style(RoleBody), manner{strong: true}, width/3).Widest)
		w = max(w, b.set.measure(v.Items[i].Note, b.style(RoleSmall), manner{quiet: true}, width/3).Widest)
	}
	return min(max(w, width/6), width/3)
}

// datedGroup sets what holds until one date.
func (b *builder) datedGroup(v *Dated, items []DatedItem, list *Element, when, width Length) []strip {
	x := when + max(b.sheet.Gutter, textGap)
	if b.sheet.StackRows {
		when, x = width, 0
	}
	li := add(list, "LI")
	lbl, body := add(li, "Lbl"), add(li, "LBody")
	left := air(b.para(v.ID, items[0].When, manner{role: RoleBody, strong: true}, when, add(lbl, "Span")), 0, 0)
	var texts [][]strip
	for i := range items {
		if i == 0 || textOf(items[i].Note) != textOf(items[i-1].Note) {
			note := b.para(v.ID, items[i].Note, manner{role: RoleSmall, quiet: true}, when, add(lbl, "Span"))
			left = append(left, air(note, 0, 0)...)
		}
		for _, text := range items[i].Texts {
			mn := manner{role: RoleBody, strong: items[i].Strong, hang: min(b.sheet.Indent/2, (width-x)/6)}
			flow := b.unit(v.ID, air(b.para(v.ID, text, mn, width-x, add(body, "P")), 0, 0))
			if len(flow) == 0 {
				continue
			}
			if len(texts) > 0 {
				flow[0].before = b.style(RoleBody).After / 3
			}
			texts = append(texts, flow)
		}
	}
	if len(left)+len(texts) == 0 {
		return nil
	}
	var again []strip
	if len(texts) > 1 {
		again = air(b.para(v.ID, items[0].When, manner{role: RoleBody, quiet: true}, when, nil), 0, 0)
	}
	if b.sheet.StackRows {
		return datedStack(glue(left, holdClose), texts, again)
	}
	return []strip{b.datedBeside(v.ID, left, slices.Concat(texts...), again, x)}
}

// datedBeside puts the texts beside their date.
func (b *builder) datedBeside(block string, left, texts, again []strip, x Length) strip {
	level(left, texts)
	s := beside(block, b.free(), 0, side{flow: glue(left, holdClose), again: again}, side{x: x, flow: texts})
	s.yields = len(again) > 0
	s.free = s.tall && s.yields
	return s
}

// datedStack puts the texts below their date, which is repeated on a page that starts with one of them. The first
// and the last text of a group do not stand alone.
func datedStack(left []strip, texts [][]strip, again []strip) []strip {
	out := left
	for i, flow := range texts {
		switch last := len(texts) - 1; {
		case i == 0:
			flow[0].level = holdClose
		case i == 1 || i == last:
			flow[0].level = holdSoft
		}
		if i > 0 {
			flow[0].repeat = again
		}
		out = append(out, flow...)
	}
	return out
}
