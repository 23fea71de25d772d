package raster

import (
	"bytes"
	"image"
	"image/color"
	"image/draw"
	"image/jpeg"
	"math"

	"philtrum/templates/pdf/read"
)

// picture paints a picture into the unit square of the present transformation.
func (c *painter) picture(s *read.Stream) {
	if stencil, _ := c.file.Resolve(s.Dict["ImageMask"]).(bool); stencil {
		if g := c.samples(s, 1, 1, nil); g != nil {
			c.place(g, true)
			return
		}
	} else if g := c.decode(s); g != nil {
		c.place(g, false)
		return
	}
	c.missing = true
}

// decode gives a picture in grey, nil if it cannot.
func (c *painter) decode(s *read.Stream) *image.Gray {
	raw, filters := s.Raw()
	if len(filters) == 1 && filters[0] == "DCTDecode" {
		size, err := jpeg.DecodeConfig(bytes.NewReader(raw))
		if err != nil || size.Width <= 0 || size.Height <= 0 || size.Width > mostPixels/size.Height {
			return nil
		}
		decoded, err := jpeg.Decode(bytes.NewReader(raw))
		if err != nil {
			return nil
		}
		return grey(decoded)
	}
	bits, _ := c.file.Int(s.Dict["BitsPerComponent"])
	parts, palette := c.space(s.Dict["ColorSpace"], 0)
	return c.samples(s, bits, parts, palette)
}

func grey(p image.Image) *image.Gray {
	if y, ok := p.(*image.YCbCr); ok {
		return &image.Gray{Pix: y.Y, Stride: y.YStride, Rect: y.Rect}
	}
	out := image.NewGray(image.Rect(0, 0, p.Bounds().Dx(), p.Bounds().Dy()))
	draw.Draw(out, out.Rect, p, p.Bounds().Min, draw.Src)
	return out
}

// space is how many parts a colour has, and its palette in grey if it is indexed; no parts if it is not known.
func (c *painter) space(o read.Object, depth int) (parts int, palette []uint8) {
	name := c.file.Name(o)
	a := c.file.Array(o)
	if len(a) > 0 {
		name = c.file.Name(a[0])
	}
	switch name {
	case "DeviceGray", "CalGray", "G":
		return 1, nil
	case "DeviceRGB", "CalRGB", "RGB", "Lab":
		return 3, nil
	case "DeviceCMYK", "CMYK":
		return 4, nil
	case "ICCBased":
		if len(a) == 2 {
			n, _ := c.file.Int(c.file.Dict(a[1])["N"])
			return n, nil
		}
	case "Indexed", "I":
		if len(a) == 4 && depth == 0 {
			base, _ := c.space(a[1], depth+1)
			return 1, c.palette(a[3], base)
		}
	}
	return 0, nil
}

func (c *painter) palette(o read.Object, parts int) []uint8 {
	var table []byte
	switch v := c.file.Resolve(o).(type) {
	case read.String:
		table = []byte(v)
	case *read.Stream:
		table, _ = v.Data()
	}
	out := []uint8{}
	for i := 0; parts > 0 && i+parts <= len(table) && len(out) < 256; i += parts {
		out = append(out, brightness(table[i:i+parts]))
	}
	return out
}

// brightness of a colour of one, three or four parts of 256 steps.
func brightness(v []byte) uint8 {
	switch len(v) {
	case 1:
		return v[0]
	case 3:
		return uint8((299*int(v[0]) + 587*int(v[1]) + 114*int(v[2])) / 1000)
	case 4:
		return uint8(255 - min(255, (299*int(v[0])+587*int(v[1])+114*int(v[2]))/1000+int(v[3])))
	}
	return 255
}

