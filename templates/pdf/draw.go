package pdf

import (
	"fmt"
	"strconv"
	"time"

	"github.com/jung-kurt/gofpdf"

	"philtrum/templates/code"
	"philtrum/templates/layout"
	"philtrum/templates/text"
)

// canvas draws the items of one paper through gofpdf.
type canvas struct {
	out    *gofpdf.Fpdf
	press  *Press
	held   *held  // what was drawn without gofpdf
	raw    []byte // the same, its last piece still open
	fonts  []text.Font
	used   []bool // fonts that the pages name
	sheet  *layout.Sheet
	height layout.Length
	// Colours and width in force on the page, so that they are written only when they change.
	fill, stroke inForce
	width        layout.Length
}

// inForce is a colour that the page may have been set to.
type inForce struct {
	set    bool
	colour [3]uint8
}

// change notes a colour and says whether it is new.
func (f *inForce) change(colour [3]uint8) bool {
	old := *f
	*f = inForce{true, colour}
	return *f != old
}

// held is what is drawn without gofpdf, in pieces. gofpdf gets a mark in the place of each, and [drawn.restore]
// puts the pieces back: handed through, the text of a paper would be copied six times.
type held struct {
	b    []byte
	ends []int // of the pieces
}

// heldMark is a comment in a content stream; gofpdf writes none of its own.
const heldMark = "%held"

// draw writes the pages of r, not yet finished, to dst and own, and says which fonts they use. Pages that keep a
// square free carry the code of the document in it.
func (p *Press) draw(dst *scratch, own *held, r *layout.Result, fonts []text.Font, marks [][]owner, document string) (used []bool, err error) {
	// gofpdf panics on some inputs instead of setting its error.
	defer func() {
		if v := recover(); v != nil {
			used, err = nil, fmt.Errorf("pdf: the page writer gave up: %v", v)
		}
	}()
	s := &r.Sheet
	size := gofpdf.SizeType{Wd: points(s.Width), Ht: points(s.Height)}
	out := gofpdf.NewCustom(&gofpdf.InitType{OrientationStr: "P", UnitStr: "pt", Size: size})
	out.SetCompression(false)
	out.SetCatalogSort(true)
	out.SetAutoPageBreak(false, 0)
	// The finisher writes dates of its own; these only keep gofpdf from reading the clock.
	out.SetCreationDate(time.Unix(0, 0).UTC())
	out.SetModificationDate(time.Unix(0, 0).UTC())

	c := canvas{out: out, press: p, held: own, raw: own.b, fonts: fonts, used: make([]bool, len(fonts)), sheet: s}
	c.height = layout.Length(hundredths(s.Height) * 10)
	defer func() { own.b = c.raw }()
	for i := range r.Pages {
		if err := c.page(&r.Pages[i], marks[i]); err != nil {
			return nil, fmt.Errorf("pdf: page %d: %w", i+1, err)
		}
		if err := c.code(&r.Pages[i], code.Page{Document: document, Number: i + 1, Of: len(r.Pages)}); err != nil {
			return nil, fmt.Errorf("pdf: page %d: %w", i+1, err)
		}
		c.flush()
	}
	return c.used, out.Output(dst)
}

// page draws one page. Items of one mark that follow one another share a marked-content sequence.
func (c *canvas) page(p *layout.Page, marks []owner) error {
	c.out.AddPage()
	// gofpdf begins a page with the colours that it was last given, which may not be those last drawn with.
	c.fill, c.stroke, c.width = inForce{}, inForce{}, -1
	seen := make([]bool, len(marks))
	for i := 0; i < len(p.Items); {
		mark := p.Items[i].Mark
		lang := ""
		if mark == layout.Artifact {
			c.raw = append(c.raw, "/Artifact BMC\n"...)
		} else {
			if mark < 0 || mark >= len(marks) {
				return fmt.Errorf("mark %d does not exist", mark)
			}
			if seen[mark] {
				return fmt.Errorf("mark %d comes twice", mark)
			}
			seen[mark] = true
			lang = marks[mark].lang
			c.raw = appendName(c.raw, marks[mark].element.Type)
			c.raw = append(c.raw, " <</MCID "...)
			c.raw = strconv.AppendInt(c.raw, int64(mark), 10)
			c.raw = append(c.raw, ">> BDC\n"...)
		}
		for ; i < len(p.Items) && p.Items[i].Mark == mark; i++ {
			if err := c.item(&p.Items[i], lang); err != nil {
				return err
			}
		}
		c.raw = append(c.raw, "EMC\n"...)
	}
	c.flush()
	for n, ok := range seen {
		if !ok {
			return fmt.Errorf("mark %d has no content", n)
		}
	}
	return c.out.Error()
}

// flush closes the piece that was drawn here, before one of gofpdf's own calls or at the end of a page.
func (c *canvas) flush() {
	start := 0
	if n := len(c.held.ends); n > 0 {
		start = c.held.ends[n-1]
	}
	if len(c.raw) == start {
		return
	}
	c.out.RawWriteStr(heldMark)
	c.held.ends = append(c.held.ends, len(c.raw))
}

// item draws one item; lang is the language in force, empty in an artifact.
func (c *canvas) item(it *layout.Item, lang string) error {
	switch it.Kind {
	case layout.ItemLine:
		return c.line(&it.Line, it.Rect.X, it.Rect.Y, lang)
	case layout.ItemRule:
		c.rectangle(it, "F")
	case layout.ItemBox:
		c.rectangle(it, "D")
	case layout.ItemDrawing:
		c.drawing(it.Drawing, it.Rect)
		for i := range it.Labels {
			l := &it.Labels[i]
			if err := c.line(&l.Line, l.At.X, l.At.Y, lang); err != nil {
				return err
			}
		}
	default:
		return fmt.Errorf("item of unknown kind %d", it.Kind)
	}
	return nil
}

