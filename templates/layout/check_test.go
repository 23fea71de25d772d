package layout

import (
	"strings"
	"unicode"
)

// reporter is what tests and properties share.
type reporter interface {
	Helper()
	Errorf(format string, args ...any)
}

// check holds a result against what is true of every paper.
func check(t reporter, doc Document, r Result) {
	t.Helper()
	checkPlace(t, r)
	checkOverlap(t, r)
	checkMarks(t, r)
	checkHeadings(t, doc, r)
	if got, want := spoken(r), saidBy(doc); got != want {
		t.Errorf("the tree says\n%q\nthe document\n%q", got, want)
	}
}

// checkPlace: content stays in the measure and between the margins; furniture stays on the paper.
func checkPlace(t reporter, r Result) {
	t.Helper()
	s := r.Sheet
	for _, p := range r.Pages {
		left := s.Inner
		if (r.Direction == RightToLeft) != (s.Mirror && p.Number%2 == 0) {
			left = s.Outer
		}
		right := left + s.Width - s.Inner - s.Outer
		for _, it := range p.Items {
			if it.Rect.X < left || it.Rect.X+it.Rect.Width > right {
				t.Errorf("page %d: %v leaves the measure %s to %s", p.Number, it.Rect, left, right)
			}
			top, bottom := s.Top, s.Height-s.Bottom
			if it.Mark == Artifact && it.Kind != ItemBox {
				top, bottom = 0, s.Height
			}
			if it.Rect.Y < top || it.Rect.Y+it.Rect.Height > bottom {
				t.Errorf("page %d: %v leaves the text area %s to %s", p.Number, it.Rect, top, bottom)
			}
			for _, l := range it.Labels {
				if l.At.X < left || l.At.X+l.Line.Width > right {
					t.Errorf("page %d: label %q leaves the measure", p.Number, l.Line.Text)
				}
			}
			if c := p.Code; c.Width > 0 && it.Rect.X < c.X+c.Width && it.Rect.X+it.Rect.Width > c.X &&
				it.Rect.Y+it.Rect.Height > c.Y && it.Rect.Y < c.Y+c.Height {
				t.Errorf("page %d: %v lies on the square of the code", p.Number, it.Rect)
			}
		}
	}
}

// checkOverlap: no two lines of text lie on one another.
func checkOverlap(t reporter, r Result) {
	t.Helper()
	for _, p := range r.Pages {
		for i, a := range p.Items {
			for _, b := range p.Items[:i] {
				if a.Kind != ItemLine || b.Kind != ItemLine || a.Rect.Width == 0 || b.Rect.Width == 0 {
					continue
				}
				if a.Rect.X < b.Rect.X+b.Rect.Width && b.Rect.X < a.Rect.X+a.Rect.Width &&
					a.Rect.Y-sizeOf(a)*6/10 < b.Rect.Y && b.Rect.Y-sizeOf(b)*6/10 < a.Rect.Y {
					t.Errorf("page %d: %q at %v lies on %q at %v", p.Number, a.Line.Text, a.Rect, b.Line.Text, b.Rect)
				}
			}
		}
	}
}

func sizeOf(it Item) Length { return it.Line.Runs[0].Size }

type spot struct{ page, mark int }

// checkMarks: every mark hangs in the tree once, and every mark of the tree is on its page.
func checkMarks(t reporter, r Result) {
	t.Helper()
	used := map[spot]int{}
	walk(r.Root, func(_ *Element, k Kid) { used[spot{k.Page, k.Mark}]++ })
	total := 0
	for _, p := range r.Pages {
		total += p.Marks
		last := -1
		for _, it := range p.Items {
			if it.Mark == Artifact {
				continue
			}
			if it.Mark != last && it.Mark != last+1 {
				t.Errorf("page %d: mark %d after %d", p.Number, it.Mark, last)
			}
			last = it.Mark
		}
		for m := range p.Marks {
			if n := used[spot{p.Number, m}]; n != 1 {
				t.Errorf("page %d: mark %d is used %d times", p.Number, m, n)
			}
		}
	}
	if len(used) != total {
		t.Errorf("the tree has %d marks, the pages %d", len(used), total)
	}
}

