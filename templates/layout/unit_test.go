package layout

import (
	"strings"
	"testing"
)

func TestNumberFindsTheDecimalSign(t *testing.T) {
	for _, c := range []struct{ text, before, number string }{
		{"0.5", "", "0.5"}, {"12,25 mL", "", "12,25"}, {"about 1,234.5", "about ", "1,234.5"}, {"3", "", "3"},
		{"3.", "", "3"}, {"n/a", "n/a", ""}, {"٠٫٥ مل", "", "٠٫٥"}, {"", "", ""},
	} {
		from, sign, to := number(c.text)
		if c.text[:from] != c.before || c.text[from:to] != c.number || sign < from || sign > to {
			t.Errorf("%q: %d, %d, %d", c.text, from, sign, to)
		}
	}
}

func TestDecimalsStandBelowOneAnother(t *testing.T) {
	for _, dir := range []Direction{LeftToRight, RightToLeft} {
		texts := []string{"0.5", "12.25", "3", "1,234.5", "0,75"}
		table := &Table{Columns: []Column{{Head: say("a")}, {Head: say("mL"), Align: AlignDecimal}}}
		for _, s := range texts {
			table.Rows = append(table.Rows, Row{Cells: []Cell{{Text: say("x")}, {Text: say(s)}}})
		}
		seen := map[Length]bool{}
		for _, it := range Place(paper(dir, table), mono{}).Pages[0].Items {
			for _, s := range texts {
				if it.Line.Text == s {
					at := strings.LastIndexAny(s, ".,")
					if at < 0 {
						at = len(s)
					}
					seen[it.Rect.X+Length(at)*8*Pt*6/10] = true
				}
			}
		}
		if len(seen) != 1 {
			t.Errorf("%s: decimal signs stand at %v", dir, seen)
		}
	}
}

func TestFootStandsBesideTheCode(t *testing.T) {
	for _, mirrored := range []bool{false, true} {
		doc := paper(LeftToRight, linesOf(40, "a"))
		doc.Sheet.CodeSide, doc.Sheet.Mirror = 40*Pt, mirrored
		doc.Foot = Furniture{Start: say("a long foot that needs all of the room there is, and more"), End: []Span{{Page: true}}}
		for _, p := range Place(doc, mono{}).Pages {
			outer := doc.Sheet.Width - doc.Sheet.Outer
			if got := p.Code.X + p.Code.Width; !(mirrored && p.Number%2 == 0) && got != outer {
				t.Errorf("page %d: the code ends at %s, not %s", p.Number, got, outer)
			}
			if mirrored && p.Number%2 == 0 && p.Code.X != doc.Sheet.Outer {
				t.Errorf("page %d: the code begins at %s, not %s", p.Number, p.Code.X, doc.Sheet.Outer)
			}
			last := p.Items[len(p.Items)-1]
			if bottom := p.Code.Y + p.Code.Height; last.Rect.Y > bottom || last.Rect.Y < bottom-8*Pt {
				t.Errorf("page %d: the foot's baseline %s is not at the bottom of the code, %s", p.Number, last.Rect.Y, bottom)
			}
		}
	}
}

func TestOverfullNamesTheField(t *testing.T) {
	doc := paper(LeftToRight, &Paragraph{Meta: Meta{ID: "name"},
		Text: []Span{{Text: "Name: "}, {Text: strings.Repeat("w", 60), Field: "patient.name"}}})
	r := Place(doc, mono{})
	want := Report{ID: "overfull", Block: "name", Page: 1, Field: "patient.name"}
	if len(r.Reports) == 0 || r.Reports[0] != want {
		t.Errorf("reports %v, want %v first", r.Reports, want)
	}
}

func TestPageNumbersUseTheDocumentsDigits(t *testing.T) {
	doc := paper(LeftToRight, &Break{}, para("one"), &Break{}, &Break{}, para("two"), &Break{})
	doc.Digits = [10]rune{'০', '১', '২', '৩', '৪', '৫', '৬', '৭', '৮', '৯'}
	doc.Foot = Furniture{End: []Span{{Page: true}, {Text: "/"}, {Pages: true}}}
	r := Place(doc, mono{})
	if len(r.Pages) != 2 {
		t.Fatalf("%d pages, want 2: breaks make no empty pages", len(r.Pages))
	}
	items := r.Pages[1].Items
	if got := items[len(items)-1].Line.Text; got != "২/২" {
		t.Errorf("foot %q", got)
	}
}

