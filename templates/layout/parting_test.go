package layout

import (
	"strings"
	"testing"
)

// linesOn is the text of each line of a page, artifacts included.
func linesOn(p Page) []Item {
	var out []Item
	for _, it := range p.Items {
		if it.Kind == ItemLine {
			out = append(out, it)
		}
	}
	return out
}

func datedOf(texts, words int) *Dated {
	v := &Dated{Meta: Meta{ID: "dated"}}
	for range texts {
		v.Items = append(v.Items, DatedItem{When: say("4 Dec"), Texts: [][]Span{say(strings.Repeat("text ", words))}})
	}
	return v
}

// A group of one date stays whole where little is lost by it, and is parted where a quarter of a page would be:
// between its texts, with the date again above the rest, which a reader of the tags does not hear twice.
func TestDatedGroupIsPartedRatherThanLeaveAHole(t *testing.T) {
	for _, dir := range []Direction{LeftToRight, RightToLeft} {
		for above := 4; above < 18; above++ {
			doc := paper(dir, linesOf(above, "a"), datedOf(10, 1), linesOf(8, "b"))
			r := Place(doc, mono{})
			check(t, doc, r)
			if len(r.Reports) > 0 {
				t.Errorf("%d lines: %v", above, r.Reports)
			}
			spoken, quiet := 0, 0
			for _, p := range r.Pages {
				for _, it := range linesOn(p) {
					switch {
					case it.Line.Text != "4 Dec":
					case it.Mark == Artifact:
						quiet++
					default:
						spoken++
					}
				}
			}
			if spoken != 1 || quiet > 1 {
				t.Errorf("%d lines: the date stands %d times, and %d times again", above, spoken, quiet)
			}
			items := linesOn(r.Pages[0])
			last := items[len(items)-1].Rect.Y
			if foot := doc.Sheet.Height - doc.Sheet.Bottom; len(r.Pages) > 1 && foot-last > (foot-doc.Sheet.Top)/hole+20*Pt {
				t.Errorf("%d lines: page 1 ends at %s of %s", above, last, foot)
			}
		}
	}
}

// A text of a dated group is never parted while a page can hold it.
func TestTextsOfADateStayWhole(t *testing.T) {
	for above := range 18 {
		r := Place(paper(LeftToRight, linesOf(above+1, "a"), datedOf(4, 16), linesOf(8, "b")), mono{})
		for _, p := range r.Pages {
			n := 0
			for _, it := range linesOn(p) {
				if strings.Contains(it.Line.Text, "text") {
					n++
				}
			}
			if n%textLines() != 0 {
				t.Errorf("after %d lines page %d has %d lines of texts", above+1, p.Number, n)
			}
		}
	}
}

// textLines is the number of lines of one text of datedOf(…, 16).
func textLines() int {
	n := 0
	for _, it := range linesOn(Place(paper(LeftToRight, datedOf(1, 16)), mono{}).Pages[0]) {
		if strings.Contains(it.Line.Text, "text") {
			n++
		}
	}
	return n
}

// No item of a list stands alone at the foot or the head of a page, unless a quarter of the page would be lost.
func TestNoItemStandsAlone(t *testing.T) {
	for above := 1; above < 20; above++ {
		l := &List{Items: []ListItem{{Text: say("i1")}, {Text: say("i2")}, {Text: say("i3")}, {Text: say("i4")}, {Text: say("i5")}}}
		r := Place(paper(LeftToRight, linesOf(above, "a"), l, linesOf(9, "b")), mono{})
		for _, p := range r.Pages {
			n := 0
			for _, it := range linesOn(p) {
				if len(it.Line.Text) == 2 && it.Line.Text[0] == 'i' {
					n++
				}
			}
			if n == 1 || n == 4 {
				t.Errorf("after %d lines page %d has %d of 5 items", above, p.Number, n)
			}
		}
	}
}

// A narrow drawing stands in the middle of its column, whatever the direction.
func TestFiguresStandInTheMiddle(t *testing.T) {
	d := &Drawing{Width: 100 * Pt, Height: 50 * Pt}
	for _, dir := range []Direction{LeftToRight, RightToLeft} {
		doc := paper(dir, &Figure{Drawing: d, Width: 100 * Pt, Alt: "a"})
		r := Place(doc, mono{})
		left := doc.Sheet.Inner
		if dir == RightToLeft {
			left = doc.Sheet.Outer
		}
		measure := doc.Sheet.Width - doc.Sheet.Inner - doc.Sheet.Outer
		if got := r.Pages[0].Items[0].Rect.X - left; got != (measure-100*Pt)/2 {
			t.Errorf("%s: %s from the left of the measure", dir, got)
		}
	}
}

// hyphens notes of which sizes words were allowed to be hyphenated.
type hyphens struct {
	mono
	sizes map[Length]bool
}

func (h hyphens) Lines(q Request) []Line {
	if q.Hyphenate {
		h.sizes[q.Size] = true
	}
	return h.mono.Lines(q)
}

// A title and a heading keep their words whole; text in a narrow measure need not.
func TestTitlesAreNotHyphenated(t *testing.T) {
	h := hyphens{sizes: map[Length]bool{}}
	doc := paper(LeftToRight, &Title{Text: say("A title of some words")}, &Heading{Level: 2, Text: say("A heading")}, linesOf(2, "a"))
	doc.Sheet.Width = 260 * Pt
	Place(doc, h)
	for _, role := range []Role{RoleTitle, RoleH2} {
		if h.sizes[doc.Sheet.Styles[role].Size] {
			t.Errorf("words of a %s may be hyphenated", role)
		}
	}
	if !h.sizes[doc.Sheet.Styles[RoleBody].Size] {
		t.Error("no word of the text may be hyphenated")
	}
}
