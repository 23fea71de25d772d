package templates_test

import (
	"strings"
	"testing"

	"philtrum/templates"
	"philtrum/templates/layout"
	"philtrum/templates/text"
)

// pairs are languages side by side: both from the left, and one from either side.
var pairs = [][2]string{{"es", "en"}, {"en", "es"}, {"ar", "en"}, {"en", "ar"}, {"ar", "es"}}

// forPatients are the papers that a patient gets.
func forPatients(t *testing.T) []string {
	var names []string
	for _, name := range papers {
		if load(t, name).ForPatient() {
			names = append(names, name)
		}
	}
	return names
}

// eachPair makes every patient's paper in every pair of languages, small and large, before and after.
func eachPair(t *testing.T, do func(name string, doc layout.Document, placed layout.Result, alone [2]layout.Document)) {
	t.Helper()
	catalogue := withArabic(t)
	engine := text.NewEngine()
	cases := map[string]templates.Facts{"planned": plannedFacts(t), "treated": treatedFacts(t)}
	for _, kind := range forPatients(t) {
		for _, pair := range pairs {
			for when, facts := range cases {
				for _, sheet := range []string{"patient-A4", "large-Letter"} {
					if load(t, kind).FixedSize() {
						sheet = ""
					}
					p := templates.Paper{Kind: kind, Template: load(t, kind), Printer: tongue(t, catalogue, pair[0]),
						Clinic: tongue(t, catalogue, "en"), Facts: facts, Sheet: sheet}
					name := strings.Join([]string{kind, pair[0], pair[1], when, sheet}, " ")
					alone := p
					alone.Clinic = nil
					one, _ := templates.Compose(alone)
					alone.Printer = tongue(t, catalogue, pair[1])
					two, _ := templates.Compose(alone)
					p.With = tongue(t, catalogue, pair[1])
					doc, problems := templates.Compose(p)
					if len(problems) > 0 {
						t.Fatalf("%s: %v", name, problems)
					}
					setter := engine.NewSetter(text.Options{Lang: doc.Lang})
					do(name, doc, layout.Place(doc, setter), [2]layout.Document{one, two})
				}
			}
		}
	}
}

// A paper in two languages has one set of boxes and signatures, and everything that each language says alone.
func TestTwoLanguagesSayBoth(t *testing.T) {
	names := map[string]bool{} // the paper names one language as its own
	for _, l := range withArabic(t).Languages() {
		names[l.Name] = true
	}
	eachPair(t, func(name string, doc layout.Document, _ layout.Result, alone [2]layout.Document) {
		said := map[string]bool{}
		texts(doc.Blocks, func(s string) { said[s] = true })
		for _, one := range alone {
			texts(one.Blocks, func(s string) {
				if s = strings.TrimSpace(s); s != "" && s != "·" && !names[s] && !said[s] && !holds(said, s) {
					t.Errorf("%s: nothing says %q", name, s)
				}
			})
		}
		if got, want := boxes(doc.Blocks), boxes(alone[0].Blocks); got != want {
			t.Errorf("%s: boxes and signatures %v, alone %v", name, got, want)
		}
	})
}

func holds(said map[string]bool, s string) bool {
	for have := range said {
		if strings.Contains(have, s) {
			return true
		}
	}
	return false
}

// Nothing lies on anything else, leaves its page or is torn; each language starts at its own side.
func TestTwoLanguagesArePlaced(t *testing.T) {
	eachPair(t, func(name string, _ layout.Document, placed layout.Result, _ [2]layout.Document) {
		for _, r := range placed.Reports {
			t.Errorf("%s: %s in %s on page %d", name, r.ID, r.Block, r.Page)
		}
		clear := func(a, b layout.Item) bool {
			return a.Kind != layout.ItemLine || b.Kind != layout.ItemLine || len(a.Line.Runs) == 0 || len(b.Line.Runs) == 0 ||
				a.Rect.X >= b.Rect.X+b.Rect.Width || b.Rect.X >= a.Rect.X+a.Rect.Width ||
				a.Rect.Y-a.Line.Runs[0].Size*6/10 >= b.Rect.Y || b.Rect.Y-b.Line.Runs[0].Size*6/10 >= a.Rect.Y
		}
		for _, page := range placed.Pages {
			for i, a := range page.Items {
				if a.Rect.X < 0 || a.Rect.X+a.Rect.Width > placed.Sheet.Width || a.Rect.Y > placed.Sheet.Height {
					t.Errorf("%s: %q leaves page %d", name, a.Line.Text, page.Number)
				}
				for _, b := range page.Items[:i] {
					if !clear(a, b) {
						t.Errorf("%s: %q lies on %q on page %d", name, a.Line.Text, b.Line.Text, page.Number)
					}
				}
			}
		}
	})
}

// texts visits every text of blocks that is no value.
func texts(blocks []layout.Block, visit func(string)) {
	doc := layout.Document{Blocks: blocks}
	for _, line := range strings.Split(doc.Dump(), "\n") {
		for i, part := range strings.Split(line, `"`) {
			if i%2 == 1 {
				visit(part)
			}
		}
	}
}

// boxes counts what a pen is for: rows with boxes, boxes, signature blocks and their fields.
func boxes(blocks []layout.Block) [4]int {
	var n [4]int
	for _, b := range blocks {
		var inner []layout.Block
		switch v := b.(type) {
		case *layout.Choices:
			n[0] += len(v.Items)
			for _, i := range v.Items {
				n[1] += len(i.Boxes)
			}
		case *layout.Signature:
			n[2]++
			n[3] += len(v.Fields)
		case *layout.Panel:
			inner = v.Blocks
		case *layout.Group:
			inner = v.Blocks
		case *layout.Columns:
			for _, c := range v.Columns {
				inner = append(inner, c...)
			}
		}
		for i, more := range boxes(inner) {
			n[i] += more
		}
	}
	return n
}

// What staff typed is not translated: a paper in another language names the language that it is in, and who
// explained it.
func TestTypedWordsAreMarked(t *testing.T) {
	catalogue := withArabic(t)
	say := func(reader string, interpreted bool) string {
		facts := plannedFacts(t)
		if interpreted {
			facts.Visit.Interpreter = attends()
		}
		doc, _ := templates.Compose(templates.Paper{Kind: "information", Template: load(t, "information"),
			Printer: tongue(t, catalogue, reader), Clinic: tongue(t, catalogue, "en"), Facts: facts})
		return doc.Dump()
	}
	mark := func(dump string) string {
		_, rest, _ := strings.Cut(dump, "both sides match.\"")
		rest, _, _ = strings.Cut(rest, "\n")
		return rest
	}
	if got := mark(say("en", true)); strings.Contains(got, "English") {
		t.Errorf("marked in the clinic's own language: %s", got)
	}
	if got := mark(say("es", false)); !strings.Contains(got, "inglés") || strings.Contains(got, "intérprete") || !strings.Contains(got, "@en-GB") {
		t.Errorf("without an interpreter: %s", got)
	}
	if got := mark(say("es", true)); !strings.Contains(got, "inglés") || !strings.Contains(got, "intérprete") {
		t.Errorf("with an interpreter: %s", got)
	}
	if dump := say("es", true); strings.Contains(dump, `£280"@`) {
		t.Error("a price is marked as if it were a sentence")
	}
}
