package raster

import (
	"image"
	"image/color"
	"math"

	"golang.org/x/image/vector"
)

// segment is a piece of a path in pixels: m, l, c or h.
type segment struct {
	verb   byte
	points [3][2]float64
}

const mostSegments = 1 << 18

// draw follows the operators that make and paint paths (ISO 32000-1, 8.5). Strokes are left out: no code is drawn
// with them.
func (c *painter) draw(operator string, n []float64) {
	switch operator {
	case "m", "l":
		if len(n) == 2 {
			c.add(operator[0], n)
		}
	case "c":
		if len(n) == 6 {
			c.add('c', n)
		}
	case "v":
		if len(n) == 4 {
			c.add('c', append([]float64{c.x, c.y}, n...))
		}
	case "y":
		if len(n) == 4 {
			c.add('c', append(n, n[2], n[3]))
		}
	case "h":
		c.add('h', nil)
	case "re":
		if len(n) == 4 {
			x, y, w, h := n[0], n[1], n[2], n[3]
			c.add('m', []float64{x, y})
			c.add('l', []float64{x + w, y})
			c.add('l', []float64{x + w, y + h})
			c.add('l', []float64{x, y + h})
			c.add('h', nil)
		}
	case "f", "F", "f*", "B", "B*", "b", "b*":
		c.fill()
		c.path = c.path[:0]
	case "n", "S", "s":
		c.path = c.path[:0]
	}
}

func (c *painter) add(verb byte, n []float64) {
	if len(c.path) >= mostSegments {
		return
	}
	s := segment{verb: verb}
	for i := 0; i+1 < len(n); i += 2 {
		c.x, c.y = n[i], n[i+1]
		s.points[i/2][0], s.points[i/2][1] = c.now.to.at(c.x, c.y)
	}
	c.path = append(c.path, s)
}

// fill paints the inside of the path. Only its own part of the page is worked on, since a page can have thousands.
func (c *painter) fill() {
	box := c.bounds()
	if box.Empty() {
		return
	}
	r := vector.NewRasterizer(box.Dx(), box.Dy())
	point := func(p [2]float64) (float32, float32) {
		return float32(p[0] - float64(box.Min.X)), float32(p[1] - float64(box.Min.Y))
	}
	for i := range c.path {
		s := &c.path[i]
		x, y := point(s.points[0])
		switch s.verb {
		case 'm':
			r.MoveTo(x, y)
		case 'l':
			r.LineTo(x, y)
		case 'c':
			x2, y2 := point(s.points[1])
			x3, y3 := point(s.points[2])
			r.CubeTo(x, y, x2, y2, x3, y3)
		case 'h':
			r.ClosePath()
		}
	}
	r.Draw(c.out, box, image.NewUniform(color.Gray{Y: c.now.fill}), image.Point{})
}

// bounds is the part of the page that the path covers.
func (c *painter) bounds() image.Rectangle {
	x0, y0, x1, y1 := math.Inf(1), math.Inf(1), math.Inf(-1), math.Inf(-1)
	for i := range c.path {
		s := &c.path[i]
		n := 1
		switch s.verb {
		case 'c':
			n = 3
		case 'h':
			n = 0
		}
		for _, p := range s.points[:n] {
			x0, y0, x1, y1 = min(x0, p[0]), min(y0, p[1]), max(x1, p[0]), max(y1, p[1])
		}
	}
	return within(x0, y0, x1, y1, c.out.Rect)
}

// within are the pixels that a rectangle touches on the page. A path that reaches far beyond it is painted where
// the page is; what the rasteriser is given is never larger than the page.
func within(x0, y0, x1, y1 float64, page image.Rectangle) image.Rectangle {
	if !(x0 <= x1 && y0 <= y1) {
		return image.Rectangle{}
	}
	clip := func(v float64, most int) int { return int(min(max(v, 0), float64(most))) }
	return image.Rect(clip(math.Floor(x0), page.Dx()), clip(math.Floor(y0), page.Dy()),
		clip(math.Ceil(x1), page.Dx()), clip(math.Ceil(y1), page.Dy()))
}
