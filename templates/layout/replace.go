package layout

import "strings"

// Replace puts a text in place of another wherever the document says it. The document is changed; what
// it shares with another is not to be replaced in.
func (d *Document) Replace(old, with string) {
	r := replacer{old: old, with: with}
	r.text(&d.Title)
	for _, f := range []*Furniture{&d.Head, &d.Foot} {
		r.spans(f.Start, f.End, f.FirstStart, f.FirstEnd)
	}
	r.blocks(d.Blocks)
	r.blocks(d.Closing)
}

type replacer struct{ old, with string }

func (r *replacer) text(s *string) {
	if strings.Contains(*s, r.old) {
		*s = strings.ReplaceAll(*s, r.old, r.with)
	}
}

func (r *replacer) spans(all ...[]Span) {
	for _, spans := range all {
		for i := range spans {
			r.text(&spans[i].Text)
		}
	}
}

func (r *replacer) blocks(blocks []Block) {
	for _, b := range blocks {
		r.block(b)
	}
}

func (r *replacer) block(blk Block) {
	switch v := blk.(type) {
	case *Title:
		r.spans(v.Text, v.Alt)
		r.labels(v.Mark)
	case *Heading:
		r.spans(v.Text)
	case *Paragraph:
		r.spans(v.Text)
	case *Panel:
		r.blocks(v.Blocks)
	case *Group:
		r.blocks(v.Blocks)
	case *Columns:
		for _, c := range v.Columns {
			r.blocks(c)
		}
	case *Card:
		for _, f := range v.Faces {
			r.blocks(f)
		}
	case *Figure:
		r.text(&v.Alt)
		r.spans(v.Caption)
		r.labels(v.Drawing)
	default:
		r.parts(blk)
	}
}

func (r *replacer) parts(blk Block) {
	switch v := blk.(type) {
	case *List:
		for i := range v.Items {
			r.spans(v.Items[i].Text)
			r.blocks(v.Items[i].Blocks)
		}
	case *Grid:
		for i := range v.Items {
			r.spans(v.Items[i].Label, v.Items[i].Value)
		}
	case *Table:
		r.spans(v.Caption)
		for i := range v.Columns {
			r.spans(v.Columns[i].Head)
		}
		for i := range v.Rows {
			for k := range v.Rows[i].Cells {
				r.spans(v.Rows[i].Cells[k].Text)
			}
		}
	case *Choices:
		for i := range v.Items {
			r.spans(v.Items[i].Text)
			r.spans(v.Items[i].Boxes...)
		}
	case *Questions:
		for i := range v.Items {
			q := &v.Items[i]
			r.spans(q.Number, q.Within, q.Text, q.Note, q.Value)
			for k := range q.Boxes {
				r.spans(q.Boxes[k].Label)
			}
			for k := range q.Parts {
				r.spans(q.Parts[k].Label)
			}
		}
	case *Signature:
		r.spans(v.Meaning)
		for i := range v.Fields {
			r.spans(v.Fields[i].Label, v.Fields[i].Value)
		}
	case *Dated:
		for i := range v.Items {
			r.spans(v.Items[i].When, v.Items[i].Note)
			r.spans(v.Items[i].Texts...)
		}
	}
}

func (r *replacer) labels(d *Drawing) {
	if d == nil {
		return
	}
	for i := range d.Labels {
		r.spans(d.Labels[i].Text)
	}
}