func walk(el *Element, see func(*Element, Kid)) {
	for _, k := range el.Kids {
		if k.Element != nil {
			walk(k.Element, see)
		} else {
			see(el, k)
		}
	}
}

// checkHeadings: levels are not skipped, and no heading is the last content of a page.
func checkHeadings(t reporter, doc Document, r Result) {
	t.Helper()
	level := byte('0')
	var all []spot
	heading := map[spot]bool{}
	var visit func(el *Element, inside bool)
	visit = func(el *Element, inside bool) {
		if el.Type[0] == 'H' {
			inside = true
			if el.Type[1] > level+1 {
				t.Errorf("%s follows a heading of level %c", el.Type, level)
			}
			level = el.Type[1]
		}
		for _, k := range el.Kids {
			if k.Element != nil {
				visit(k.Element, inside)
				continue
			}
			all = append(all, spot{k.Page, k.Mark})
			heading[spot{k.Page, k.Mark}] = inside
		}
	}
	visit(r.Root, false)
	for i, at := range all {
		if heading[at] && i+1 < len(all) && all[i+1].page != at.page {
			t.Errorf("a heading is the last content of page %d", at.page)
		}
	}
}

// spoken is the text of the marks in the order of the tree, without spaces.
func spoken(r Result) string {
	texts := map[spot]string{}
	for _, p := range r.Pages {
		for _, it := range p.Items {
			if it.Mark != Artifact {
				texts[spot{p.Number, it.Mark}] += it.Line.Text
			}
		}
	}
	var b strings.Builder
	walk(r.Root, func(_ *Element, k Kid) { b.WriteString(texts[spot{k.Page, k.Mark}]) })
	return bare(b.String())
}

func bare(s string) string {
	return strings.Map(func(r rune) rune {
		if unicode.IsSpace(r) {
			return -1
		}
		return r
	}, s)
}

// saidBy is the text of a document in reading order, without spaces.
func saidBy(doc Document) string {
	var b strings.Builder
	sayBlocks(&b, &doc, doc.Blocks)
	return bare(b.String())
}

func sayBlocks(b *strings.Builder, d *Document, blocks []Block) {
	tell := func(lists ...[]Span) {
		for _, l := range lists {
			b.WriteString(textOf(l))
		}
	}
	for _, blk := range blocks {
		switch v := blk.(type) {
		case *Title:
			tell(v.Text, v.Alt)
		case *Heading:
			tell(v.Text)
		case *Paragraph:
			tell(v.Text)
		case *List:
			for i, item := range v.Items {
				label := "•"
				if v.Ordered {
					label = d.digits(i+1) + "."
				}
				b.WriteString(label)
				tell(item.Text)
				sayBlocks(b, d, item.Blocks)
			}
		case *Grid:
			for _, i := range v.Items {
				tell(i.Label, i.Value)
			}
		case *Table:
			tell(v.Caption)
			for _, c := range v.Columns {
				tell(c.Head)
			}
			for _, r := range v.Rows {
				for _, c := range r.Cells {
					tell(c.Text)
				}
			}
		case *Panel:
			sayBlocks(b, d, v.Blocks)
		case *Group:
			sayBlocks(b, d, v.Blocks)
		case *Columns:
			for _, c := range v.Columns {
				sayBlocks(b, d, c)
			}
		case *Choices:
			for _, c := range v.Items {
				tell(c.Text)
				tell(c.Boxes...)
			}
		case *Signature:
			tell(v.Meaning)
			for _, f := range v.Fields {
				tell(f.Label, f.Value)
			}
		case *Dated:
			for i, item := range v.Items {
				if i == 0 || textOf(item.When) != textOf(v.Items[i-1].When) {
					tell(item.When)
					sayNotes(b, v.Items[i:])
				}
				tell(item.Texts...)
			}
		case *Figure:
			tell(v.Caption)
		}
	}
}

// sayNotes tells the notes of the group that begins the list: they stand together below its date.
func sayNotes(b *strings.Builder, items []DatedItem) {
	for i, item := range items {
		if textOf(item.When) != textOf(items[0].When) {
			return
		}
		if i == 0 || textOf(item.Note) != textOf(items[i-1].Note) {
			b.WriteString(textOf(item.Note))
		}
	}
}
