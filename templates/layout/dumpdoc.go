package layout

import (
	"fmt"
	"strings"
)

// Dump writes a document as text, a block a line, parts indented below. Spans are quoted, with their
// language and manner where they have any.
func (d Document) Dump() string {
	w := docWriter{}
	w.line("document %s %s %q sheet %s", d.Lang, d.Direction, d.Title, d.Sheet.Name)
	w.furniture("head", &d.Head)
	w.furniture("foot", &d.Foot)
	w.blocks(d.Blocks)
	if len(d.Closing) > 0 {
		w.line("closing%s", noted(d.Fillable, " fillable"))
		w.blocks(d.Closing)
	}
	return w.String()
}

type docWriter struct {
	strings.Builder
	depth int
}

func (w *docWriter) line(format string, args ...any) {
	w.WriteString(strings.Repeat("  ", w.depth))
	w.WriteString(strings.TrimRight(fmt.Sprintf(format, args...), " "))
	w.WriteByte('\n')
}

func (w *docWriter) deeper(f func()) {
	w.depth++
	f()
	w.depth--
}

func (w *docWriter) blocks(blocks []Block) {
	w.deeper(func() {
		for _, b := range blocks {
			w.block(b)
		}
	})
}

func (w *docWriter) furniture(name string, f *Furniture) {
	if blank(f.Start) && blank(f.End) && f.FirstStart == nil && f.FirstEnd == nil {
		return
	}
	w.line("%s start %s end %s", name, spans(f.Start), spans(f.End))
	if f.FirstStart != nil || f.FirstEnd != nil {
		w.line("%s first start %s end %s", name, spans(f.FirstStart), spans(f.FirstEnd))
	}
}

// spans writes spans on one line.
func spans(list []Span) string {
	parts := make([]string, len(list))
	for i, s := range list {
		parts[i] = s.String()
	}
	return "[" + strings.Join(parts, " ") + "]"
}

// String writes a span: its text, then language and manner where it has any.
func (s Span) String() string {
	var b strings.Builder
	fmt.Fprintf(&b, "%q", s.Text)
	if s.Lang != "" {
		b.WriteString("@" + s.Lang)
	}
	for _, flag := range []struct {
		on   bool
		name string
	}{{s.Strong, "strong"}, {s.Value, "value"}, {s.Page, "page"}, {s.Pages, "pages"}} {
		if flag.on {
			b.WriteString("/" + flag.name)
		}
	}
	if s.Ink != InkText {
		fmt.Fprintf(&b, "/ink%d", s.Ink)
	}
	if s.Blank > 0 {
		fmt.Fprintf(&b, "/blank%s", s.Blank)
	}
	if s.Field != "" {
		b.WriteString("/field:" + s.Field)
	}
	return b.String()
}

func (w *docWriter) open(kind string, m *Meta, rest ...string) {
	head := kind
	if m.ID != "" {
		head += " #" + m.ID
	}
	if len(m.Clauses) > 0 {
		head += " clauses " + strings.Join(m.Clauses, ",")
	}
	if m.Keep {
		head += " keep"
	}
	w.line("%s", strings.Join(append([]string{head}, rest...), " "))
}

func (w *docWriter) block(blk Block) {
	m := blk.meta()
	switch v := blk.(type) {
	case *Title:
		w.open("title", m, spans(v.Text), spans(v.Alt))
		w.drawing(v.Mark)
	case *Heading:
		w.open("heading", m, fmt.Sprint(v.Level), spans(v.Text))
	case *Paragraph:
		w.open("paragraph", m, string(v.Role), spans(v.Text))
	case *Panel:
		w.open("panel", m, fmt.Sprint(v.Tone))
		w.blocks(v.Blocks)
	case *Group:
		w.open("group", m)
		w.blocks(v.Blocks)
	case *Columns:
		w.open("columns", m, fmt.Sprint(v.Shares))
		for i, c := range v.Columns {
			lang := ""
			if i < len(v.Langs) {
				lang = v.Langs[i]
			}
			w.deeper(func() { w.line("column %s", lang); w.blocks(c) })
		}
	case *Card:
		w.open("card", m, v.Width.String(), v.Height.String())
		for _, f := range v.Faces {
			w.deeper(func() { w.line("face"); w.blocks(f) })
		}
	case *Figure:
		w.open("figure", m, v.Width.String(), fmt.Sprintf("%q", v.Alt), spans(v.Caption))
		w.drawing(v.Drawing)
	case *Space:
		w.open("space", m, v.Height.String())
	case *Break:
		w.open("break", m)
	default:
		w.parts(blk)
	}
}

// parts writes the blocks that are made of items.
func (w *docWriter) parts(blk Block) {
	switch v := blk.(type) {
	case *List:
		w.open("list", &v.Meta, map[bool]string{true: "ordered"}[v.Ordered])
		w.deeper(func() {
			for _, i := range v.Items {
				w.line("item %s", spans(i.Text))
				w.blocks(i.Blocks)
			}
		})
	case *Grid:
		w.open("grid", &v.Meta, fmt.Sprint(v.Columns))
		w.deeper(func() {
			for _, i := range v.Items {
				w.line("%s = %s across %d", spans(i.Label), spans(i.Value), max(i.Across, 1))
			}
		})
	case *Table:
		w.table(v)
	case *Choices:
		w.open("choices", &v.Meta)
		w.deeper(func() {
			for _, c := range v.Items {
				w.line("choice %s", spans(c.Text))
				for _, label := range c.Boxes {
					w.deeper(func() { w.line("box %s", spans(label)) })
				}
			}
		})
	case *Questions:
		w.questions(v)
	case *Signature:
		w.open("signature", &v.Meta, spans(v.Meaning))
		w.deeper(func() {
			for _, f := range v.Fields {
				w.line("field %s = %s share %d%s%s", spans(f.Label), spans(f.Value), f.Share,
					noted(f.Hand, " hand"), noted(f.NewRow, " new row"))
			}
		})
	case *Dated:
		w.open("dated", &v.Meta)
		w.deeper(func() {
			for _, i := range v.Items {
				w.line("when %s %s%s", spans(i.When), spans(i.Note), noted(i.Strong, " strong"))
				for _, t := range i.Texts {
					w.deeper(func() { w.line("%s", spans(t)) })
				}
			}
		})
	}
}

func noted(on bool, name string) string {
	if on {
		return name
	}
	return ""
}

func (w *docWriter) table(v *Table) {
	w.open("table", &v.Meta, spans(v.Caption))
	w.deeper(func() {
		for _, c := range v.Columns {
			w.line("column %s share %d align %d%s", spans(c.Head), c.Share, c.Align, noted(c.NoWrap, " nowrap"))
		}
		for _, r := range v.Rows {
			w.line("row%s%s%s", noted(r.Total, " total"), noted(r.Pen, " pen"), noted(r.Header, " header"))
			for _, c := range r.Cells {
				w.deeper(func() { w.line("%s across %d%s", spans(c.Text), max(c.Across, 1), noted(c.Box, " box")) })
			}
		}
	})
}

func (w *docWriter) drawing(d *Drawing) {
	if d == nil {
		return
	}
	w.deeper(func() {
		w.line("drawing %q %s x %s, %d shapes", d.Name, d.Width, d.Height, len(d.Shapes))
		for _, l := range d.Labels {
			w.deeper(func() { w.line("label %s,%s %s", l.At.X, l.At.Y, spans(l.Text)) })
		}
	})
}
