package pdf

import (
	"strconv"

	"philtrum/templates/code"
	"philtrum/templates/layout"
)

// code draws the page's code into the square that the page keeps free for it. All modules are one path that is
// filled once: painted one by one, a reader that smooths edges would leave light seams between them. It is an
// artifact, since the foot says the same in words.
func (c *canvas) code(p *layout.Page, what code.Page) error {
	if p.Code.Width <= 0 || p.Code.Height <= 0 || what.Document == "" {
		return nil
	}
	symbol, err := what.Symbol()
	if err != nil {
		return err
	}
	b := append(c.raw, "/Artifact BMC\nq "...)
	// Modules count down from the top left corner of the square, the page up from its bottom left one.
	side := layout.Length(symbol.Size) * layout.Pt
	b = appendRatio(b, p.Code.Width, side)
	b = append(b, " 0 0 -"...)
	b = appendRatio(b, p.Code.Height, side)
	b = append(b, ' ')
	b = appendLength(b, p.Code.X)
	b = append(b, ' ')
	b = appendLength(b, c.height-p.Code.Y)
	b = append(b, " cm\n"...)
	b = append(appendColour(b, c.sheet.TextInk), " rg\n"...)
	for _, r := range symbol.Rects() {
		for _, n := range [...]uint8{r.X, r.Y, r.Width, r.Height} {
			b = append(strconv.AppendInt(b, int64(n), 10), ' ')
		}
		b = append(b, "re\n"...)
	}
	c.raw = append(b, "f\nQ\nEMC\n"...)
	return nil
}
