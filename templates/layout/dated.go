package layout

// dated sets dates in one column and what holds until then in the other, a hairline between groups.
// Texts hang from their first words, which are verbs: further lines are indented. A group is a unit
// unless it would leave a hole; then it is parted between its texts, and its date is repeated.
func (b *builder) dated(v *Dated, parent *Element, width Length) []strip {
	list := add(parent, "L")
	st := b.style(RoleBody)
	when := b.whenWidth(v, width)
	x := when + max(b.sheet.Gutter, textGap)
	var out []strip
	for from := 0; from < len(v.Items); {
		to := from + 1
		for to < len(v.Items) && textOf(v.Items[to].When) == textOf(v.Items[from].When) {
			to++
		}
		s, ok := b.datedGroup(v, v.Items[from:to], list, when, side{x: x}, width-x)
		from = to
		if !ok {
			continue
		}
		if len(out) > 0 {
			rule := strip{block: v.ID, height: b.sheet.Rule, drop: true, next: holdPadding,
				frags: []frag{ruleAt(0, 0, width, b.sheet.Rule)}}
			rule.before, rule.after = b.spaced(MM(2.2)), b.spaced(MM(1.6))
			out = append(out, rule)
		}
		out = append(out, s)
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

func (b *builder) datedGroup(v *Dated, items []DatedItem, list *Element, when Length, right side, width Length) (strip, bool) {
	li := add(list, "LI")
	lbl, body := add(li, "Lbl"), add(li, "LBody")
	left := air(b.para(v.ID, items[0].When, manner{role: RoleBody, strong: true}, when, add(lbl, "Span")), 0, 0)
	after, texts := b.style(RoleBody).After/3, 0
	for i := range items {
		if i == 0 || textOf(items[i].Note) != textOf(items[i-1].Note) {
			note := b.para(v.ID, items[i].Note, manner{role: RoleSmall, quiet: true}, when, add(lbl, "Span"))
			left = append(left, air(note, 0, 0)...)
		}
		for _, text := range items[i].Texts {
			mn := manner{role: RoleBody, strong: items[i].Strong, hang: min(b.sheet.Indent/2, width/6)}
			flow := b.unit(v.ID, air(b.para(v.ID, text, mn, width, add(body, "P")), 0, 0))
			if len(flow) == 0 {
				continue
			}
			if texts++; texts > 1 {
				flow[0].before = after
			}
			right.flow = append(right.flow, flow...)
		}
	}
	if len(left)+len(right.flow) == 0 {
		return strip{}, false
	}
	level(left, right.flow)
	date := side{flow: glue(left, holdClose)}
	if texts > 1 {
		date.again = air(b.para(v.ID, items[0].When, manner{role: RoleBody, quiet: true}, when, nil), 0, 0)
	}
	s := beside(v.ID, b.free(), 0, date, right)
	s.yields = texts > 1
	s.free = s.tall && s.yields
	return s, true
}
