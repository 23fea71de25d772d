package layout

// panel sets its blocks off. A warning reads beside its bar; a notice and a plain panel have air on all
// sides.
func (b *builder) panel(v *Panel, parent *Element, width Length) []strip {
	d := &deco{tone: v.Tone, width: width}
	inset, far, pad := panelPad, panelPad, panelPad
	if v.Tone == ToneWarning {
		inset, far, pad = b.sheet.Bar+panelPad, 0, barPad
	}
	pad = b.spaced(pad)
	b.pads += 2 * pad
	defer func() { b.pads -= 2 * pad }()
	inner := b.flow(v.Blocks, add(parent, "Sect"), width-inset-far)
	if len(dropLeading(inner)) == 0 {
		return nil
	}
	inner[0].forced = false
	before, after := inner[0].before, inner[len(inner)-1].after
	if v.Tone != ToneWarning {
		st := b.style(RoleBody)
		before, after = max(before, st.After), max(after, st.After)
	}
	air(inner, 0, 0)
	flow := []strip{{block: v.ID, height: pad, next: holdPadding}}
	flow = append(flow, shift(inner, inset)...)
	flow = append(flow, strip{block: v.ID, height: pad, level: holdPadding, next: inner[len(inner)-1].next})
	flow = decorated(air(flow, before, after), d, pad)
	return b.unit(v.ID, flow)
}

func decorated(flow []strip, d *deco, pad Length) []strip {
	again := map[*strip][]strip{}
	behind := func(s *strip) { s.decos = append([]*deco{d}, s.decos...) }
	for i := range flow {
		behind(&flow[i])
		if len(flow[i].repeat) > 0 {
			flow[i].repeat = copied(flow[i].repeat, again, behind)
		}
		if i > 0 {
			flow[i].contPad += pad
		}
		if i < len(flow)-1 {
			flow[i].endPad += pad
		}
	}
	return flow
}

// columns sets blocks side by side, each column a section of its own.
func (b *builder) columns(v *Columns, parent *Element, width Length) []strip {
	n := len(v.Columns)
	if n == 0 {
		return nil
	}
	parts := divided(width-b.sheet.Gutter*Length(n-1), n, v.Shares)
	var sides []side
	var x, before, after Length
	for i, blocks := range v.Columns {
		el := add(parent, "Sect")
		turned := b.turned(v, i, el, parts[i])
		flow := b.within(func() []strip { return b.flow(blocks, el, parts[i]) })
		if len(flow) > 0 {
			before, after = max(before, flow[0].before), max(after, flow[len(flow)-1].after)
			flow[0].before = 0
			sides = append(sides, side{x: x, flow: flow, turned: turned})
		}
		x += parts[i] + b.sheet.Gutter
	}
	if len(sides) == 0 {
		return nil
	}
	s := beside(v.ID, b.free(), 0, sides...)
	for _, d := range sides {
		s.next = max(s.next, d.flow[len(d.flow)-1].next)
	}
	s.free = !v.Keep && s.height > pairLines*b.style(RoleBody).Leading
	return air([]strip{s}, before, after)
}

// turned names the language of a column and gives its width where it reads the other way than the paper.
func (b *builder) turned(v *Columns, i int, el *Element, width Length) Length {
	if i >= len(v.Langs) || v.Langs[i] == "" || v.Langs[i] == b.doc.Lang {
		return 0
	}
	el.Lang = v.Langs[i]
	if DirectionOf(v.Langs[i]) == b.doc.Direction {
		return 0
	}
	return width
}
