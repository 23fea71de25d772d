package pdf

import (
	"slices"
	"strconv"

	"philtrum/templates/layout"
)

// writeTree writes the structure tree and the tree that leads from marked content back to it.
func (f *finisher) writeTree(n numbers) {
	root := n.tree
	parents := make([][]int, len(f.r.Pages))
	for i := range parents {
		parents[i] = make([]int, f.r.Pages[i].Marks)
	}
	content := f.r.Root
	if f.field != nil { // the field is the last thing of the document
		whole := *content
		whole.Kids = append(slices.Clone(content.Kids), layout.Kid{Element: f.field})
		content = &whole
	}
	top := f.writeElement(content, root, parents)
	nums := f.a.reserve()
	f.a.object(nums, func(b []byte) []byte {
		b = append(b, "<</Nums["...)
		for i, refs := range parents {
			b = append(strconv.AppendInt(b, int64(i), 10), '[')
			for _, num := range refs {
				b = append(appendRef(b, num), ' ')
			}
			b = append(b, ']')
		}
		if n.widget != 0 {
			b = appendRef(append(strconv.AppendInt(b, int64(len(parents)), 10), ' '), f.form)
		}
		if f.fields != nil {
			for _, one := range f.fields.widgets {
				b = appendRef(append(strconv.AppendInt(append(b, ' '), int64(one.key), 10), ' '), one.tag)
			}
		}
		return append(b, "]>>"...)
	})
	next := len(parents)
	if f.fields != nil {
		next += len(f.fields.widgets)
	}
	if n.widget != 0 {
		next++
	}
	f.a.object(root, func(b []byte) []byte {
		b = appendRef(append(b, "<</Type/StructTreeRoot/K "...), top)
		b = appendRef(append(b, "/ParentTree "...), nums)
		b = append(b, "/ParentTreeNextKey "...)
		return append(strconv.AppendInt(b, int64(next), 10), ">>"...)
	})
}

// writeElement writes e and what is below it, and gives its number.
func (f *finisher) writeElement(e *layout.Element, parent int, parents [][]int) int {
	if e == f.field && e != nil {
		return f.writeForm(parent)
	}
	if e.Field != nil && f.fields != nil {
		return f.fields.writeFieldElement(e, parent)
	}
	e = apart(e)
	num := f.a.reserve()
	kids := make([]int, len(e.Kids)) // numbers of the elements among them
	page := 0
	for i, k := range e.Kids {
		if k.Element != nil {
			kids[i] = f.writeElement(k.Element, num, parents)
			continue
		}
		parents[k.Page-1][k.Mark] = num
		if page == 0 {
			page = k.Page
		}
	}
	if page == 0 && e.Page > 0 && e.Page <= len(f.pages) {
		page = e.Page
	}
	f.a.object(num, func(b []byte) []byte {
		b = appendName(append(b, "<</S"...), e.Type)
		b = appendRef(append(b, "/P "...), parent)
		if page > 0 {
			b = appendRef(append(b, "/Pg "...), f.pages[page-1])
		}
		if e.Lang != "" {
			b = appendTextString(append(b, "/Lang"...), e.Lang)
		}
		if e.Alt != "" {
			b = appendTextString(append(b, "/Alt"...), cut(e.Alt))
		}
		// A text that does not fit is better read from the page than cut.
		if e.Actual != "" && fits(e.Actual) {
			b = appendTextString(append(b, "/ActualText"...), e.Actual)
		}
		b = f.appendAttributes(b, e)
		return append(f.appendKids(b, e, kids, page), ">>"...)
	})
	return num
}

// apart moves the content of an element with an exact text into a span below it. Some readers take the
// text of the element that owns a mark for that of its glyphs from left to right, and would give back
// right-to-left words letter by letter and doses reversed; of the element above they take no notice, while
// assistive technology reads its text for all that is below (ISO 32000-1, 14.9.4).
func apart(e *layout.Element) *layout.Element {
	if e.Actual == "" || !fits(e.Actual) || !slices.ContainsFunc(e.Kids, func(k layout.Kid) bool { return k.Element == nil }) {
		return e
	}
	outer := *e
	outer.Kids = []layout.Kid{{Element: &layout.Element{Type: "Span", Kids: e.Kids}}}
	return &outer
}

func (f *finisher) appendKids(b []byte, e *layout.Element, kids []int, page int) []byte {
	if len(e.Kids) == 0 {
		return b
	}
	b = append(b, "/K["...)
	for i, k := range e.Kids {
		switch {
		case k.Element != nil:
			b = append(appendRef(b, kids[i]), ' ')
		case k.Page == page:
			b = append(strconv.AppendInt(b, int64(k.Mark), 10), ' ')
		default:
			b = appendRef(append(b, "<</Type/MCR/Pg "...), f.pages[k.Page-1])
			b = append(b, "/MCID "...)
			b = append(strconv.AppendInt(b, int64(k.Mark), 10), ">>"...)
		}
	}
	return append(b, ']')
}

// appendAttributes appends the attributes of e (ISO 32000-1, 14.8.5).
func (f *finisher) appendAttributes(b []byte, e *layout.Element) []byte {
	start := len(b)
	b = append(b, "/A"...)
	switch e.Type {
	case "Figure":
		if e.BBox == (layout.Rect{}) {
			return b[:start]
		}
		b = append(b, "<</O/Layout/Placement/Block/BBox["...)
		height := layout.Length(hundredths(f.r.Sheet.Height) * 10)
		box := e.BBox
		b = append(appendLength(b, box.X), ' ')
		b = append(appendLength(b, height-box.Y-box.Height), ' ')
		b = append(appendLength(b, box.X+box.Width), ' ')
		b = append(appendLength(b, height-box.Y), "]>>"...)
	case "L":
		b = append(b, "<</O/List/ListNumbering/"...)
		if e.Ordered {
			b = append(b, "Decimal>>"...)
		} else {
			b = append(b, "Disc>>"...)
		}
	case "TH", "TD":
		if e.Scope == "" && e.ColSpan < 2 {
			return b[:start]
		}
		b = append(b, "<</O/Table"...)
		if e.Scope != "" {
			b = appendName(append(b, "/Scope"...), e.Scope)
		}
		if e.ColSpan > 1 {
			b = append(b, "/ColSpan "...)
			b = strconv.AppendInt(b, int64(e.ColSpan), 10)
		}
		b = append(b, ">>"...)
	default:
		return b[:start]
	}
	return b
}
