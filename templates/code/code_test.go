package code_test

import (
	"strings"
	"testing"

	"philtrum/templates/code"

	"pgregory.net/rapid"
)

const document = "0f1e2d3c4b5a69788796a5b4c3d2e1f0"

// The text was worked out by hand with another program.
func TestTextIsFixedForEver(t *testing.T) {
	text, err := code.Page{Document: document, Number: 2, Of: 3}.Text()
	if err != nil || text != "P1WF2TF2BB9MQH1WPMPTC7MQ1Y00203GGGW" {
		t.Errorf("%s %v", text, err)
	}
}

func TestAnyWrongSignIsNoticed(t *testing.T) {
	text, err := code.Page{Document: document, Number: 2, Of: 3}.Text()
	if err != nil {
		t.Fatal(err)
	}
	for at := range len(text) {
		for _, sign := range "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ:-" {
			wrong := text[:at] + string(sign) + text[at+1:]
			if p, ok := code.Parse(wrong); ok && wrong != text {
				t.Errorf("%s reads as %+v", wrong, p)
			}
		}
	}
}

func TestPagesReadBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		of := rapid.IntRange(1, 1023).Draw(t, "of")
		p := code.Page{Document: rapid.StringMatching(`[0-9a-f]{32}`).Draw(t, "document"), Number: rapid.IntRange(1, of).Draw(t, "number"), Of: of}
		text, err := p.Text()
		if err != nil {
			t.Fatal(err)
		}
		if got, ok := code.Parse(text); !ok || got != p {
			t.Errorf("%+v reads as %+v", p, got)
		}
	})
}

func TestOtherTextsAreNoPages(t *testing.T) {
	good, err := code.Page{Document: document, Number: 1, Of: 1}.Text()
	if err != nil {
		t.Fatal(err)
	}
	for _, text := range []string{
		"", "P", strings.ToLower(good), " " + good, good + ":", good[1:], "Q" + good[1:], "https://clinic.example/", "(01)09506000134352(10)0012",
	} {
		if p, ok := code.Parse(text); ok {
			t.Errorf("%q reads as %+v", text, p)
		}
	}
}

func TestPagesThatCannotBe(t *testing.T) {
	for _, p := range []code.Page{
		{}, {Document: document}, {Document: document, Number: 2, Of: 1}, {Document: document, Number: 1, Of: 1024},
		{Document: document + "0", Number: 1, Of: 1}, {Document: strings.ToUpper(document), Number: 1, Of: 1}, {Document: document[2:], Number: 1, Of: 1}, {Document: "é", Number: 1, Of: 1},
	} {
		if text, err := p.Text(); err == nil {
			t.Errorf("%+v is written as %q", p, text)
		}
		if _, err := p.Symbol(); err == nil {
			t.Errorf("%+v is drawn", p)
		}
	}
}

// The rectangles cover the dark modules, each once, and nothing else.
func TestRectsAreTheModules(t *testing.T) {
	for _, p := range []code.Page{{document, 1, 3}, {document, 99, 99}, {document, 100, 1023}} {
		m, err := p.Symbol()
		if err != nil {
			t.Fatal(err)
		}
		if m.Size != code.Size {
			t.Errorf("%d modules", m.Size)
		}
		covered := map[[2]int]int{}
		for _, r := range m.Rects() {
			for y := r.Y; y < r.Y+r.Height; y++ {
				for x := r.X; x < r.X+r.Width; x++ {
					covered[[2]int{int(x), int(y)}]++
				}
			}
		}
		for y := range m.Size {
			for x := range m.Size {
				want := 0
				if m.Dark(x, y) {
					want = 1
				}
				if covered[[2]int{x, y}] != want {
					t.Fatalf("module %d,%d is covered %d times", x, y, covered[[2]int{x, y}])
				}
			}
		}
	}
}

func BenchmarkSymbol(b *testing.B) {
	for b.Loop() {
		m, err := code.Page{Document: document, Number: 1, Of: 3}.Symbol()
		if err != nil {
			b.Fatal(err)
		}
		m.Rects()
	}
}

func FuzzParse(f *testing.F) {
	f.Add("P1WF2TF2BB9MQH1WPMPTC7MQ1Y00203GGGW")
	f.Fuzz(func(t *testing.T, text string) {
		if p, ok := code.Parse(text); ok {
			if again, err := p.Text(); err != nil || again != text {
				t.Errorf("%q reads as %+v, which is %q", text, p, again)
			}
		}
	})
}
