package layout

import (
	"fmt"
	"strings"
	"testing"
)

// questionnaire is a document with so many questions of every kind, and a statement on every page.
func questionnaire(n int, fillable bool) Document {
	text := func(s string) []Span { return []Span{{Text: s}} }
	field := func(name, state string) *Field {
		return &Field{Name: name, Kind: FieldOne, State: state, Tip: name + " " + state}
	}
	v := &Questions{}
	for i := range n {
		name := fmt.Sprintf("q%d", i)
		q := Asked{Number: text(fmt.Sprint(i + 1)), Text: text("Is there anything that you would like to say of this?"), Level: i % 3 / 2}
		switch i % 4 {
		case 0:
			q.Boxes = []TickBox{{Label: text("Yes"), Field: field(name, "yes")}, {Label: text("No"), Field: field(name, "no")}}
		case 1:
			q.Parts = []Part{{Label: text("Day"), Signs: 2, Field: &Field{Name: name + "-day"}}, {Label: text("Year"), Signs: 4, Field: &Field{Name: name + "-year"}}}
		case 2:
			q.Listed = true
			q.Boxes = []TickBox{{Label: text("One thing"), Field: field(name, "one")}, {Label: text("Another"), Field: field(name, "two")}}
		default:
			q.Lines, q.Field = 3, &Field{Name: name, Lines: true}
		}
		v.Items = append(v.Items, q)
	}
	said := &Questions{Items: []Asked{{Listed: true, Boxes: []TickBox{{Label: text("All of it is so."), Field: &Field{Name: "page-", Kind: FieldTick, State: "yes", Paged: true}}}}}}
	return Document{Lang: "en", Sheet: testSheet(), Blocks: []Block{v}, Closing: []Block{said}, Fillable: fillable}
}

// Every page ends with its statement, below everything else of the page, and in the structure behind it.
func TestClosingStandsOnEveryPage(t *testing.T) {
	r := Place(questionnaire(60, true), mono{})
	if len(r.Pages) < 3 {
		t.Fatalf("%d pages", len(r.Pages))
	}
	var order []string
	var walk func(*Element)
	walk = func(e *Element) {
		if e.Field != nil {
			order = append(order, e.Field.Name)
		}
		for _, k := range e.Kids {
			if k.Element != nil {
				walk(k.Element)
			}
		}
	}
	walk(r.Root)
	for _, p := range r.Pages {
		var statement, lowest Length
		for _, it := range p.Items {
			if it.Field == nil {
				continue
			}
			if it.Field.Name == "page-" {
				statement = it.Rect.Y
				continue
			}
			lowest = max(lowest, it.Rect.Y+it.Rect.Height)
		}
		if statement == 0 || statement < lowest {
			t.Errorf("page %d: statement at %s, the last place for an answer ends at %s", p.Number, statement, lowest)
		}
	}
	if last := order[len(order)-1]; last != fmt.Sprintf("page-%d", len(r.Pages)) {
		t.Errorf("the last field is %s", last)
	}
}

// On a screen each place for an answer is one field with a page and a rectangle; for a pen there is none, and the pages
// look the same but for lines, which become a frame.
func TestPlacesBecomeFields(t *testing.T) {
	count := func(r Result) (fields int) {
		var walk func(*Element)
		walk = func(e *Element) {
			if e.Field != nil {
				fields++
				if e.Type != "Form" || e.Page < 1 || e.BBox.Width <= 0 || e.BBox.Height <= 0 {
					t.Errorf("field %s: %s on page %d, %s", e.Field.Name, e.Type, e.Page, e.BBox)
				}
			}
			for _, k := range e.Kids {
				if k.Element != nil {
					walk(k.Element)
				}
			}
		}
		walk(r.Root)
		return fields
	}
	screen := Place(questionnaire(8, true), mono{})
	if got, want := count(screen), 2*(2+2+2+1)+len(screen.Pages); got != want {
		t.Errorf("%d fields, want %d", got, want)
	}
	if got := count(Place(questionnaire(8, false), mono{})); got != 0 {
		t.Errorf("%d fields for a pen", got)
	}
}

// A document says another thing once a tick stands in it, or a field has another name for people.
func TestDigestOfQuestions(t *testing.T) {
	seen := map[[32]byte]string{}
	for name, change := range map[string]func(*Document){
		"as it is": func(*Document) {}, "for a screen": func(d *Document) { d.Fillable = true },
		"a tick":    func(d *Document) { d.Blocks[0].(*Questions).Items[0].Boxes[0].Ticked = true },
		"a tip":     func(d *Document) { d.Blocks[0].(*Questions).Items[0].Boxes[0].Field.Tip = "other" },
		"a closing": func(d *Document) { d.Closing = nil },
		"a sign":    func(d *Document) { d.Blocks[0].(*Questions).Items[1].Parts[0].Value = [][]Span{{{Text: "1"}}} },
	} {
		d := questionnaire(4, false)
		change(&d)
		sum := d.Digest()
		if other, ok := seen[sum]; ok {
			t.Errorf("%s and %s have one digest", name, other)
		}
		seen[sum] = name
	}
}

// A page that goes on with an entry says first, unheard, which one it is.
func TestEntriesSayTheirNumberOnceMore(t *testing.T) {
	v := &Questions{}
	for i := range 40 {
		q := Asked{Text: say("What was it?"), Boxes: []TickBox{{Label: say("Yes")}, {Label: say("No")}}}
		if i%20 == 0 {
			q.Number = say("entry")
		} else {
			q.Within = say("entry …")
		}
		v.Items = append(v.Items, q)
	}
	r := Place(paper(LeftToRight, v), mono{})
	if len(r.Pages) < 4 {
		t.Fatalf("%d pages", len(r.Pages))
	}
	goes := 0
	for i, p := range r.Pages {
		switch first := linesOn(p)[0]; {
		case first.Line.Text == "entry":
		case i > 0 && first.Line.Text == "entry …" && first.Mark == Artifact:
			goes++
		default:
			t.Errorf("page %d begins with %q", i+1, first.Line.Text)
		}
	}
	if again, _ := at(r, "entry …"); len(again) != goes {
		t.Errorf("said again %d times on %d pages", len(again), goes)
	}
}

// The cells of a date stay within the measure, with their boxes below them, whatever stands beside and above them.
func TestCellsStayInTheMeasure(t *testing.T) {
	label := func(own, other string) []Span { return []Span{{Text: own}, Beside, {Text: other, Lang: "es"}} }
	for _, words := range []int{2, 12} {
		d := Document{Lang: "en", Sheet: testSheet()}
		d.Blocks = []Block{&Questions{Items: []Asked{{
			Text:  []Span{{Text: strings.Repeat("when was that ", words)}},
			Parts: []Part{{Label: label("the day", "el otro día"), Signs: 2}, {Label: label("the month", "el otro mes"), Signs: 2}, {Label: label("the year", "el otro año"), Signs: 4}},
			Boxes: []TickBox{{Label: label("not sure", "sin saber")}, {Label: label("none of it", "no me toca")}},
		}}}}
		r := Place(d, mono{})
		left, right := r.Sheet.Inner, r.Sheet.Width-r.Sheet.Outer
		for _, it := range r.Pages[0].Items {
			if it.Rect.X < left-Pt || it.Rect.X+it.Rect.Width > right+Pt {
				t.Errorf("%q from %d to %d leaves %d to %d", it.Line.Text, it.Rect.X, it.Rect.X+it.Rect.Width, left, right)
			}
		}
	}
}
