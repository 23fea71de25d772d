package pdf

import (
	"errors"
	"strconv"

	"philtrum/templates/layout"
	"philtrum/templates/text"
)

// Form is what a form on a screen says of itself: opaque ids and the version of its questions, nothing of a person.
type Form struct {
	Visit, Document    string
	Questions, Version string

	// Typing has the letters that somebody may type. Readers show what is typed in it, a letter at a time, unless they
	// shape by themselves.
	Typing *text.Font
}

// AboutField is the name of the field that holds what a form says of itself, as [Form.String] writes it.
const AboutField = "about"

// String is what the file carries.
func (f Form) String() string {
	return "visit=" + f.Visit + " document=" + f.Document + " questions=" + f.Questions + " version=" + f.Version
}

// typingFont is the name of the font of what is typed. PDFium takes a font of that name for one of symbols and so asks
// it for every letter; under another name it would ask it for those of Latin 1 alone, and the machine for all others.
const typingFont = "Wingdings"

var errTyping = errors.New("pdf: a form without a font to type in")

// widget is a place of a page that takes an answer.
type widget struct {
	element *layout.Element
	num     int // of the annotation
	key     int // in the tree of parents
	tag     int // number of its structure element
	parent  int // of a box of several: number of the field that they share
}

// formWriter writes the fields of a form (ISO 32000-1, 12.7). Every field is an object of ours with a look of its
// own, so no reader has to make one before somebody types.
type formWriter struct {
	f       *finisher
	widgets []*widget
	of      map[*layout.Element]*widget
	groups  []*group
	looks   map[look]int
}

// group is the boxes of which one may be ticked.
type group struct {
	name, tip string
	num       int
	kids      []*widget
}

type look struct {
	width, height layout.Length
	kind          byte // t tick, d dot, e empty
}

// Flags of fields, ISO 32000-1, tables 221, 226, 228, 230.
const (
	flagReadOnly = 1 << 0
	flagLines    = 1 << 12
	flagRadio    = 1 << 15
	flagCombo    = 1 << 17
	flagNoSpell  = 1 << 22
	flagComb     = 1 << 24
)

// gatherForm finds the places for answers and gives them numbers.
func (f *finisher) gatherForm() {
	w := &formWriter{f: f, of: map[*layout.Element]*widget{}, looks: map[look]int{}}
	w.walk(f.r.Root)
	groups := map[string]*group{}
	for i, one := range w.widgets {
		one.num, one.key = f.a.reserve(), len(f.r.Pages)+i
		field := one.element.Field
		if field.Kind != layout.FieldOne {
			continue
		}
		g := groups[field.Name]
		if g == nil {
			g = &group{name: field.Name, tip: field.Group, num: f.a.reserve()}
			groups[field.Name] = g
			w.groups = append(w.groups, g)
		}
		one.parent = g.num
		g.kids = append(g.kids, one)
	}
	f.fields = w
}

func (w *formWriter) walk(e *layout.Element) {
	if e.Field != nil {
		one := &widget{element: e}
		w.widgets = append(w.widgets, one)
		w.of[e] = one
	}
	for _, k := range e.Kids {
		if k.Element != nil {
			w.walk(k.Element)
		}
	}
}

// appendAnnotations lists the fields of a page, in the order in which they are read.
func (w *formWriter) appendAnnotations(b []byte, page int) []byte {
	b = append(b, "/Annots["...)
	for _, one := range w.widgets {
		if one.element.Page == page {
			b = append(appendRef(b, one.num), ' ')
		}
	}
	return append(b, ']')
}

// writeFieldElement writes the structure element of a field (ISO 14289-1, 7.18.4).
func (w *formWriter) writeFieldElement(e *layout.Element, parent int) int {
	one := w.of[e]
	one.tag = w.f.a.reserve()
	page := w.f.pages[e.Page-1]
	w.f.a.object(one.tag, func(b []byte) []byte {
		b = appendRef(append(b, "<</S/Form/P "...), parent)
		b = appendRef(append(b, "/Pg "...), page)
		b = appendTextString(append(b, "/Alt"...), cut(e.Field.Tip))
		b = appendRef(append(b, "/K<</Type/OBJR/Pg "...), page)
		return append(appendRef(append(b, "/Obj "...), one.num), ">>>>"...)
	})
	return one.tag
}

// write writes the fields and gives the number of the form's dictionary.
func (w *formWriter) write() (int, error) {
	if w.f.info.Form.Typing == nil {
		return 0, errTyping
	}
	font, err := w.f.writeFont(w.f.info.Form.Typing)
	if err != nil {
		return 0, err
	}
	for _, g := range w.groups {
		w.writeGroup(g)
	}
	for _, one := range w.widgets {
		w.writeWidget(one)
	}
	about := w.f.a.reserve()
	w.f.a.object(about, func(b []byte) []byte {
		b = appendTextString(append(b, "<</FT/Tx/T"...), AboutField)
		b = appendTextString(append(b, "/V"...), w.f.info.Form.String())
		return append(strconv.AppendInt(append(b, "/Ff "...), flagReadOnly, 10), ">>"...)
	})
	num := w.f.a.reserve()
	w.f.a.object(num, func(b []byte) []byte {
		b = appendRef(append(b, "<</Fields["...), about)
		for _, g := range w.groups {
			b = appendRef(append(b, ' '), g.num)
		}
		for _, one := range w.widgets {
			if one.parent == 0 {
				b = appendRef(append(b, ' '), one.num)
			}
		}
		b = appendRef(append(b, "]/DA(/"+typingFont+" 0 Tf 0 g)/DR<</Font<</"+typingFont+" "...), font)
		return append(b, ">>>>>>"...)
	})
	return num, nil
}

