package layout

import (
	"maps"
	"slices"
)

func sortedRoles(styles map[Role]TextStyle) []Role { return slices.Sorted(maps.Keys(styles)) }

// Marks of the kinds of blocks in a digest.
const (
	markTitle = iota + 1
	markHeading
	markParagraph
	markList
	markGrid
	markTable
	markPanel
	markChoices
	markSignature
	markDated
	markFigure
	markColumns
	markGroup
	markSpace
	markBreak
	markCard
	markQuestions
)

// open begins a block with its kind and what all have.
func (w *digester) open(mark int, m *Meta) {
	w.numbers(mark)
	w.text(m.ID)
	w.numbers(len(m.Clauses))
	w.texts(m.Clauses...)
	w.flags(m.Keep)
}

func (w *digester) blocks(blocks []Block) {
	w.numbers(len(blocks))
	for _, b := range blocks {
		w.block(b)
	}
}

func (w *digester) block(blk Block) {
	switch v := blk.(type) {
	case *Title:
		w.open(markTitle, &v.Meta)
		w.spans(v.Text)
		w.spans(v.Alt)
		w.drawing(v.Mark)
	case *Heading:
		w.open(markHeading, &v.Meta)
		w.numbers(v.Level)
		w.spans(v.Text)
	case *Paragraph:
		w.open(markParagraph, &v.Meta)
		w.text(string(v.Role))
		w.spans(v.Text)
	case *Panel:
		w.open(markPanel, &v.Meta)
		w.numbers(int(v.Tone))
		w.blocks(v.Blocks)
	case *Columns:
		w.open(markColumns, &v.Meta)
		w.numbers(len(v.Shares))
		w.numbers(v.Shares...)
		w.numbers(len(v.Langs))
		for _, lang := range v.Langs {
			w.text(lang)
		}
		w.numbers(len(v.Columns))
		for _, c := range v.Columns {
			w.blocks(c)
		}
	case *Card:
		w.open(markCard, &v.Meta)
		w.lengths(v.Width, v.Height)
		w.numbers(len(v.Faces))
		for _, f := range v.Faces {
			w.blocks(f)
		}
	case *Group:
		w.open(markGroup, &v.Meta)
		w.blocks(v.Blocks)
	case *Space:
		w.open(markSpace, &v.Meta)
		w.lengths(v.Height)
	case *Break:
		w.open(markBreak, &v.Meta)
	default:
		w.parts(blk)
	}
}

// parts writes the blocks that are made of items.
func (w *digester) parts(blk Block) {
	switch v := blk.(type) {
	case *List:
		w.open(markList, &v.Meta)
		w.flags(v.Ordered)
		w.numbers(len(v.Items))
		for i := range v.Items {
			w.spans(v.Items[i].Text)
			w.blocks(v.Items[i].Blocks)
		}
	case *Grid:
		w.open(markGrid, &v.Meta)
		w.numbers(v.Columns, len(v.Items))
		for i := range v.Items {
			w.spans(v.Items[i].Label)
			w.spans(v.Items[i].Value)
			w.numbers(v.Items[i].Across)
		}
	case *Table:
		w.table(v)
	case *Choices:
		w.open(markChoices, &v.Meta)
		w.numbers(len(v.Items))
		for i := range v.Items {
			w.spans(v.Items[i].Text)
			w.passages(v.Items[i].Boxes)
		}
	case *Questions:
		w.questions(v)
	case *Signature:
		w.open(markSignature, &v.Meta)
		w.spans(v.Meaning)
		w.numbers(len(v.Fields))
		for i := range v.Fields {
			f := &v.Fields[i]
			w.spans(f.Label)
			w.spans(f.Value)
			w.flags(f.Hand, f.NewRow)
			w.numbers(f.Share)
		}
	case *Dated:
		w.open(markDated, &v.Meta)
		w.numbers(len(v.Items))
		for i := range v.Items {
			w.spans(v.Items[i].When)
			w.spans(v.Items[i].Note)
			w.passages(v.Items[i].Texts)
			w.flags(v.Items[i].Strong)
		}
	case *Figure:
		w.open(markFigure, &v.Meta)
		w.drawing(v.Drawing)
		w.lengths(v.Width)
		w.text(v.Alt)
		w.spans(v.Caption)
	}
}

func (w *digester) passages(all [][]Span) {
	w.numbers(len(all))
	for _, spans := range all {
		w.spans(spans)
	}
}

func (w *digester) table(v *Table) {
	w.open(markTable, &v.Meta)
	w.spans(v.Caption)
	w.numbers(len(v.Columns), len(v.Rows))
	for i := range v.Columns {
		c := &v.Columns[i]
		w.spans(c.Head)
		w.numbers(c.Share, int(c.Align))
		w.flags(c.NoWrap)
	}
	for i := range v.Rows {
		r := &v.Rows[i]
		w.flags(r.Total, r.Pen, r.Header)
		w.numbers(len(r.Cells))
		for k := range r.Cells {
			w.spans(r.Cells[k].Text)
			w.flags(r.Cells[k].Box)
			w.numbers(r.Cells[k].Across)
		}
	}
}

// colouring writes what only a clinic's mark has.
func (w *digester) colouring(s *Shape) {
	if !s.Own && !s.EvenOdd && s.Pixels == nil {
		return
	}
	w.flags(s.Own, s.EvenOdd, s.Pixels != nil)
	w.numbers(int(s.Colour[0]), int(s.Colour[1]), int(s.Colour[2]))
	if s.Pixels != nil {
		w.numbers(s.Pixels.Width, s.Pixels.Height)
		w.text(string(s.Pixels.RGB))
	}
}

func (w *digester) drawing(d *Drawing) {
	w.flags(d != nil)
	if d == nil {
		return
	}
	w.text(d.Name)
	w.lengths(d.Width, d.Height)
	w.numbers(len(d.Shapes), len(d.Labels))
	for i := range d.Shapes {
		s := &d.Shapes[i]
		w.lengths(s.Stroke, s.Dash)
		w.numbers(int(s.Grey), int(s.Fill), len(s.Path))
		w.flags(s.White, s.Accent)
		w.colouring(s)
		for k := range s.Path {
			w.numbers(int(s.Path[k].Verb))
			for _, p := range s.Path[k].Points {
				w.lengths(p.X, p.Y)
			}
		}
	}
	for i := range d.Labels {
		l := &d.Labels[i]
		w.lengths(l.At.X, l.At.Y, l.Size)
		w.numbers(int(l.Align))
		w.spans(l.Text)
	}
}
