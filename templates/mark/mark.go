// Package mark reads a clinic's mark, an SVG or PNG file, into a drawing.
//
// Whoever sends a file may mean harm, so every file is bounded: in bytes, pixels, elements and steps of paths.
// Nothing in it is fetched, run or expanded. Of SVG 1.1 a plain subset is read (README.md); what lies outside
// of it is a problem that names it, never a mark with a part missing.
package mark

import (
	"bytes"
	"fmt"
	"image"
	"image/color"
	"image/png"
	"math"

	"philtrum/forms/source"
	"philtrum/templates/layout"
)

// Bounds of a file.
const (
	MaxBytes    = 256 << 10
	MaxPixels   = 4_000_000 // of a PNG as it is kept
	MaxElements = 400
	MaxSteps    = 20_000 // of all paths
	maxDepth    = 16
)

// printed is the longest side of a picture in print, in pixels: 14 mm at 300 dots an inch are 165 high, and a
// mark is rarely more than three times as wide.
const printed = 420

// Read reads a mark. The problems say what is wrong with the file, by its name; the drawing is nil then.
func Read(file string, data []byte) (*layout.Drawing, source.Problems) {
	switch {
	case len(data) > MaxBytes:
		return nil, refused(file, "mark.too_large", "most", MaxBytes>>10)
	case bytes.HasPrefix(data, []byte("\x89PNG\r\n\x1a\n")):
		return readPNG(file, data)
	case bytes.Contains(data[:min(len(data), 2048)], []byte("<svg")):
		return readSVG(file, data)
	}
	return nil, refused(file, "mark.unknown_kind")
}

func refused(file, id string, pairs ...any) source.Problems {
	args := map[string]any{}
	for i := 0; i+1 < len(pairs); i += 2 {
		args[pairs[i].(string)] = fmt.Sprint(pairs[i+1])
	}
	return source.Problems{{ID: id, Args: args, Span: source.Span{File: file}}}
}

// readPNG reads a picture; what is transparent is white, since paper is.
func readPNG(file string, data []byte) (*layout.Drawing, source.Problems) {
	c, err := png.DecodeConfig(bytes.NewReader(data))
	if err != nil {
		return nil, refused(file, "mark.unreadable")
	}
	if c.Width < 1 || c.Height < 1 || int64(c.Width)*int64(c.Height) > MaxPixels {
		return nil, refused(file, "mark.too_many_pixels", "most", MaxPixels/1_000_000)
	}
	whole, err := png.Decode(bytes.NewReader(data))
	if err != nil {
		return nil, refused(file, "mark.unreadable")
	}
	p := smaller(whole)
	return &layout.Drawing{
		Width: layout.Length(p.Width) * layout.Pt, Height: layout.Length(p.Height) * layout.Pt,
		Shapes: []layout.Shape{{Pixels: p}},
	}, nil
}

// smaller averages a picture down to what a printer can show. It counts in whole numbers, so that every
// machine comes to the same bytes.
func smaller(whole image.Image) *layout.Pixels {
	b := whole.Bounds()
	w, h := b.Dx(), b.Dy()
	if most := max(w, h); most > printed {
		w, h = max(w*printed/most, 1), max(h*printed/most, 1)
	}
	p := &layout.Pixels{Width: w, Height: h, RGB: make([]byte, 0, 3*w*h)}
	for y := range h {
		for x := range w {
			cell := image.Rect(x*b.Dx()/w, y*b.Dy()/h, (x+1)*b.Dx()/w, (y+1)*b.Dy()/h).Add(b.Min)
			p.RGB = append(p.RGB, average(whole, cell)...)
		}
	}
	return p
}

func average(whole image.Image, cell image.Rectangle) []byte {
	var sum [3]uint64
	n := uint64(0)
	for y := cell.Min.Y; y < cell.Max.Y; y++ {
		for x := cell.Min.X; x < cell.Max.X; x++ {
			c := color.RGBA64Model.Convert(whole.At(x, y)).(color.RGBA64)
			white := uint64(0xffff - c.A) // colours are multiplied by their alpha already
			for i, v := range [3]uint16{c.R, c.G, c.B} {
				sum[i] += uint64(v) + white
			}
			n++
		}
	}
	out := make([]byte, 3)
	for i := range out {
		out[i] = byte(min((sum[i]/max(n, 1)+128)/257, 255))
	}
	return out
}

// length rounds points to hundredths, far coarser than processors differ in.
func length(v float64) layout.Length { return layout.Length(math.Round(v*100)) * 10 }
