package pdf_test

import (
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"philtrum/templates/layout"
	"philtrum/templates/pdf"
	"philtrum/templates/pdf/conform"
	"philtrum/templates/text"
)

// A paper with a clinic's mark beside its title.
func marked(t *testing.T, mark *layout.Drawing) []byte {
	t.Helper()
	d := layout.Document{Lang: "en", Title: "Marked", Sheet: plain(), Blocks: []layout.Block{
		&layout.Title{Text: say("Marked"), Mark: mark},
		&layout.Paragraph{Text: say("A paper of a clinic that has a mark of its own.")},
	}}
	r, fonts := set(text.NewEngine(), d)
	var out bytes.Buffer
	if err := pdf.Write(&out, r, fonts, pdf.Info{Title: d.Title, DocumentID: strings.Repeat("0", 32)}); err != nil {
		t.Fatal(err)
	}
	return out.Bytes()
}

var marks = map[string]*layout.Drawing{
	"picture": {Width: 20 * layout.Pt, Height: 10 * layout.Pt, Shapes: []layout.Shape{
		{Pixels: &layout.Pixels{Width: 2, Height: 1, RGB: []byte{200, 0, 0, 0, 0, 200}}},
	}},
	"shapes": {Width: 20 * layout.Pt, Height: 10 * layout.Pt, Shapes: []layout.Shape{
		{Own: true, Colour: [3]uint8{200, 0, 0}, Fill: 100, EvenOdd: true, Path: []layout.Segment{
			{Verb: layout.MoveTo}, {Verb: layout.LineTo, Points: [3]layout.Point{{X: 10 * layout.Pt}}},
			{Verb: layout.LineTo, Points: [3]layout.Point{{X: 10 * layout.Pt, Y: 10 * layout.Pt}}}, {Verb: layout.ClosePath},
		}},
	}},
}

// A mark is an ornament: the tree of the paper names the title and no figure, and other readers take the file.
func TestMarksAreOrnaments(t *testing.T) {
	for name, m := range marks {
		file := marked(t, m)
		for _, v := range conform.Check(file) {
			t.Errorf("%s: %s", name, v)
		}
		if out := run(t, file, tool(t, "pdfinfo"), "-struct-text", "FILE"); strings.Contains(out, "Figure") || !strings.Contains(out, "H1") {
			t.Errorf("%s: %s", name, out)
		}
		if out := run(t, file, tool(t, "qpdf"), "--check", "FILE"); strings.Contains(out, "WARNING") {
			t.Errorf("%s: %s", name, out)
		}
	}
}

// A mark keeps its own colours, the first row of a picture on top and its first pixel on the left.
func TestMarksKeepTheirColours(t *testing.T) {
	for name, m := range marks {
		dir := t.TempDir()
		page := filepath.Join(dir, "page")
		run(t, marked(t, m), tool(t, "pdftoppm"), "-r", "72", "-singlefile", "FILE", page)
		data, err := os.ReadFile(page + ".ppm")
		if err != nil {
			t.Fatal(err)
		}
		red, blue := bytes.Index(data, []byte{200, 0, 0}), bytes.Index(data, []byte{0, 0, 200})
		if red < 0 || name == "picture" && blue < red {
			t.Errorf("%s: red at %d, blue at %d of the page", name, red, blue)
		}
	}
}
