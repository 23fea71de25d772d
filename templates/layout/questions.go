package layout

// Questions are questions with room for their answers, by pen or on a screen.
type Questions struct {
	Meta
	Items []Asked
}

// Asked is one question. Its answer is ticks, the parts of a date, lines to write on, or some of these.
type Asked struct {
	Number []Span
	Within []Span // number of the entry that it goes on with, said again on a page that begins with it
	Level  int    // above 0: it is meant for some only, and stands below the question that tells for whom
	Text   []Span
	Note   []Span // quiet, below the text
	Boxes  []TickBox
	Listed bool // the boxes are a list to choose from, below the text
	Parts  []Part
	Lines  int    // to write on
	Field  *Field // of the lines
	Value  []Span // written on the lines
}

// TickBox is a box with the answer that it stands for. Said is what is told of a tick to those who cannot see it.
type TickBox struct {
	Label  []Span
	Field  *Field
	Ticked bool
	Said   string
}

// Part is a row of cells, one for each sign: a day, a month, a year, a number.
type Part struct {
	Label []Span
	Signs int
	Field *Field
	Value [][]Span // a sign a cell
}

// FieldKind is what a field of a form takes.
type FieldKind uint8

// Kinds of fields.
const (
	FieldText   FieldKind = iota
	FieldTick             // a check box
	FieldOne              // a box of several of which one is ticked
	FieldChoice           // one of Options
)

// Field is a place of the paper that takes an answer, and what a form on a screen needs of it.
type Field struct {
	Name    string // the same in every language; the boxes of one question share it
	Kind    FieldKind
	State   string   // of a box: what its tick means
	Tip     string   // what is read aloud at it
	Group   string   // what is read aloud of the boxes of which one is ticked
	Signs   int      // most signs of a text; 0: any
	Comb    bool     // a cell for each sign
	Lines   bool     // more than one line
	Options []string // of a choice
	Paged   bool     // stands on every page; the page's number is added to the name
}

const levelIndent = 7 // millimetres

// askedAir stands above a question.
var askedAir = MM(2.6)

// questions sets one question below the other, a hairline between those that are meant for all.
func (b *builder) questions(v *Questions, parent *Element, width Length) []strip {
	el := add(parent, "L")
	var out []strip
	cols := b.askedColumns(v)
	var entry Length // where the number of the last entry stands
	for i := range v.Items {
		q := &v.Items[i]
		li := add(el, "LI")
		x := Length(q.Level) * MM(levelIndent)
		if v.flat() {
			x = 0
		}
		indent := b.numberWidth(v)
		flow := b.asked(v.ID, q, add(li, "Lbl"), add(li, "LBody"), width-x-indent, cols[len(q.Boxes)])
		flow = b.numberedAsked(q, li.Kids[0].Element, shift(flow, x+indent), indent)
		air(flow, 0, 0)
		if height(flow) <= b.free() {
			flow = b.unit(v.ID, flow)
			if q.Listed {
				yieldRows(flow)
			}
		} else {
			glue(flow[:min(len(flow), 3)], holdClose) // one that no page holds goes on between its answers
		}
		if !blank(q.Number) {
			entry = x
		} else if !blank(q.Within) {
			flow[0].repeat = shift(air(b.para(v.ID, q.Within, manner{role: RoleBody, quiet: true}, width-entry, nil), 0, 0), entry)
		}
		if i > 0 {
			flow[0].before = b.spaced(askedAir)
			if q.Level > 0 && v.Items[i-1].Level < q.Level {
				flow[0].level = v.Items[i-1].holding() // what is meant for some stays with what tells for whom, unless the page would have a hole
			}
		}
		if q.Level == 0 && i > 0 {
			line := strip{block: v.ID, height: b.sheet.Rule, before: b.spaced(MM(2)), drop: true, next: holdPadding,
				frags: []frag{lightRule(width, b.sheet.Rule)}}
			out = append(out, line)
		}
		out = append(out, flow...)
	}
	return air(out, b.spaced(MM(2)), b.spaced(partAir))
}

