package layout

import (
	"strings"
	"testing"
)

// signs is a table of rows that are a head and two texts, and the same with numbers in the last column.
func signs(align Align) *Table {
	v := &Table{Meta: Meta{ID: "signs"}, Columns: []Column{{Head: say("sign"), Share: 1}, {Head: say("do"), Share: 1}, {Head: say("when"), Share: 1, Align: align}}}
	for range 12 {
		v.Rows = append(v.Rows, Row{Header: true, Cells: []Cell{{Text: say("head of the row")}, {Text: say("what to do about it")}, {Text: say("12")}}})
	}
	return v
}

// at are the places of a text on all pages, and whether it is heard there.
func at(r Result, text string) (places []Rect, heard int) {
	for _, p := range r.Pages {
		for _, it := range linesOn(p) {
			if strings.TrimSpace(it.Line.Text) == text {
				places = append(places, it.Rect)
				if it.Mark != Artifact {
					heard++
				}
			}
		}
	}
	return places, heard
}

// In a sheet that stacks rows the head of a row of texts stands above its cells; numbers stay beside one another.
func TestRowsOfTextsAreStacked(t *testing.T) {
	for _, dir := range []Direction{LeftToRight, RightToLeft} {
		for _, align := range []Align{AlignStart, AlignDecimal} {
			doc := paper(dir, signs(align))
			doc.Sheet.StackRows = true
			r := Place(doc, mono{})
			check(t, doc, r)
			heads, _ := at(r, "head of the row")
			cells, _ := at(r, "12")
			if len(heads) != 12 || len(cells) != 12 {
				t.Fatalf("%d heads, %d cells", len(heads), len(cells))
			}
			for i := range heads {
				if above := heads[i].Y < cells[i].Y; above != (align == AlignStart) {
					t.Errorf("direction %d, align %d: head at %s, cell at %s", dir, align, heads[i].Y, cells[i].Y)
				}
			}
		}
	}
}

// A date stands above its texts in such a sheet, and once more, unheard, on each page that goes on with them.
func TestDatesAreStacked(t *testing.T) {
	for above := range 20 {
		doc := paper(LeftToRight, linesOf(above+1, "a"), datedOf(60, 3), linesOf(3, "b"))
		doc.Sheet.StackRows = true
		r := Place(doc, mono{})
		check(t, doc, r)
		dates, heard := at(r, "4 Dec")
		texts, _ := at(r, strings.TrimSpace(strings.Repeat("text ", 3)))
		if heard != 1 || len(dates) < 2 || len(texts) != 60 {
			t.Fatalf("%d dates, %d heard, %d texts", len(dates), heard, len(texts))
		}
		if dates[0].Y >= texts[0].Y || dates[0].X != texts[0].X {
			t.Errorf("the date stands at %v, its text at %v", dates[0], texts[0])
		}
	}
}
