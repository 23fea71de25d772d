package layout

import "strconv"

// on is the field as it stands on a page.
func (f *Field) on(page int) *Field {
	if f == nil || !f.Paged {
		return f
	}
	own := *f
	own.Name += strconv.Itoa(page)
	own.Paged = false
	return &own
}

// closingAir parts the text of a page from what closes it.
var closingAir = MM(4)

// closingHeight is what the closing blocks take of every page, the air above them included.
func (b *builder) closingHeight(measure Length) Length {
	if len(b.doc.Closing) == 0 {
		return 0
	}
	return height(b.closingFlow(&Element{}, measure)) + closingAir
}

// closingFlow builds the closing blocks without regard to what page they are for.
func (b *builder) closingFlow(parent *Element, measure Length) []strip {
	own := &builder{doc: b.doc, sheet: b.sheet, set: b.set, sizes: map[tableKey]widths{}, space: loose.space, lead: loose.lead,
		room: b.sheet.Height, level: 1}
	return own.flow(b.doc.Closing, parent, measure)
}

// closing places the closing blocks of a page, and hangs their elements behind those of the page.
func (e *emission) closing() {
	if len(e.doc.Closing) == 0 {
		return
	}
	sect := &Element{Type: "Sect"}
	flow := e.closingFlow(sect, e.frame.measure)
	e.last = nil
	e.hairline(0, e.frame.bottom+closingAir/3, e.frame.measure)
	e.flowAt(flow, 0, e.frame.bottom+closingAir)
	at := len(e.root.Kids)
	for at > 0 && beginsAfter(e.root.Kids[at-1].Element, e.page.Number) {
		at--
	}
	kids := append([]Kid(nil), e.root.Kids[:at]...)
	e.root.Kids = append(append(kids, Kid{Element: sect}), e.root.Kids[at:]...)
}

// beginsAfter says whether nothing of an element has been placed up to a page. Pages are placed in order, so
// what has no content yet comes later.
func beginsAfter(el *Element, page int) bool {
	if el == nil || el.Page > 0 && el.Page <= page {
		return false
	}
	for _, k := range el.Kids {
		if k.Element == nil || !beginsAfter(k.Element, page) {
			return false
		}
	}
	return true
}

func (w *digester) field(f *Field) {
	w.flags(f != nil)
	if f == nil {
		return
	}
	w.texts(f.Name, f.State, f.Tip, f.Group)
	w.numbers(int(f.Kind), f.Signs, len(f.Options))
	w.texts(f.Options...)
	w.flags(f.Comb, f.Lines, f.Paged)
}

func (w *digester) questions(v *Questions) {
	w.open(markQuestions, &v.Meta)
	w.numbers(len(v.Items))
	for i := range v.Items {
		q := &v.Items[i]
		w.spans(q.Number)
		w.spans(q.Within)
		w.spans(q.Text)
		w.spans(q.Note)
		w.spans(q.Value)
		w.numbers(q.Level, q.Lines, len(q.Boxes), len(q.Parts))
		w.flags(q.Listed)
		w.field(q.Field)
		for k := range q.Boxes {
			w.spans(q.Boxes[k].Label)
			w.field(q.Boxes[k].Field)
			w.flags(q.Boxes[k].Ticked)
		}
		for k := range q.Parts {
			w.spans(q.Parts[k].Label)
			w.field(q.Parts[k].Field)
			w.numbers(q.Parts[k].Signs)
			w.passages(q.Parts[k].Value)
		}
	}
}
