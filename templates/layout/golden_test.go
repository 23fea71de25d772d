package layout

import (
	"flag"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
)

var update = flag.Bool("update", false, "write golden files anew")

// rows is a table of n rows under a head.
func rows(n int) *Table {
	t := &Table{Meta: Meta{ID: "rows"}, Columns: []Column{{Head: say("Zone"), Share: 2},
		{Head: say("Volume"), Align: AlignDecimal}, {Head: say("Lot"), NoWrap: true}}}
	for i := range n {
		vol := []string{"0.5", "12.25", "3"}[i%3]
		t.Rows = append(t.Rows, Row{Cells: []Cell{{Text: say("upper border")}, {Text: say(vol)}, {Text: say("0012")}}})
	}
	return t
}

func goldens() map[string]Document {
	table := rows(26)
	table.Rows[25].Total = true
	tall := &Panel{Meta: Meta{ID: "tall"}, Tone: ToneNotice, Blocks: []Block{linesOf(30, "n")}}
	mirror := paper(RightToLeft, &Title{Text: say("عنوان"), Alt: []Span{{Text: "Consent", Lang: "en"}}},
		rows(20), &List{Items: []ListItem{{Text: say("سطر")}}},
		&Panel{Tone: ToneWarning, Blocks: []Block{para("تحذير")}})
	mirror.Sheet.Mirror, mirror.Sheet.CodeSide = true, 30*Pt
	mirror.Foot = Furniture{Start: say("id"), End: []Span{{Page: true}, {Text: "/"}, {Pages: true}}, Rule: true}
	mirror.Digits = [10]rune{'٠', '١', '٢', '٣', '٤', '٥', '٦', '٧', '٨', '٩'}
	air := func() []Block {
		var out []Block
		for i := range 10 {
			out = append(out, linesOf(1+i%2, "p"))
		}
		return append(out, linesOf(2, "last"))
	}
	sign := &Signature{Meta: Meta{ID: "sign"}, Meaning: say("I agree."), Fields: []SignField{
		{Label: say("Name"), Value: say("Ann Example")}, {Label: say("Signature"), Hand: true, NewRow: true}, {Label: say("Date")}}}
	return map[string]Document{
		"heading-foot":   paper(LeftToRight, linesOf(16, "a"), &Heading{Level: 2, Text: say("Two")}, &Heading{Level: 3, Text: say("Three")}, linesOf(6, "b")),
		"widow":          paper(LeftToRight, linesOf(15, "a"), linesOf(5, "b"), linesOf(9, "c")),
		"orphan":         paper(LeftToRight, linesOf(18, "a"), linesOf(8, "b")),
		"table-head":     paper(LeftToRight, table),
		"keep":           paper(LeftToRight, linesOf(14, "a"), &Group{Meta: Meta{Keep: true}, Blocks: []Block{linesOf(3, "b"), linesOf(3, "c")}}, linesOf(4, "d")),
		"tightened":      paper(LeftToRight, air()...),
		"lent":           paper(LeftToRight, linesOf(23, "a")),
		"torn":           paper(LeftToRight, linesOf(4, "a"), tall, linesOf(4, "b")),
		"mirror":         mirror,
		"signature-tail": paper(LeftToRight, linesOf(10, "a"), linesOf(4, "b"), sign),
		"parts":          parts(),
	}
}

// parts is a paper with every kind of block.
func parts() Document {
	mark := &Drawing{Name: "mark", Width: 30 * Pt, Height: 30 * Pt}
	face := &Drawing{Name: "face", Width: 100 * Pt, Height: 50 * Pt, Labels: []Label{
		{At: Point{0, 10 * Pt}, Size: 6 * Pt, Text: say("right")}, {At: Point{100 * Pt, 10 * Pt}, Align: AlignEnd, Size: 6 * Pt, Text: say("left")}}}
	d := paper(LeftToRight,
		&Title{Text: say("Record"), Alt: []Span{{Text: "Protokoll", Lang: "de"}}, Mark: mark},
		&Grid{Columns: 3, Items: []GridItem{{Label: say("Name"), Value: []Span{{Text: "Ann", Value: true, Field: "patient.name"}}}, {Label: say("Born")}, {Label: say("Notes"), Across: 3}}},
		&Heading{Level: 4, Text: say("Deep")},
		&Paragraph{Text: []Span{{Text: "A word "}, {Text: "auf Deutsch", Lang: "de"}, {Text: " inside."}}},
		&List{Ordered: true, Items: []ListItem{{Text: say("one")}, {Text: say("two"), Blocks: []Block{para("below")}}}},
		&Columns{Shares: []int{1, 2}, Columns: [][]Block{{para("left column of text")}, {para("right"), para("more")}}},
		&Choices{Items: []Choice{{Text: say("I agree")}, {Text: say("Photos"), Boxes: [][]Span{say("Yes"), say("No")}},
			{Text: say("Choose"), Boxes: [][]Span{say("a long answer that wraps around its box"), say("short")}}}},
		&Dated{Items: []DatedItem{{When: say("4 Dec"), Note: say("tonight"), Texts: [][]Span{say("Keep the area clean and do not press it")}},
			{When: say("4 Dec"), Texts: [][]Span{say("Drink")}, Strong: true}, {When: say("5 Dec"), Texts: [][]Span{say("Rest")}}}},
		&Space{Height: 10 * Pt},
		&Figure{Drawing: face, Width: 120 * Pt, Alt: "a face", Caption: say("Face")},
		&Panel{Tone: TonePlain, Blocks: []Block{para("framed")}},
		&Break{},
		para("after the break"))
	d.Head = Furniture{Start: say("Ann"), End: say("record"), FirstStart: say("first"), Rule: true}
	return d
}

func TestPlaceGoldens(t *testing.T) {
	for name, doc := range goldens() {
		t.Run(name, func(t *testing.T) {
			r := Place(doc, mono{})
			got := "-- document --\n" + doc.Dump() + "-- result --\n" + r.Dump()
			check(t, doc, r)
			file := filepath.Join("testdata", name+".txtar")
			if *update {
				if err := os.MkdirAll("testdata", 0o755); err != nil {
					t.Fatal(err)
				}
				if err := os.WriteFile(file, []byte(got), 0o644); err != nil {
					t.Fatal(err)
				}
			}
			want, err := os.ReadFile(file)
			if err != nil {
				t.Fatal(err)
			}
			if diff := cmp.Diff(strings.Split(string(want), "\n"), strings.Split(got, "\n")); diff != "" {
				t.Errorf("%s differs (-want +got):\n%s", file, diff)
			}
		})
	}
}
