package pdf_test

import (
	"time"

	"philtrum/templates/layout"
	"philtrum/templates/pdf"
	"philtrum/templates/text"
)

// specimenInfo is what the specimen says about itself.
func specimenInfo(p pdf.Profile) pdf.Info {
	return pdf.Info{
		DocumentID: "0123456789abcdef0123456789abcdef", Producer: "philtrum specimen", Profile: p,
		Issued: time.Date(2026, 3, 9, 10, 30, 0, 0, time.FixedZone("", 3600)),
	}
}

// builder places lines one below the other.
type builder struct {
	pages []layout.Page
	y     layout.Length
}

// specimen makes a paper of two pages with headings, text in two languages, lists, a table over two pages,
// a figure, boxes, lines to write on, rules and a running foot. Both pages share every element kind.
func specimen() (layout.Result, []text.Font) {
	b := &builder{}
	root := &layout.Element{Type: "Document"}
	add := func(parent *layout.Element, e *layout.Element) *layout.Element {
		parent.Kids = append(parent.Kids, layout.Kid{Element: e})
		return e
	}
	say := func(parent *layout.Element, kind, words string) *layout.Element {
		e := add(parent, &layout.Element{Type: kind})
		b.line(e, words, layout.InkText)
		return e
	}
	b.page()
	say(root, "H1", "Specimen (of a paper)")
	say(root, "P", `Back\slash and brackets ) ( stay as they are.`)
	foreign := say(root, "P", "Worte einer anderen Sprache")
	foreign.Lang = "de"
	b.run(foreign, "and back", "en")
	actual := say(root, "P", "sdrawkcab")
	actual.Lang, actual.Actual = "ar", "\u0646\u0635"
	say(root, "H2", "Lists")
	list := add(root, &layout.Element{Type: "L", Ordered: true})
	for _, words := range []string{"first", "second"} {
		item := add(list, &layout.Element{Type: "LI"})
		say(item, "Lbl", "1.")
		say(item, "LBody", words)
	}
	say(root, "H2", "Table")
	tab := add(root, &layout.Element{Type: "Table"})
	say(tab, "Caption", "Rows")
	row := add(tab, &layout.Element{Type: "TR"})
	for _, words := range []string{"Zone", "Volume", "Note"} {
		say(row, "TH", words).Scope = "Column"
	}
	row = add(tab, &layout.Element{Type: "TR"})
	say(row, "TH", "upper").Scope = "Row"
	cell := say(row, "TD", "0.5 mL")
	cell.ColSpan = 2
	b.foot("page 1 of 2")
	b.page()
	b.line(cell, "more of the cell", layout.InkText)
	fig := add(root, &layout.Element{Type: "Figure", Alt: "a square", Page: 2})
	b.figure(fig)
	choice := add(root, &layout.Element{Type: "P"})
	b.box(choice, "agree to have it")
	b.blank(choice, "name")
	b.foot("page 2 of 2")
	return layout.Result{
		Lang: "en", Title: "Specimen", Sheet: specimenSheet(), Pages: b.pages, Root: root,
		Outline: []layout.OutlineEntry{
			{Level: 1, Text: "Specimen", Page: 1, Y: 72 * layout.Pt},
			{Level: 2, Text: "Lists", Page: 1, Y: 200 * layout.Pt},
			{Level: 2, Text: "Tabl\u00e9", Page: 1, Y: 300 * layout.Pt},
		},
	}, []text.Font{specimenFont()}
}

func specimenSheet() layout.Sheet {
	return layout.Sheet{
		Name: "a4", Width: layout.MM(210), Height: layout.MM(297), Rule: 500,
		TextInk: [3]uint8{20, 20, 30}, QuietInk: [3]uint8{90, 90, 100}, Accent: [3]uint8{120, 40, 60},
	}
}

func (b *builder) page() {
	b.pages = append(b.pages, layout.Page{Number: len(b.pages) + 1})
	b.y = 60 * layout.Pt
}

func (b *builder) put(it layout.Item) {
	p := &b.pages[len(b.pages)-1]
	p.Items = append(p.Items, it)
}

// mark gives e a new marked-content sequence on the page.
func (b *builder) mark(e *layout.Element) int {
	p := &b.pages[len(b.pages)-1]
	p.Marks++
	e.Kids = append(e.Kids, layout.Kid{Page: len(b.pages), Mark: p.Marks - 1})
	return p.Marks - 1
}

