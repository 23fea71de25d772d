package layout

import (
	"fmt"
	"strings"
)

// Dump writes a result as text: pages with their items in painting order, the structure tree, outline
// and reports. Lengths are in points, to the thousandth. It is the form of golden files; equal results
// give equal text.
func (r Result) Dump() string {
	var b strings.Builder
	fmt.Fprintf(&b, "result %s %s %q sheet %s %s x %s\n", r.Lang, r.Direction, r.Title, r.Sheet.Name,
		r.Sheet.Width, r.Sheet.Height)
	for i := range r.Pages {
		p := &r.Pages[i]
		fmt.Fprintf(&b, "page %d marks %d", p.Number, p.Marks)
		if p.Code != (Rect{}) {
			fmt.Fprintf(&b, " code %s", p.Code)
		}
		b.WriteByte('\n')
		for j := range p.Items {
			p.Items[j].dump(&b)
		}
	}
	b.WriteString("tree\n")
	if r.Root != nil {
		r.Root.dump(&b, 1)
	}
	for _, o := range r.Outline {
		fmt.Fprintf(&b, "outline %d %q page %d at %s\n", o.Level, o.Text, o.Page, o.Y)
	}
	for _, rep := range r.Reports {
		fmt.Fprintf(&b, "report %s block %q page %d field %q\n", rep.ID, rep.Block, rep.Page, rep.Field)
	}
	return b.String()
}

// String writes a length in points.
func (l Length) String() string {
	sign := ""
	n := int64(l)
	if n < 0 {
		sign, n = "-", -n
	}
	if n%1000 == 0 {
		return fmt.Sprintf("%s%d", sign, n/1000)
	}
	return strings.TrimRight(fmt.Sprintf("%s%d.%03d", sign, n/1000, n%1000), "0")
}

// String is "ltr" or "rtl".
func (d Direction) String() string {
	if d == RightToLeft {
		return "rtl"
	}
	return "ltr"
}

// String writes left, top, width and height in points.
func (r Rect) String() string { return fmt.Sprintf("%s,%s %sx%s", r.X, r.Y, r.Width, r.Height) }

func (it *Item) dump(b *strings.Builder) {
	mark := "-"
	if it.Mark != Artifact {
		mark = fmt.Sprint(it.Mark)
	}
	fmt.Fprintf(b, "  %s ", mark)
	switch it.Kind {
	case ItemLine:
		fmt.Fprintf(b, "line %s,%s w %s ", it.Rect.X, it.Rect.Y, it.Rect.Width)
		it.Line.dump(b)
	case ItemRule:
		fmt.Fprintf(b, "rule %s grey %d", it.Rect, it.Grey)
	case ItemBox:
		fmt.Fprintf(b, "box %s stroke %s", it.Rect, it.Stroke)
	case ItemDrawing:
		fmt.Fprintf(b, "drawing %q %s", it.Drawing.Name, it.Rect)
	}
	if it.Accent {
		b.WriteString(" accent")
	}
	b.WriteByte('\n')
	for i := range it.Labels {
		l := &it.Labels[i]
		fmt.Fprintf(b, "      label %s,%s w %s ", l.At.X, l.At.Y, l.Line.Width)
		l.Line.dump(b)
		b.WriteByte('\n')
	}
}

func (l *Line) dump(b *strings.Builder) {
	if len(l.Runs) > 0 {
		fmt.Fprintf(b, "font %d size %s ", l.Runs[0].Font, l.Runs[0].Size)
	}
	fmt.Fprintf(b, "%q", l.Text)
	if l.Overfull {
		b.WriteString(" overfull")
	}
	if l.Hyphen {
		b.WriteString(" hyphen")
	}
}

func (el *Element) dump(b *strings.Builder, depth int) {
	pad := strings.Repeat("  ", depth)
	fmt.Fprintf(b, "%s%s", pad, el.Type)
	if el.Lang != "" {
		fmt.Fprintf(b, " lang %s", el.Lang)
	}
	if el.Scope != "" {
		fmt.Fprintf(b, " scope %s", el.Scope)
	}
	if el.ColSpan > 1 {
		fmt.Fprintf(b, " colspan %d", el.ColSpan)
	}
	if el.Ordered {
		b.WriteString(" ordered")
	}
	if el.Alt != "" {
		fmt.Fprintf(b, " alt %q", el.Alt)
	}
	if el.Actual != "" {
		fmt.Fprintf(b, " actual %q", el.Actual)
	}
	if el.BBox != (Rect{}) {
		fmt.Fprintf(b, " page %d box %s", el.Page, el.BBox)
	}
	kids := el.Kids
	for len(kids) > 0 && kids[0].Element == nil {
		fmt.Fprintf(b, " %d:%d", kids[0].Page, kids[0].Mark)
		kids = kids[1:]
	}
	b.WriteByte('\n')
	for _, k := range kids {
		if k.Element != nil {
			k.Element.dump(b, depth+1)
		} else {
			fmt.Fprintf(b, "%s  %d:%d\n", pad, k.Page, k.Mark)
		}
	}
}