// samples reads a picture that is not compressed, or by filters that give its samples.
func (c *painter) samples(s *read.Stream, bits, parts int, palette []uint8) *image.Gray {
	w, _ := c.file.Int(s.Dict["Width"])
	h, _ := c.file.Int(s.Dict["Height"])
	if w <= 0 || h <= 0 || w > mostPixels/h || parts < 1 || parts > 4 || parts == 2 {
		return nil
	}
	if bits != 1 && bits != 2 && bits != 4 && bits != 8 && bits != 16 {
		return nil
	}
	data, err := s.Data()
	row := (w*parts*bits + 7) / 8
	if err != nil || len(data) < row {
		return nil
	}
	inverted := false
	if d := c.numbers(c.file.Array(s.Dict["Decode"])); len(d) >= 2 {
		inverted = d[0] > d[1]
	}
	out := image.NewGray(image.Rect(0, 0, w, h))
	for i := range out.Pix {
		out.Pix[i] = 255
	}
	colour := make([]byte, parts)
	for y := 0; y < h && (y+1)*row <= len(data); y++ {
		line := data[y*row:]
		for x := range w {
			for i := range parts {
				colour[i] = sample(line, x*parts+i, bits, palette != nil)
				if inverted && palette == nil {
					colour[i] = ^colour[i]
				}
			}
			v := brightness(colour)
			if palette != nil {
				if int(colour[0]) >= len(palette) {
					continue
				}
				v = palette[colour[0]]
			}
			out.Pix[y*out.Stride+x] = v
		}
	}
	return out
}

// sample is a sample of a row, spread to 256 steps unless it is an index.
func sample(row []byte, i, bits int, index bool) byte {
	switch bits {
	case 8:
		return row[i]
	case 16:
		return row[2*i]
	}
	at := i * bits
	v := row[at/8] >> (8 - bits - at%8) & (1<<bits - 1)
	if index {
		return v
	}
	return byte(int(v) * 255 / (1<<bits - 1))
}

// place paints a picture; a stencil is the present colour where it is dark. Each pixel of the page takes the mean
// of what it covers.
func (c *painter) place(g *image.Gray, stencil bool) {
	m := c.now.to
	det := m[0]*m[3] - m[1]*m[2]
	if math.Abs(det) < 1e-9 {
		return
	}
	x0, y0, x1, y1 := math.Inf(1), math.Inf(1), math.Inf(-1), math.Inf(-1)
	for _, p := range [][2]float64{{0, 0}, {1, 0}, {0, 1}, {1, 1}} {
		x, y := m.at(p[0], p[1])
		x0, y0, x1, y1 = min(x0, x), min(y0, y), max(x1, x), max(y1, y)
	}
	box := within(x0, y0, x1, y1, c.out.Rect)
	w, h := float64(g.Rect.Dx()), float64(g.Rect.Dy())
	// Pixels of the picture that one pixel of the page spans, across and down.
	span := func(p, q float64, n float64) int { return int(max(1, math.Round(math.Hypot(p, q)*n/math.Abs(det)))) }
	across, down := span(m[3], m[2], w), span(m[1], m[0], h)
	for y := box.Min.Y; y < box.Max.Y; y++ {
		for x := box.Min.X; x < box.Max.X; x++ {
			dx, dy := float64(x)+0.5-m[4], float64(y)+0.5-m[5]
			u, v := (m[3]*dx-m[2]*dy)/det, (m[0]*dy-m[1]*dx)/det
			if u < 0 || v < 0 || u >= 1 || v >= 1 {
				continue
			}
			value := mean(g, int(u*w), int((1-v)*h), across, down)
			if stencil {
				have := int(c.out.Pix[y*c.out.Stride+x])
				value = uint8((have*int(value) + int(c.now.fill)*(255-int(value))) / 255)
			}
			c.out.SetGray(x, y, color.Gray{Y: value})
		}
	}
}

// mean of a rectangle of pixels about (x, y).
func mean(g *image.Gray, x, y, across, down int) uint8 {
	r := image.Rect(x-across/2, y-down/2, x-across/2+across, y-down/2+down)
	r = r.Add(g.Rect.Min).Intersect(g.Rect)
	sum, n := 0, 0
	for py := r.Min.Y; py < r.Max.Y; py++ {
		at := g.PixOffset(r.Min.X, py)
		for _, v := range g.Pix[at : at+r.Dx()] {
			sum += int(v)
			n++
		}
	}
	if n == 0 {
		return 255
	}
	return uint8(sum / n)
}
