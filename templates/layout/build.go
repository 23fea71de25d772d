package layout

// Air that belongs to no role; common practice, no source.
var (
	textGap  = MM(2.5) // between a box or bullet and its text
	rowPad   = MM(1.1) // above and below the text of a table row
	panelPad = MM(3.5) // inside a panel
	partAir  = MM(4)   // around tables and figures
	signAir  = MM(5)   // above a signature
	barPad   = MM(1)   // how far the bar of a warning reaches beyond its text
)

// flow builds blocks one below the other.
func (b *builder) flow(blocks []Block, parent *Element, width Length) []strip {
	out := make([]strip, 0, 2*len(blocks))
	outer := b.above
	defer func() { b.above = outer }()
	for i, blk := range blocks {
		b.above = b.chain(out, outer)
		flow := b.block(blk, parent, max(width, 1))
		if len(flow) == 0 {
			continue
		}
		if _, group := blk.(*Group); blk.meta().Keep && !(group && height(flow) > b.free()) {
			flow = b.unit(blk.meta().ID, flow)
		}
		named(flow, blk.meta().ID)
		if b.forced && b.inside == 0 {
			flow[0].forced, b.forced = true, false
		}
		if runs(blk) && i+1 < len(blocks) {
			flow[len(flow)-1].next = max(flow[len(flow)-1].next, introduces(flow, blocks[i+1]))
		}
		out = append(out, flow...)
	}
	return settle(out)
}

// introduces says how a paragraph holds on to what it leads to: a few lines before rows or a figure. Alone at the
// foot of a page they would promise what is not there.
func introduces(paragraph []strip, next Block) hold {
	strong := holdSoft
	switch next.(type) {
	case *Table, *List, *Choices, *Dated, *Grid:
	case *Figure:
		strong = holdTail // it leaves a hole in any case
	case *Columns:
		if runs(next) { // it has a part of the text itself
			return holdNone
		}
	default:
		return holdNone
	}
	lines := len(paragraph)
	for _, d := range paragraph[0].sides {
		lines = max(lines, len(d.flow))
	}
	if lines > 4 || len(paragraph) > 3 {
		return holdNone
	}
	return strong
}

// runs says whether a block is a paragraph, or the same one in two languages side by side.
func runs(b Block) bool {
	switch v := b.(type) {
	case *Paragraph:
		return true
	case *Columns:
		if v.Langs == nil || len(v.Columns[0]) != 1 {
			return false
		}
		_, ok := v.Columns[0][0].(*Paragraph)
		return ok
	}
	return false
}

// chain is the height of what the strip after a flow must stay with, the air between included. Outer is
// that of the flow around it.
func (b *builder) chain(flow []strip, outer Length) Length {
	if len(flow) == 0 {
		return outer
	}
	below := max(flow[len(flow)-1].after, b.style(RoleBody).After, b.spaced(partAir))
	i, from := len(flow)-1, len(flow)
	for ; i >= 0 && (flow[i].next >= holdClose || flow[i].drop); i-- {
		if !flow[i].drop {
			from = i
		}
	}
	if i < 0 {
		return outer + extent(dropLeading(flow)) + below
	}
	if from == len(flow) {
		return 0
	}
	for from > 0 && held(&flow[from-1], &flow[from]) >= holdClose {
		from--
	}
	return extent(flow[from:]) + below
}

// named gives strips of blocks without an id that of the block around them, for reports.
func named(flow []strip, id string) {
	for i := range flow {
		s := &flow[i]
		if s.block == "" {
			s.block = id
		}
		if s.unit != nil && s.unit.block == "" {
			s.unit.block = id
		}
		for _, d := range s.sides {
			named(d.flow, id)
		}
	}
}

// settle lets air between two strips pass on what holds them together.
func settle(flow []strip) []strip {
	for i := len(flow) - 2; i >= 0; i-- {
		if flow[i].drop {
			flow[i].level = max(flow[i].level, flow[i+1].level)
		}
	}
	for i := 1; i < len(flow); i++ {
		if flow[i].drop {
			flow[i].next = max(flow[i].next, flow[i-1].next)
		}
	}
	return flow
}

func (b *builder) block(blk Block, parent *Element, width Length) []strip {
	switch v := blk.(type) {
	case *Title:
		return b.title(v, parent, width)
	case *Heading:
		return b.heading(v, parent, width)
	case *Paragraph:
		return b.para(v.ID, v.Text, manner{role: orBody(v.Role)}, width, add(parent, "P"))
	case *List:
		return b.list(v, parent, width)
	case *Grid:
		return b.grid(v, parent, width)
	case *Table:
		return b.table(v, parent, width)
	case *Panel:
		return b.panel(v, parent, width)
	case *Choices:
		return b.choices(v, parent, width)
	case *Questions:
		return b.questions(v, parent, width)
	case *Signature:
		return b.signature(v, parent, width)
	case *Dated:
		return b.dated(v, parent, width)
	case *Figure:
		return b.figure(v, parent, width)
	case *Columns:
		return b.columns(v, parent, width)
	case *Card:
		return b.card(v, parent, width)
	case *Group:
		return b.flow(v.Blocks, parent, width)
	case *Space:
		return []strip{{block: v.ID, height: max(b.spaced(v.Height), 0), drop: true}}
	case *Break:
		b.forced = b.inside == 0
	}
	return nil
}