// rowsTogether is how many rows of a list of boxes stand on either side of a break; common practice, no source.
const rowsTogether = 3

// yieldRows lets a list of boxes go on on the next page where this one would have a hole otherwise.
func yieldRows(flow []strip) {
	first := 0
	for first < len(flow) && flow[first].sides == nil {
		first++ // the text
	}
	for k := first + rowsTogether; k <= len(flow)-rowsTogether; k++ {
		flow[k].level, flow[k-1].next = holdSoft, holdNone
	}
}

// holding is how strongly a question holds what is meant for some behind it: one that only leads to it does not
// stand alone at the foot of a page.
func (q *Asked) holding() hold {
	if len(q.Boxes)+len(q.Parts)+q.Lines == 0 {
		return holdTail
	}
	return holdSoft
}

// flat says that none of the questions is meant for all: then none stands below another.
func (v *Questions) flat() bool {
	for i := range v.Items {
		if v.Items[i].Level == 0 {
			return false
		}
	}
	return true
}

// lightRule parts two questions without being read as a line to write on.
func lightRule(width, thick Length) frag {
	f := ruleAt(0, 0, width, thick)
	f.item.Grey = 35
	return f
}

// numberWidth is the room for the widest number of the block.
func (b *builder) numberWidth(v *Questions) Length {
	var w Length
	for i := range v.Items {
		w = max(w, b.set.natural(v.Items[i].Number, b.style(RoleBody), manner{quiet: true}))
	}
	return w + textGap
}

// numberedAsked puts the number of a question before its first line.
func (b *builder) numberedAsked(q *Asked, el *Element, flow []strip, indent Length) []strip {
	if blank(q.Number) || len(flow) == 0 {
		return flow
	}
	mark := b.para("", q.Number, manner{role: RoleBody, quiet: true}, indent, el)
	if len(mark) == 0 {
		return flow
	}
	s := &flow[0]
	base := s.base
	if base == 0 {
		base = firstBase(s)
	}
	for _, f := range mark[0].frags {
		f.item.Rect.X -= indent
		f.item.Rect.Y = base
		s.frags = append([]frag{f}, s.frags...)
	}
	return flow
}

// firstBase is the baseline of the first side that has one.
func firstBase(s *strip) Length {
	for _, d := range s.sides {
		if len(d.flow) > 0 && d.flow[0].base > 0 {
			return d.flow[0].base
		}
	}
	return 0
}

// askedColumns gives, for each count of boxes in a row, the widths of their labels over all questions.
func (b *builder) askedColumns(v *Questions) map[int][]Length {
	cols := map[int][]Length{}
	for i := range v.Items {
		q := &v.Items[i]
		if q.Listed {
			continue
		}
		own := b.tickWidths(q.Boxes)
		for k, w := range cols[len(own)] {
			own[k] = max(own[k], w)
		}
		cols[len(own)] = own
	}
	return cols
}

func (b *builder) tickWidths(boxes []TickBox) []Length {
	out := make([]Length, len(boxes))
	for k := range boxes {
		out[k] = b.set.natural(boxes[k].Label, b.style(RoleBody), manner{})
	}
	return out
}

