package pdf

import (
	"encoding/hex"
	"strconv"
	"sync"

	"philtrum/templates/layout"
)

// drawingKey says which bytes of a drawing may be used again.
type drawingKey struct {
	name          string
	width, height layout.Length
	ink, accent   [3]uint8
}

// drawingCache keeps the bytes of named drawings. It is bounded: a program that runs for months meets
// every drawing it has, and no more.
type drawingCache struct {
	mu   sync.Mutex
	made map[drawingKey][]byte
}

const maxDrawings = 64

func (c *drawingCache) get(k drawingKey) ([]byte, bool) {
	c.mu.Lock()
	defer c.mu.Unlock()
	b, ok := c.made[k]
	return b, ok
}

func (c *drawingCache) put(k drawingKey, b []byte) {
	c.mu.Lock()
	defer c.mu.Unlock()
	if c.made == nil || len(c.made) >= maxDrawings {
		c.made = make(map[drawingKey][]byte)
	}
	c.made[k] = b
}

// drawing paints d scaled to r.
func (c *canvas) drawing(d *layout.Drawing, r layout.Rect) {
	if d == nil || d.Width <= 0 || d.Height <= 0 {
		return
	}
	key := drawingKey{d.Name, d.Width, d.Height, c.sheet.TextInk, c.sheet.Accent}
	shapes, ok := []byte(nil), false
	if d.Name != "" {
		shapes, ok = c.press.drawings.get(key)
	}
	if !ok {
		shapes = c.shapes(d)
		if d.Name != "" {
			c.press.drawings.put(key, shapes)
		}
	}
	// The drawing counts down from its top left corner, the page up from its bottom left one.
	b := append(c.raw, "q "...)
	b = appendRatio(b, r.Width, d.Width)
	b = append(b, " 0 0 -"...)
	b = appendRatio(b, r.Height, d.Height)
	b = append(b, ' ')
	b = appendLength(b, r.X)
	b = append(b, ' ')
	b = appendLength(b, c.height-r.Y)
	b = append(b, " cm\n"...)
	b = append(b, shapes...)
	c.raw = append(b, "Q\n"...)
}

// appendRatio appends a / b to six decimals, rounded half up.
func appendRatio(dst []byte, a, b layout.Length) []byte {
	const unit = 1_000_000
	return appendDecimal(dst, (2*int64(max(a, 0))*unit+int64(b))/(2*int64(b)), 6)
}

// shapes writes the shapes of d in its own coordinates.
func (c *canvas) shapes(d *layout.Drawing) []byte {
	b := []byte("1 J 1 j\n")
	for i := range d.Shapes {
		s := &d.Shapes[i]
		if s.Pixels != nil {
			b = appendPixels(b, s.Pixels, d.Width, d.Height)
			continue
		}
		op := paint(s)
		if op == "" || len(s.Path) == 0 {
			continue
		}
		if s.Fill > 0 || s.White {
			colour := c.shade(s, s.Fill)
			if s.White {
				colour = white
			}
			b = append(appendColour(b, colour), " rg\n"...)
		}
		if s.Stroke > 0 {
			b = append(appendColour(b, c.shade(s, s.Grey)), " RG "...)
			b = append(appendLength(b, s.Stroke), " w "...)
			b = append(b, '[')
			if s.Dash > 0 {
				b = appendLength(b, s.Dash)
			}
			b = append(b, "] 0 d\n"...)
		}
		b = append(appendPath(b, s.Path), op...)
	}
	return b
}

// shade is the colour of a shape at a darkness, or its own.
func (c *canvas) shade(s *layout.Shape, percent uint8) [3]uint8 {
	if s.Own {
		return s.Colour
	}
	return c.colour(s.Accent, percent)
}

// appendPixels paints a picture over a drawing that counts down from its top. It is an image within the page
// (ISO 32000-1, 8.9.7), so that no object is needed for it; in hexadecimal, no byte of it can look like its end.
func appendPixels(b []byte, p *layout.Pixels, width, height layout.Length) []byte {
	b = append(appendLength(append(b, "q "...), width), " 0 0 -"...)
	b = append(appendLength(b, height), " 0 "...)
	b = append(appendLength(b, height), " cm\nBI /W "...)
	b = append(strconv.AppendInt(b, int64(p.Width), 10), " /H "...)
	b = append(strconv.AppendInt(b, int64(p.Height), 10), " /CS /RGB /BPC 8 /F /AHx ID "...)
	b = hex.AppendEncode(b, p.RGB)
	return append(b, ">\nEI Q\n"...)
}

func paint(s *layout.Shape) string {
	fill, stroke := s.Fill > 0 || s.White, s.Stroke > 0
	switch {
	case fill && s.EvenOdd && stroke:
		return "B*\n"
	case fill && s.EvenOdd:
		return "f*\n"
	case fill && stroke:
		return "B\n"
	case fill:
		return "f\n"
	case stroke:
		return "S\n"
	}
	return ""
}

func appendPath(b []byte, path []layout.Segment) []byte {
	for _, s := range path {
		n, op := 1, "l\n"
		switch s.Verb {
		case layout.MoveTo:
			op = "m\n"
		case layout.CurveTo:
			n, op = 3, "c\n"
		case layout.ClosePath:
			n, op = 0, "h\n"
		}
		for _, p := range s.Points[:n] {
			b = append(appendLength(b, p.X), ' ')
			b = append(appendLength(b, p.Y), ' ')
		}
		b = append(b, op...)
	}
	return b
}