// rectangle fills (F) or strokes (D) the item's rectangle.
func (c *canvas) rectangle(it *layout.Item, style string) {
	c.flush()
	colour := c.colour(it.Accent, it.Grey)
	if style == "F" {
		if c.fill.change(colour) {
			c.out.SetFillColor(int(colour[0]), int(colour[1]), int(colour[2]))
		}
	} else {
		if c.stroke.change(colour) {
			c.out.SetDrawColor(int(colour[0]), int(colour[1]), int(colour[2]))
		}
		if width := it.Stroke; c.width != width {
			c.out.SetLineWidth(points(width))
			c.width = width
		}
	}
	r := it.Rect
	c.out.Rect(points(r.X), points(r.Y), points(r.Width), points(r.Height), style)
}

// line draws a set line with the left end of its baseline at x, y.
func (c *canvas) line(l *layout.Line, x, y layout.Length, lang string) error {
	for i := range l.Runs {
		run := &l.Runs[i]
		if run.Blank {
			c.blank(run, x, y)
			continue
		}
		if len(run.Codes) == 0 {
			continue
		}
		if run.Font < 0 || run.Font >= len(c.fonts) {
			return fmt.Errorf("font %d does not exist", run.Font)
		}
		c.used[run.Font] = true
		c.ink(run.Ink)
		foreign := lang != "" && run.Lang != "" && run.Lang != lang
		if foreign {
			c.raw = append(c.raw, "/Span <</Lang "...)
			c.raw = appendTextString(c.raw, run.Lang)
			c.raw = append(c.raw, ">> BDC\n"...)
		}
		c.show(run, x+run.X, c.height-y+run.Rise)
		if foreign {
			c.raw = append(c.raw, "EMC\n"...)
		}
	}
	return nil
}

// heavyStroke is the width of the stroke around strong signs of a face of one weight, as a part of their size:
// about what a bold Han face adds to its stems; common practice, no source.
const heavyStroke = 33 // one part in

// heavy begins the state in which a run is stroked in its own colour besides being filled (ISO 32000-1, 9.3.6); the
// state is restored behind the run.
func (c *canvas) heavy(b []byte, run *layout.Run) []byte {
	b = append(b, "q "...)
	b = append(appendColour(b, c.fill.colour), " RG "...)
	b = appendLength(b, run.Size/heavyStroke)
	return append(b, " w 1 j 2 Tr\n"...)
}

// show writes one run as one string of two-byte codes.
func (c *canvas) show(run *layout.Run, x, y layout.Length) {
	b := c.raw
	if run.Heavy {
		b = c.heavy(b, run)
	}
	b = append(b, "BT /T"...)
	b = strconv.AppendInt(b, int64(run.Font), 10)
	b = append(b, ' ')
	b = appendLength(b, run.Size)
	b = append(b, " Tf "...)
	b = appendLength(b, x)
	b = append(b, ' ')
	b = appendLength(b, y)
	b = append(b, " Td ("...)
	for _, code := range run.Codes {
		b = appendEscaped(b, byte(code>>8))
		b = appendEscaped(b, byte(code))
	}
	b = append(b, ") Tj ET\n"...)
	if run.Heavy {
		b = append(b, "Q\n"...)
	}
	c.raw = b
}

// blank draws the line that a pen writes on. It is part of the text that labels it, since a tag may not
// hold an artifact.
func (c *canvas) blank(run *layout.Run, x, y layout.Length) {
	c.ink(run.Ink)
	rule := c.sheet.Rule
	if rule <= 0 {
		rule = layout.Pt / 2
	}
	b := appendLength(c.raw, x+run.X)
	b = append(b, ' ')
	b = appendLength(b, c.height-y+run.Rise-rule)
	b = append(b, ' ')
	b = appendLength(b, run.Width)
	b = append(b, ' ')
	b = appendLength(b, rule)
	c.raw = append(b, " re f\n"...)
}

// ink sets the fill colour of text.
func (c *canvas) ink(ink layout.Ink) {
	colour := c.sheet.TextInk
	switch ink {
	case layout.InkQuiet:
		colour = c.sheet.QuietInk
	case layout.InkAccent:
		colour = c.sheet.Accent
	case layout.InkPaper:
		colour = white
	}
	if c.fill.change(colour) {
		c.raw = append(appendColour(c.raw, colour), " rg\n"...)
	}
}

var white = [3]uint8{255, 255, 255}

// colour is a percentage of the ink or of the accent. The accent without a percentage is the accent
// itself: nothing is drawn to be invisible.
func (c *canvas) colour(accent bool, percent uint8) [3]uint8 {
	switch {
	case accent && percent == 0:
		return c.sheet.Accent
	case accent:
		return shade(c.sheet.Accent, percent)
	}
	return shade(c.sheet.TextInk, percent)
}

// shade blends a colour with white: 100 percent is the colour itself.
func shade(colour [3]uint8, percent uint8) [3]uint8 {
	p := int(min(percent, 100))
	for i, v := range colour {
		colour[i] = uint8((int(v)*p + 255*(100-p) + 50) / 100)
	}
	return colour
}