func (w *formWriter) writeGroup(g *group) {
	w.f.a.object(g.num, func(b []byte) []byte {
		b = appendTextString(append(b, "<</FT/Btn/T"...), g.name)
		b = appendTextString(append(b, "/TU"...), cut(g.tip))
		b = strconv.AppendInt(append(b, "/V/Off/Ff "...), flagRadio, 10)
		b = append(b, "/Kids["...)
		for _, one := range g.kids {
			b = append(appendRef(b, one.num), ' ')
		}
		return append(b, "]>>"...)
	})
}

func (w *formWriter) writeWidget(one *widget) {
	e := one.element
	field := e.Field
	var on, off int
	switch field.Kind {
	case layout.FieldTick:
		on, off = w.look('t', e.BBox), w.look('e', e.BBox)
	case layout.FieldOne:
		on, off = w.look('d', e.BBox), w.look('e', e.BBox)
	default:
		off = w.look('e', e.BBox)
	}
	w.f.a.object(one.num, func(b []byte) []byte {
		b = append(b, "<</Type/Annot/Subtype/Widget/F 4/Rect["...)
		b = w.appendRect(b, e.BBox)
		b = appendRef(append(b, "]/P "...), w.f.pages[e.Page-1])
		b = strconv.AppendInt(append(b, "/StructParent "...), int64(one.key), 10)
		if one.parent != 0 {
			b = appendRef(append(b, "/Parent "...), one.parent)
			b = appendTextString(append(b, "/TU"...), cut(field.Tip))
			return append(w.appendStates(b, field.State, on, off), ">>"...)
		}
		b = appendTextString(append(b, "/T"...), field.Name)
		b = appendTextString(append(b, "/TU"...), cut(field.Tip))
		if field.Kind == layout.FieldTick {
			return append(w.appendStates(append(b, "/FT/Btn/V/Off"...), field.State, on, off), ">>"...)
		}
		b = appendRef(append(b, "/AP<</N "...), off)
		return append(w.appendTyped(append(b, ">>"...), field, e.BBox), ">>"...)
	})
}

// appendStates appends the looks of a box.
func (w *formWriter) appendStates(b []byte, state string, on, off int) []byte {
	b = appendRef(append(appendName(append(b, "/AS/Off/AP<</N<<"...), state), ' '), on)
	return append(appendRef(append(b, "/Off "...), off), ">>>>"...)
}

// appendTyped appends what a text or a choice needs. Letters are of a size that a hand would write.
func (w *formWriter) appendTyped(b []byte, field *layout.Field, box layout.Rect) []byte {
	size := "11"
	if box.Height < 18*layout.Pt && !field.Lines {
		size = "0"
	}
	b = append(b, "/DA(/"+typingFont+" "+size+" Tf 0 g)"...)
	if w.f.r.Direction == layout.RightToLeft && !field.Comb {
		b = append(b, "/Q 2"...)
	}
	flags := 0
	if field.Kind == layout.FieldChoice {
		b = append(b, "/FT/Ch/Opt[(-)"...)
		for _, o := range field.Options {
			b = appendTextString(b, o)
		}
		b = append(b, ']')
		flags = flagCombo
	} else {
		b = append(b, "/FT/Tx"...)
		flags = flagNoSpell
		if field.Lines {
			flags |= flagLines
		}
		if field.Signs > 0 {
			b = strconv.AppendInt(append(b, "/MaxLen "...), int64(field.Signs), 10)
			if field.Comb {
				flags |= flagComb
			}
		}
	}
	return strconv.AppendInt(append(b, "/Ff "...), int64(flags), 10)
}

func (w *formWriter) appendRect(b []byte, r layout.Rect) []byte {
	height := layout.Length(hundredths(w.f.r.Sheet.Height) * 10)
	b = append(appendLength(b, r.X), ' ')
	b = append(appendLength(b, height-r.Y-r.Height), ' ')
	b = append(appendLength(b, r.X+r.Width), ' ')
	return appendLength(b, height-r.Y)
}

// look is the number of a look of a box, written once for its size.
func (w *formWriter) look(kind byte, r layout.Rect) int {
	key := look{r.Width, r.Height, kind}
	if num, ok := w.looks[key]; ok {
		return num
	}
	num := w.f.a.reserve()
	w.looks[key] = num
	dict := append([]byte("/Type/XObject/Subtype/Form/Resources<<>>/BBox[0 0 "), appendLength(nil, r.Width)...)
	dict = append(append(append(dict, ' '), appendLength(nil, r.Height)...), ']')
	w.f.a.stream(num, string(dict), w.strokes(kind, r))
	return num
}

// strokes is what a look paints: a tick, a filled square for one of several, or nothing.
func (w *formWriter) strokes(kind byte, r layout.Rect) []byte {
	at := func(b []byte, x, y int64, op string) []byte {
		b = append(appendLength(b, layout.Length(int64(r.Width)*x/100)), ' ')
		b = append(appendLength(b, layout.Length(int64(r.Height)*y/100)), ' ')
		return append(b, op...)
	}
	b := appendColour(nil, w.f.r.Sheet.TextInk)
	switch kind {
	case 't', 'd':
		b = append(b, " RG 1.4 w 1 J 1 j "...)
		b = at(b, 16, 48, "m ")
		b = at(b, 42, 20, "l ")
		return at(b, 88, 86, "l S\n")
	}
	return []byte("/Tx BMC EMC\n")
}
