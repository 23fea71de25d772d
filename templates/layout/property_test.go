package layout

import (
	"fmt"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// words draws spans whose words are at most 30 characters, some in another language or strong.
func words(most int) *rapid.Generator[[]Span] {
	return rapid.Custom(func(t *rapid.T) []Span {
		var out []Span
		for range rapid.IntRange(0, 3).Draw(t, "spans") {
			var b strings.Builder
			for range rapid.IntRange(0, most).Draw(t, "words") {
				b.WriteString(rapid.StringMatching(`[a-zא-ת0-9.,]{1,9}|[a-z]{1,30}`).Draw(t, "word") + " ")
			}
			out = append(out, Span{Text: b.String(), Strong: rapid.Bool().Draw(t, "strong"),
				Lang: rapid.SampledFrom([]string{"", "", "en", "ar", "de"}).Draw(t, "lang")})
		}
		return out
	})
}

func drawBlock(t *rapid.T, depth int) Block {
	m := Meta{ID: fmt.Sprint("b", rapid.IntRange(0, 99).Draw(t, "id")), Keep: rapid.IntRange(0, 5).Draw(t, "keep") == 0}
	text := func(most int) []Span { return words(most).Draw(t, "text") }
	kinds := 12
	if depth > 0 {
		kinds = 15
	}
	switch rapid.IntRange(0, kinds).Draw(t, "kind") {
	case 0:
		return &Group{m, []Block{&Paragraph{m, RoleNumber, text(3)}, &Paragraph{m, RoleSmall, text(9)}}}
	case 1, 2:
		return &Heading{m, rapid.IntRange(0, 6).Draw(t, "level"), append(say("H"), text(1)...)}
	case 3:
		return drawList(t, m, depth)
	case 4:
		g := &Grid{Meta: m, Columns: rapid.IntRange(0, 4).Draw(t, "columns")}
		for range rapid.IntRange(0, 5).Draw(t, "items") {
			g.Items = append(g.Items, GridItem{append(say("l"), text(2)...), text(3), rapid.IntRange(0, 3).Draw(t, "across")})
		}
		return g
	case 5:
		return drawTable(t, m)
	case 6:
		c := &Choices{Meta: m}
		for range rapid.IntRange(0, 4).Draw(t, "items") {
			one := Choice{Text: append(say("c"), text(10)...)}
			for range rapid.IntRange(0, 3).Draw(t, "boxes") {
				one.Boxes = append(one.Boxes, text(2))
			}
			c.Items = append(c.Items, one)
		}
		return c
	case 7:
		s := &Signature{Meta: m, Meaning: text(8)}
		for range rapid.IntRange(0, 4).Draw(t, "fields") {
			s.Fields = append(s.Fields, SignField{append(say("s"), text(1)...), text(1), rapid.Bool().Draw(t, "hand"),
				rapid.IntRange(0, 3).Draw(t, "share"), rapid.Bool().Draw(t, "new")})
		}
		return s
	case 8:
		d := &Dated{Meta: m}
		for range rapid.IntRange(0, 5).Draw(t, "items") {
			d.Items = append(d.Items, DatedItem{say(rapid.SampledFrom([]string{"4 Dec", "5 Dec"}).Draw(t, "when")),
				text(2), [][]Span{text(9), text(3)}, rapid.Bool().Draw(t, "strong")})
		}
		return d
	case 9:
		return &Figure{m, drawDrawing(t), Length(rapid.IntRange(0, 500).Draw(t, "width")) * Pt, "alt", text(4)}
	case 10:
		return &Space{m, Length(rapid.IntRange(0, 90).Draw(t, "space")) * Pt}
	case 13:
		return &Panel{m, Tone(rapid.IntRange(0, 2).Draw(t, "tone")), drawBlocks(t, depth-1)}
	case 14:
		return &Group{m, drawBlocks(t, depth-1)}
	case 15:
		if rapid.Bool().Draw(t, "languages") { // text alone stands in two
			return &Columns{m, []int{1, 1}, [][]Block{{&Paragraph{m, RoleBody, text(40)}},
				{&List{Meta: m, Items: []ListItem{{Text: append(say("x "), text(20)...)}}}}}, []string{"", "ar"}}
		}
		return &Columns{m, []int{1, 1}, [][]Block{drawBlocks(t, 0), drawBlocks(t, 0)}, nil}
	}
	return &Paragraph{m, RoleBody, text(40)}
}

func drawBlocks(t *rapid.T, depth int) []Block {
	var out []Block
	if depth == 2 && rapid.Bool().Draw(t, "title") {
		out = append(out, &Title{Meta{}, words(4).Draw(t, "title"), words(4).Draw(t, "alt"), drawDrawing(t)})
	}
	for range rapid.IntRange(0, 6).Draw(t, "blocks") {
		out = append(out, drawBlock(t, depth))
		if _, ok := out[len(out)-1].(*Heading); ok && (depth < 2 || rapid.Bool().Draw(t, "text")) {
			out = append(out, para("text"))
		}
	}
	return out
}

func drawDrawing(t *rapid.T) *Drawing {
	if rapid.Bool().Draw(t, "none") {
		return nil
	}
	side := func() Length { return Length(rapid.IntRange(1, 400).Draw(t, "side")) * Pt }
	return &Drawing{Name: "d", Width: side(), Height: side(),
		Labels: []Label{{At: Point{side(), side()}, Size: 6 * Pt, Text: say("l"), Align: AlignEnd}}}
}

func drawList(t *rapid.T, m Meta, depth int) *List {
	l := &List{Meta: m, Ordered: rapid.Bool().Draw(t, "ordered")}
	for range rapid.IntRange(0, 5).Draw(t, "items") {
		item := ListItem{Text: append(say("i"), words(12).Draw(t, "text")...)}
		if depth > 0 && rapid.IntRange(0, 3).Draw(t, "nested") == 0 {
			item.Blocks = drawBlocks(t, 0)
		}
		l.Items = append(l.Items, item)
	}
	return l
}

func drawTable(t *rapid.T, m Meta) *Table {
	v := &Table{Meta: m, Caption: words(4).Draw(t, "caption")}
	if rapid.IntRange(0, 2).Draw(t, "of texts") == 0 {
		return drawTexts(t, v)
	}
	for range rapid.IntRange(1, 4).Draw(t, "columns") {
		v.Columns = append(v.Columns, Column{words(1).Draw(t, "head"), rapid.IntRange(0, 3).Draw(t, "share"),
			Align(rapid.IntRange(0, 3).Draw(t, "align")), rapid.Bool().Draw(t, "nowrap")})
	}
	for range rapid.IntRange(0, 9).Draw(t, "rows") {
		var r Row
		for range v.Columns {
			r.Cells = append(r.Cells, Cell{Text: words(5).Draw(t, "cell"), Box: rapid.IntRange(0, 4).Draw(t, "box") == 0})
		}
		r.Total, r.Pen, r.Header = rapid.Bool().Draw(t, "total"), rapid.Bool().Draw(t, "pen"), rapid.Bool().Draw(t, "header")
		v.Rows = append(v.Rows, r)
	}
	return v
}

// drawTexts fills a table whose rows are a head and texts.
func drawTexts(t *rapid.T, v *Table) *Table {
	for range rapid.IntRange(2, 4).Draw(t, "columns") {
		v.Columns = append(v.Columns, Column{Head: words(1).Draw(t, "head"), Share: rapid.IntRange(0, 3).Draw(t, "share")})
	}
	for range rapid.IntRange(0, 9).Draw(t, "rows") {
		r := Row{Header: true}
		for range v.Columns {
			r.Cells = append(r.Cells, Cell{Text: words(12).Draw(t, "cell")})
		}
		v.Rows = append(v.Rows, r)
	}
	return v
}

func drawPaper(t *rapid.T) Document {
	d := paper(Direction(rapid.IntRange(0, 1).Draw(t, "direction")), drawBlocks(t, 2)...)
	d.Sheet.Width = Length(rapid.IntRange(460, 700).Draw(t, "width")) * Pt
	d.Sheet.Height = Length(rapid.IntRange(400, 900).Draw(t, "height")) * Pt
	d.Sheet.Mirror, d.Sheet.StackRows = rapid.Bool().Draw(t, "mirror"), rapid.Bool().Draw(t, "stack")
	d.Sheet.MinLines = rapid.IntRange(0, 3).Draw(t, "min")
	if rapid.Bool().Draw(t, "code") {
		d.Sheet.CodeSide = 56 * Pt
	}
	if rapid.Bool().Draw(t, "furniture") {
		d.Foot = Furniture{Start: words(3).Draw(t, "foot"), Rule: true, End: []Span{{Page: true}, {Text: " / "}, {Pages: true}}}
		d.Head = Furniture{Start: words(2).Draw(t, "head"), End: words(2).Draw(t, "head"), FirstEnd: say("first")}
	}
	return d
}

func TestPlaceHoldsItsRules(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		doc := drawPaper(t)
		r := Place(doc, mono{})
		check(t, doc, r)
		if t.Failed() {
			t.Log(doc.Dump() + r.Dump())
		}
		if again := Place(doc, mono{}); again.Dump() != r.Dump() {
			t.Error("the same document came out differently")
		}
	})
}

func FuzzPlace(f *testing.F) {
	f.Fuzz(rapid.MakeFuzz(func(t *rapid.T) {
		doc := drawPaper(t)
		check(t, doc, Place(doc, mono{}))
	}))
}