func orBody(r Role) Role {
	if r == "" {
		return RoleBody
	}
	return r
}

func add(parent *Element, kind string) *Element {
	el := &Element{Type: kind}
	parent.Kids = append(parent.Kids, Kid{Element: el})
	return el
}

// free is the height that a page has for a block inside the panels around it.
func (b *builder) free() Length { return b.room - b.pads }

// unit keeps a flow on one page. One that no page can hold stays breakable where it would be anyway, and
// is reported when a page ends in it.
func (b *builder) unit(block string, flow []strip) []strip {
	if height(flow) <= b.free() {
		for i := range flow {
			flow[i].free, flow[i].yields = false, false
		}
		return glue(flow, holdUnit)
	}
	u := &unit{block}
	for i := range flow {
		if flow[i].unit == nil {
			flow[i].unit = u
		}
	}
	return flow
}

// within builds flows that stand beside one another, where no page can be forced.
func (b *builder) within(build func() []strip) []strip {
	b.inside++
	defer func() { b.inside-- }()
	return build()
}

// title sets the kind of the paper large, a quiet second line, and the mark at the far side.
func (b *builder) title(v *Title, parent *Element, width Length) []strip {
	if !blank(v.Text) {
		b.level = max(b.level, 1)
	}
	mark, room := b.mark(v.Mark, width)
	h1 := add(parent, "H1")
	main := b.para(v.ID, v.Text, manner{role: RoleTitle}, width-room, h1)
	for i := range main {
		main[i].after = 0
	}
	if len(main) > 0 {
		main[0].entry = &OutlineEntry{Level: 1, Text: textOf(v.Text)}
	}
	alt := b.para(v.ID, v.Alt, manner{role: RoleBody, quiet: true}, width-room, add(parent, "P"))
	flow := append(main, air(alt, b.spaced(MM(0.5)), 0)...)
	st := b.style(RoleTitle)
	if mark != nil {
		entry := (*OutlineEntry)(nil)
		if len(flow) > 0 {
			entry, flow[0].entry = flow[0].entry, nil
		}
		s := beside(v.ID, b.free(), 0, side{x: 0, flow: glue(flow, holdUnit)}, side{x: 0, flow: []strip{*mark}})
		s.entry = entry
		flow = []strip{s}
	}
	flow = glue(air(flow, st.Before, st.After), holdClose)
	if len(flow) > 0 {
		flow[len(flow)-1].next = holdClose
	}
	return flow
}

// mark scales a clinic's mark to at most 14 mm of height and a third of the measure.
func (b *builder) mark(d *Drawing, width Length) (*strip, Length) {
	if d == nil || d.Width <= 0 || d.Height <= 0 {
		return nil, 0
	}
	h := min(d.Height, MM(14))
	w := scaled(d.Width, int64(h), int64(d.Height))
	if w > width/3 {
		w = width / 3
		h = scaled(d.Height, int64(w), int64(d.Width))
	}
	f := b.drawn(d, Rect{X: width - w, Width: w, Height: h}, width, nil)
	return &strip{height: h, frags: []frag{f}}, w + max(b.sheet.Gutter, textGap)
}

// heading takes the role of its level, h2 to h4. In the structure no level is skipped, whatever was asked.
func (b *builder) heading(v *Heading, parent *Element, width Length) []strip {
	if blank(v.Text) {
		return nil
	}
	asked := min(max(v.Level, 1), 4)
	b.level = min(asked, b.level+1)
	el := add(parent, "H"+string(rune('0'+b.level)))
	flow := b.para(v.ID, v.Text, manner{role: Role("h" + string(rune('0'+asked)))}, width, el)
	if b.level <= 3 {
		flow[0].entry = &OutlineEntry{Level: b.level, Text: textOf(v.Text)}
	}
	flow = glue(flow, holdClose)
	flow[len(flow)-1].next = holdClose
	return flow
}

// divided shares a width; a missing or senseless share is 1. The parts add up to the width.
func divided(width Length, n int, shares []int) []Length {
	share := func(i int) int64 {
		if i < len(shares) && shares[i] > 0 {
			return int64(shares[i])
		}
		return 1
	}
	var total, sum int64
	for i := range n {
		total += share(i)
	}
	out := make([]Length, n)
	var from Length
	for i := range n {
		sum += share(i)
		to := scaled(max(width, 0), sum, total)
		out[i], from = to-from, to
	}
	return out
}