// asked sets a question and its answer.
func (b *builder) asked(id string, q *Asked, _, body *Element, width Length, cols []Length) []strip {
	text := b.para(id, q.Text, manner{role: RoleBody}, width, add(body, "P"))
	switch {
	case len(q.Parts) > 0 && len(q.Boxes) > 0 && b.tickRowWidth(b.tickWidths(q.Boxes)) > width:
		cells := *q
		cells.Boxes = nil
		flow := b.beneath(id, &cells, body, width, b.partRow(id, &cells, body, width))
		return glue(append(flow, air(b.tickGrid(id, q.Boxes, body, width, false), b.spaced(MM(1.5)), 0)...), holdUnit)
	case len(q.Parts) > 0:
		return b.beneath(id, q, body, width, b.partRow(id, q, body, width))
	case q.Lines > 0:
		flow := b.withNote(id, q, air(text, 0, 0), body, width)
		flow = append(flow, b.writing(id, q, body, width)...)
		if len(q.Boxes) > 0 {
			row := b.tickGrid(id, q.Boxes, body, width, false)
			flow = append(flow, air(row, b.spaced(MM(1.5)), 0)...)
		}
		return glue(flow, holdUnit)
	case q.Listed:
		flow := b.withNote(id, q, air(text, 0, 0), body, width)
		return glue(append(flow, air(b.tickGrid(id, q.Boxes, body, width, true), b.spaced(MM(1.2)), 0)...), holdUnit)
	case len(q.Boxes) == 0:
		return b.withNote(id, q, air(text, 0, 0), body, width)
	}
	total := b.tickRowWidth(cols)
	if apart := b.tickApart(); b.fitsBeside(q, width, width-total-apart, max(b.sheet.Box, b.style(RoleBody).Leading), 0) {
		body.Kids = body.Kids[:len(body.Kids)-1]
		left := b.para(id, q.Text, manner{role: RoleBody}, width-total-apart, add(body, "P"))
		left = b.withNote(id, q, air(left, 0, 0), body, width-total-apart)
		row := b.tickRow(id, q.Boxes, cols, body)
		level(left, row)
		s := beside(id, b.free(), 0, side{x: 0, flow: glue(left, holdClose)}, side{x: width - total, flow: row})
		return []strip{s}
	}
	flow := b.withNote(id, q, air(text, 0, 0), body, width)
	return glue(append(flow, air(b.tickGrid(id, q.Boxes, body, width, false), b.spaced(MM(1.2)), 0)...), holdUnit)
}

// withNote puts the quiet note below a text.
func (b *builder) withNote(id string, q *Asked, flow []strip, body *Element, width Length) []strip {
	if blank(q.Note) {
		return flow
	}
	note := b.para(id, q.Note, manner{role: RoleLabel, quiet: true}, width, add(body, "P"))
	return append(flow, air(note, b.spaced(MM(0.5)), 0)...)
}

// leastBeside is how narrow a question may be beside its answer, in sizes of the type: some 16 characters; common
// practice, no source.
const leastBeside = 8

// fitsBeside says whether a question costs no more height beside its answer, where it has this room, than above it.
// Sunk is how far its first line stands below the top of the answer.
func (b *builder) fitsBeside(q *Asked, width, room, answer, sunk Length) bool {
	st := b.style(RoleBody)
	if room >= width*3/5 {
		return true
	}
	if room < leastBeside*st.Size {
		return false
	}
	narrow, full := b.set.measure(q.Text, st, manner{}, room), b.set.measure(q.Text, st, manner{}, width)
	return !narrow.Overfull && max(Length(narrow.Lines)*st.Leading+sunk, answer) <= Length(full.Lines)*st.Leading+answer
}

// beneath puts a row beside the text where both fit, otherwise below it.
func (b *builder) beneath(id string, q *Asked, body *Element, width Length, row strip) []strip {
	total := row.minimum
	row.minimum = 0
	apart := b.tickApart()
	kept := body.Kids[1:]
	body.Kids = nil
	p := add(body, "P")
	if b.fitsBeside(q, width, width-total-apart, row.height, row.base-b.style(RoleBody).Size) {
		left := b.para(id, q.Text, manner{role: RoleBody}, width-total-apart, p)
		left = b.withNote(id, q, air(left, 0, 0), body, width-total-apart)
		body.Kids = append(body.Kids, kept...)
		return []strip{beside(id, b.free(), 0, side{x: 0, flow: glue(left, holdClose)}, side{x: width - total, flow: []strip{row}})}
	}
	flow := b.withNote(id, q, air(b.para(id, q.Text, manner{role: RoleBody}, width, p), 0, 0), body, width)
	body.Kids = append(body.Kids, kept...)
	row.before = b.spaced(MM(1))
	return glue(append(flow, row), holdUnit)
}
