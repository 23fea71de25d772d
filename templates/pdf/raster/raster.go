// Package raster paints the pictures and filled shapes of a page of a foreign file in shades of grey: enough to
// read a code on it, however the file came about (a scan, or an issued paper that was filled in and printed to a
// file). Words are left out, clipping and transparency are passed over.
//
// A foreign file may be made to harm its reader. Sizes are bounded here; time is not, so callers give a file a
// process and a deadline of its own.
package raster

import (
	"errors"
	"image"
	"math"

	"philtrum/templates/pdf/read"
)

// ErrPicture says that a picture on the page is of a kind that cannot be read (JBIG2 and JPEG 2000 are such).
var ErrPicture = errors.New("raster: a picture that cannot be read")

const (
	dotsPerPoint = 200.0 / 72
	longest      = 3400      // pixels of the longer side at most
	mostPixels   = 100 << 20 // of a picture
	deepest      = 12        // forms in forms
	mostSaved    = 256
)

// Page paints a page at 200 dots per inch, coarser if it is larger than 17 inches. The error is ErrPicture if a
// picture is missing from it, which then stands white; the page is painted all the same.
func Page(f *read.File, p read.Page) (*image.Gray, error) {
	box, ok := f.Box(p)
	if !ok {
		box = [4]float64{0, 0, 595, 842}
	}
	w, h := box[2]-box[0], box[3]-box[1]
	scale := min(dotsPerPoint, longest/max(w, h))
	c := &painter{file: f, out: image.NewGray(image.Rect(0, 0, max(int(w*scale), 1), max(int(h*scale), 1)))}
	for i := range c.out.Pix {
		c.out.Pix[i] = 255
	}
	content, err := f.Content(p)
	if err != nil {
		return c.out, err
	}
	c.now.to = matrix{scale, 0, 0, -scale, -box[0] * scale, box[3] * scale}
	c.run(content, p.Resources, 0)
	if c.missing {
		return c.out, ErrPicture
	}
	return c.out, nil
}

// matrix is a transformation as ISO 32000-1, 8.3.4 writes it.
type matrix [6]float64

func (m matrix) at(x, y float64) (float64, float64) {
	return m[0]*x + m[2]*y + m[4], m[1]*x + m[3]*y + m[5]
}

// after is n first and then m.
func (m matrix) after(n matrix) matrix {
	return matrix{
		m[0]*n[0] + m[2]*n[1], m[1]*n[0] + m[3]*n[1],
		m[0]*n[2] + m[2]*n[3], m[1]*n[2] + m[3]*n[3],
		m[0]*n[4] + m[2]*n[5] + m[4], m[1]*n[4] + m[3]*n[5] + m[5],
	}
}

// state is what q saves.
type state struct {
	to   matrix
	fill uint8
}

type painter struct {
	file    *read.File
	out     *image.Gray
	now     state
	saved   []state
	path    []segment
	x, y    float64 // where the path is, in its own coordinates
	missing bool
}

// run follows a content stream. What cannot be read of it ends it.
func (c *painter) run(content []byte, resources read.Dict, depth int) {
	ops, _ := read.Operations(content) // up to where it breaks
	for i := range ops {
		c.do(&ops[i], resources, depth)
	}
}

func (c *painter) do(op *read.Operation, resources read.Dict, depth int) {
	n := c.numbers(op.Operands)
	switch op.Operator {
	case "q":
		if len(c.saved) < mostSaved {
			c.saved = append(c.saved, c.now)
		}
	case "Q":
		if last := len(c.saved) - 1; last >= 0 {
			c.now, c.saved = c.saved[last], c.saved[:last]
		}
	case "cm":
		if len(n) == 6 {
			c.now.to = c.now.to.after(matrix(n))
		}
	case "g", "rg", "k", "sc", "scn":
		c.colour(n)
	case "Do":
		if len(op.Operands) == 1 {
			c.object(c.file.Dict(resources["XObject"]), op.Operands[0], resources, depth)
		}
	default:
		c.draw(op.Operator, n)
	}
}

// numbers are the operands, if all are numbers.
func (c *painter) numbers(operands []read.Object) []float64 {
	out := make([]float64, 0, len(operands))
	for _, o := range operands {
		v, ok := c.file.Number(o)
		if !ok || math.IsNaN(v) || math.Abs(v) > 1e6 {
			return nil
		}
		out = append(out, v)
	}
	return out
}

// colour sets the fill to the brightness of a colour of one, three or four parts.
func (c *painter) colour(n []float64) {
	v := 0.0
	switch len(n) {
	case 1:
		v = n[0]
	case 3:
		v = 0.299*n[0] + 0.587*n[1] + 0.114*n[2]
	case 4:
		v = 1 - min(1, 0.299*n[0]+0.587*n[1]+0.114*n[2]+n[3])
	default:
		return
	}
	c.now.fill = uint8(min(max(v, 0), 1)*255 + 0.5)
}

// object paints a form or a picture.
func (c *painter) object(named read.Dict, name read.Object, resources read.Dict, depth int) {
	key, _ := name.(read.Name)
	s, ok := c.file.Resolve(named[key]).(*read.Stream)
	if !ok || depth >= deepest {
		return
	}
	switch c.file.Name(s.Dict["Subtype"]) {
	case "Image":
		c.picture(s)
	case "Form":
		data, err := s.Data()
		if err != nil {
			return
		}
		before, saved := c.now, c.saved
		if m := c.numbers(c.file.Array(s.Dict["Matrix"])); len(m) == 6 {
			c.now.to = c.now.to.after(matrix(m))
		}
		if own := c.file.Dict(s.Dict["Resources"]); own != nil {
			resources = own
		}
		c.saved = nil
		c.run(data, resources, depth+1)
		c.now, c.saved = before, saved
	}
}