func TestSignatureIsNeverFirstOnALastPage(t *testing.T) {
	for n := 2; n < 40; n++ {
		r := Place(paper(LeftToRight, linesOf(n, "a"), &Signature{Meaning: say("I agree."),
			Fields: []SignField{{Label: say("Signature"), Hand: true}}}), mono{})
		last := r.Pages[len(r.Pages)-1]
		if len(r.Pages) == 1 {
			continue
		}
		if first := last.Items[0].Line.Text; strings.HasPrefix(first, "I agree") {
			t.Errorf("after %d lines the signature stands alone", n)
		}
	}
}

func TestLastPageIsNoTail(t *testing.T) {
	for n := 1; n < 120; n++ {
		r := Place(paper(LeftToRight, linesOf(n, "a")), mono{})
		last := r.Pages[len(r.Pages)-1]
		if len(r.Pages) > 1 && len(last.Items) <= 3 {
			t.Errorf("%d lines leave %d on page %d", n, len(last.Items), len(r.Pages))
		}
	}
}

// TestSpacesShrinkTogether: a tightened paper has one distance between paragraphs, not two.
func TestSpacesShrinkTogether(t *testing.T) {
	doc := goldens()["tightened"]
	r := Place(doc, mono{})
	if len(r.Pages) != 1 {
		t.Fatalf("%d pages, want 1", len(r.Pages))
	}
	items := r.Pages[0].Items
	seen := map[Length]bool{}
	for i := 1; i < len(items); i++ {
		if items[i].Mark != items[i-1].Mark {
			seen[items[i].Rect.Y-items[i-1].Rect.Y] = true
		}
	}
	if len(seen) != 1 {
		t.Errorf("distances between paragraphs: %v", seen)
	}
}

func TestDrawingsAreNeverMirrored(t *testing.T) {
	d := &Drawing{Width: 100 * Pt, Height: 50 * Pt, Labels: []Label{{At: Point{20 * Pt, 10 * Pt}, Size: 6 * Pt, Text: say("r")}}}
	at := func(dir Direction) Length {
		it := Place(paper(dir, &Figure{Drawing: d, Width: 100 * Pt, Alt: "a"}), mono{}).Pages[0].Items[0]
		return it.Labels[0].At.X - it.Rect.X
	}
	if l, r := at(LeftToRight), at(RightToLeft); l != 20*Pt || r != l {
		t.Errorf("label at %s and %s from the left of its drawing, want 20", l, r)
	}
}

func TestLongestWordStaysWhole(t *testing.T) {
	v := &Table{Columns: []Column{{Head: say("a"), Share: 9}, {Head: say("b"), Share: 1}},
		Rows: []Row{{Cells: []Cell{{Text: say("some words that may wrap as they like, and more of them")}, {Text: say("indivisible")}}}}}
	r := Place(paper(LeftToRight, v), mono{})
	if len(r.Reports) != 0 {
		t.Errorf("reports %v", r.Reports)
	}
}

// A last page with little on it is saved where spaces have room to give; where they have not, it stays.
func TestAThinLastPageIsSaved(t *testing.T) {
	room := func(blocks ...Block) int {
		p := placer{}
		doc := paper(LeftToRight, blocks...)
		p = placer{doc: &doc, set: newSetter(mono{}, doc.Lang, doc.Direction), sizes: map[tableKey]widths{}}
		return len(p.try(loose).pages)
	}
	saved := 0
	for n := 4; n < 60; n++ {
		var blocks []Block
		for i := range n {
			blocks = append(blocks, linesOf(1+i%3, "a"))
		}
		blocks = append(blocks, linesOf(4, "b"))
		doc := paper(LeftToRight, blocks...)
		was, is := room(blocks...), len(Place(doc, mono{}).Pages)
		if is > was {
			t.Fatalf("%d parts: %d pages became %d", n, was, is)
		}
		if is < was {
			saved++
		}
	}
	if saved == 0 {
		t.Error("no page was ever saved")
	}
}

// Labels at two ends of a drawing never run into one another: where one line does not hold both, each takes its half.
func TestLabelsAtTwoEndsKeepApart(t *testing.T) {
	for _, words := range []string{"right", "right side of the patient"} {
		label := func(x Length, a Align) Label {
			return Label{At: Point{x, 12 * Pt}, Size: 6 * Pt, Align: a, Text: say(words)}
		}
		d := &Drawing{Width: 100 * Pt, Height: 50 * Pt, Labels: []Label{label(0, AlignStart), label(100*Pt, AlignEnd)}}
		r := Place(paper(LeftToRight, &Figure{Drawing: d, Width: 100 * Pt}), mono{})
		for _, it := range r.Pages[0].Items {
			for i, a := range it.Labels {
				for _, b := range it.Labels[:i] {
					if a.At.Y == b.At.Y && a.At.X < b.At.X+b.Line.Width && b.At.X < a.At.X+a.Line.Width {
						t.Errorf("%q lies on %q", a.Line.Text, b.Line.Text)
					}
				}
			}
		}
	}
}
