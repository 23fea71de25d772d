package pdf_test

import (
	"bytes"
	"encoding/json"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"philtrum/templates/layout"
	"philtrum/templates/pdf"
	"philtrum/templates/text"
)

// script is the text of one page of testdata/script/pages.json. Places for values stand in braces.
type script struct {
	Lang, Title, Heading, Paragraph, Mixed string
	Items, Head                            []string
	Rows                                   [][]string
}

// scriptValues are what a paper puts into its sentences: none may ever read backwards.
var scriptValues = map[string]string{
	"date": "2027-03-01", "dose": "40\u00A0mg", "volume": "0.8\u00A0mL", "lot": "A7714-02", "phone": "+00 555 0142",
}

func scripts(t testing.TB) []script {
	t.Helper()
	data, err := os.ReadFile("testdata/script/pages.json")
	if err != nil {
		t.Fatal(err)
	}
	var all []script
	if err := json.Unmarshal(data, &all); err != nil {
		t.Fatal(err)
	}
	return all
}

func (s *script) rightToLeft() bool { return slices.Contains([]string{"ar", "fa", "ur", "he"}, s.Lang) }

// filled makes spans of a sentence: words, and values apart.
func filled(sentence string) []layout.Span {
	var spans []layout.Span
	for sentence != "" {
		words, rest, found := strings.Cut(sentence, "{")
		if words != "" {
			spans = append(spans, layout.Span{Text: words})
		}
		if !found {
			break
		}
		name, after, _ := strings.Cut(rest, "}")
		spans = append(spans, layout.Span{Text: scriptValues[name], Value: true, Field: "visit." + name})
		sentence = after
	}
	return spans
}

// page is the script as a document of one page.
func (s *script) page() layout.Document {
	d := layout.Document{Lang: s.Lang, Title: s.Title, Sheet: plain()}
	if s.rightToLeft() {
		d.Direction = layout.RightToLeft
	}
	list := &layout.List{}
	for _, item := range s.Items {
		list.Items = append(list.Items, layout.ListItem{Text: say(item)})
	}
	table := &layout.Table{}
	for i, head := range s.Head {
		table.Columns = append(table.Columns, layout.Column{Head: say(head), Share: 2, NoWrap: i == 1})
	}
	for _, row := range s.Rows {
		r := layout.Row{Header: true}
		for _, cell := range row {
			r.Cells = append(r.Cells, layout.Cell{Text: filled(cell)})
		}
		table.Rows = append(table.Rows, r)
	}
	d.Blocks = []layout.Block{
		&layout.Title{Text: say(s.Title)}, &layout.Heading{Level: 2, Text: say(s.Heading)},
		&layout.Paragraph{Text: say(s.Paragraph)}, &layout.Paragraph{Text: filled(s.Mixed)}, list, table,
	}
	return d
}

// prose is the page's words without values, all set as running text.
func (s *script) prose() layout.Document {
	d := s.page()
	d.Blocks = nil
	d.Sheet.CodeSide = 0 // optical reading takes a code for signs
	for _, words := range append([]string{s.Title, s.Heading, s.Paragraph}, s.Items...) {
		d.Blocks = append(d.Blocks, &layout.Paragraph{Text: say(words)})
	}
	return d
}

func (s *script) proseText() string {
	return strings.Join(append([]string{s.Title, s.Heading, s.Paragraph}, s.Items...), " ")
}

// source is the text of the page as it was written, values in their places.
func (s *script) source() string {
	parts := []string{s.Title, s.Heading, s.Paragraph, s.Mixed}
	for _, item := range s.Items {
		parts = append(parts, "•", item)
	}
	parts = append(parts, s.Head...)
	for _, row := range s.Rows {
		parts = append(parts, row...)
	}
	all := strings.Join(parts, " ")
	for name, value := range scriptValues {
		all = strings.ReplaceAll(all, "{"+name+"}", value)
	}
	return all
}

// written gives a document as a file.
func written(t testing.TB, e *text.Engine, d layout.Document, p pdf.Profile) ([]byte, layout.Result) {
	t.Helper()
	setter := e.NewSetter(text.Options{Lang: d.Lang})
	r := layout.Place(d, setter)
	if lacks := setter.Missing(); len(lacks) > 0 {
		t.Errorf("%s: no glyph for %v", d.Lang, lacks)
	}
	for _, report := range r.Reports {
		t.Errorf("%s: %+v", d.Lang, report)
	}
	var out bytes.Buffer
	if err := pdf.Write(&out, r, setter.Fonts(), specimenInfo(p)); err != nil {
		t.Fatal(err)
	}
	keep(t, d.Lang, p, out.Bytes())
	return out.Bytes(), r
}

// long skips a test that calls many outside tools where short ones are wanted.
func long(t *testing.T) {
	t.Helper()
	if testing.Short() {
		t.Skip("calls outside tools for every page")
	}
}

// keep leaves a file in the folder that PHILTRUM_KEEP names, to be looked at.
func keep(t testing.TB, name string, p pdf.Profile, file []byte) {
	t.Helper()
	dir := os.Getenv("PHILTRUM_KEEP")
	if dir == "" {
		return
	}
	if p == pdf.PDFA1b {
		name += " A-1b"
	}
	if err := os.WriteFile(filepath.Join(dir, strings.ReplaceAll(t.Name(), "/", "_")+" "+name+".pdf"), file, 0o600); err != nil {
		t.Fatal(err)
	}
}