func (b *builder) line(e *layout.Element, words string, ink layout.Ink) {
	b.y += 18 * layout.Pt
	b.put(lineItem(b.mark(e), 60*layout.Pt, b.y, words, ink, ""))
}

// run adds a line of another language to the sequence before it.
func (b *builder) run(e *layout.Element, words, lang string) {
	b.y += 18 * layout.Pt
	mark := e.Kids[len(e.Kids)-1].Mark
	b.put(lineItem(mark, 60*layout.Pt, b.y, words, layout.InkAccent, lang))
}

func lineItem(mark int, x, y layout.Length, words string, ink layout.Ink, lang string) layout.Item {
	return layout.Item{
		Kind: layout.ItemLine, Mark: mark, Rect: layout.Rect{X: x, Y: y}, Line: setLine(words, ink, lang),
	}
}

func setLine(words string, ink layout.Ink, lang string) layout.Line {
	return layout.Line{Text: words, Runs: []layout.Run{{
		Codes: codesOf(words), Size: 12 * layout.Pt, Ink: ink, Lang: lang, Text: words,
	}}}
}

func (b *builder) foot(words string) {
	y := 800 * layout.Pt
	b.put(layout.Item{
		Kind: layout.ItemRule, Mark: layout.Artifact, Grey: 40,
		Rect: layout.Rect{X: 60 * layout.Pt, Y: y - 20*layout.Pt, Width: 475 * layout.Pt, Height: 500},
	})
	b.put(lineItem(layout.Artifact, 60*layout.Pt, y, words, layout.InkQuiet, ""))
}

func (b *builder) figure(e *layout.Element) {
	rect := layout.Rect{X: 60 * layout.Pt, Y: b.y + 20*layout.Pt, Width: 150 * layout.Pt, Height: 100 * layout.Pt}
	e.BBox = rect
	label := layout.PlacedLabel{
		At:   layout.Point{X: rect.X + 20*layout.Pt, Y: rect.Y + 60*layout.Pt},
		Line: setLine("A1", layout.InkText, ""),
	}
	b.put(layout.Item{
		Kind: layout.ItemDrawing, Mark: b.mark(e), Rect: rect, Drawing: specimenDrawing(), Labels: []layout.PlacedLabel{label},
	})
	b.y += 140 * layout.Pt
}

func (b *builder) box(e *layout.Element, words string) {
	mark := b.mark(e)
	b.y += 24 * layout.Pt
	b.put(layout.Item{
		Kind: layout.ItemBox, Mark: mark, Grey: 100, Stroke: 800,
		Rect: layout.Rect{X: 60 * layout.Pt, Y: b.y - 11*layout.Pt, Width: 12 * layout.Pt, Height: 12 * layout.Pt},
	})
	b.put(lineItem(mark, 80*layout.Pt, b.y, words, layout.InkText, ""))
}

func (b *builder) blank(e *layout.Element, words string) {
	b.y += 24 * layout.Pt
	it := lineItem(b.mark(e), 60*layout.Pt, b.y, words, layout.InkText, "")
	it.Line.Runs = append(it.Line.Runs, layout.Run{X: 80 * layout.Pt, Width: 200 * layout.Pt, Blank: true})
	b.put(it)
}

// specimenDrawing is a square with a curve in it.
func specimenDrawing() *layout.Drawing {
	at := func(x, y layout.Length) layout.Point { return layout.Point{X: x * layout.Pt, Y: y * layout.Pt} }
	one := func(v layout.Verb, p ...layout.Point) layout.Segment {
		s := layout.Segment{Verb: v}
		copy(s.Points[:], p)
		return s
	}
	square := []layout.Segment{
		one(layout.MoveTo, at(5, 5)), one(layout.LineTo, at(295, 5)), one(layout.LineTo, at(295, 195)),
		one(layout.LineTo, at(5, 195)), one(layout.ClosePath),
	}
	curve := []layout.Segment{
		one(layout.MoveTo, at(20, 100)), one(layout.CurveTo, at(100, 0), at(200, 200), at(280, 100)),
	}
	return &layout.Drawing{
		Name: "specimen", Width: 300 * layout.Pt, Height: 200 * layout.Pt,
		Shapes: []layout.Shape{
			{Path: square, Stroke: 1500, Grey: 100, Fill: 8},
			{Path: curve, Stroke: 2000, Accent: true, Dash: 6 * layout.Pt},
		},
	}
}
