package read

import (
	"cmp"
	"image"
	"math"
	"slices"

	"github.com/makiuchi-d/gozxing"
	"github.com/makiuchi-d/gozxing/datamatrix"
	"github.com/makiuchi-d/gozxing/oned"
	"github.com/makiuchi-d/gozxing/qrcode"
)

// Symbol is a code on a photograph of a box.
type Symbol struct {
	// Text is what the code says, as a scanner would send it: with the separator of GS1 (GS, 0x1d) where the
	// symbol has one, and without the sign that begins such a symbol.
	Text string
	Kind string // data_matrix, qr or code_128
}

// Sizes at which a photograph is looked at, and how many parts of it are searched for a Data Matrix.
const (
	photoSide = 1600
	partSide  = 320
	mostParts = 14
)

// Symbols gives the codes on a photograph, each once. It is made for one box, more or less sharp and more or less
// filling the picture; README.md says how often it succeeds.
func Symbols(picture *image.Gray) []Symbol {
	small, _ := shrink(picture, photoSide)
	smooth := blur(small)
	var all []Symbol
	add := func(s Symbol) {
		if !slices.ContainsFunc(all, func(t Symbol) bool { return t.Text == s.Text }) {
			all = append(all, s)
		}
	}
	for _, p := range []*image.Gray{small, smooth} {
		if s, ok := readBy(qrcode.NewQRCodeReader(), local(p)); ok {
			add(s)
		}
	}
	for _, s := range matrices(smooth) {
		add(s)
	}
	if len(all) == 0 {
		for _, s := range bars(small, smooth) {
			add(s)
		}
	}
	return all
}

// bars finds codes of bars. One line of pixels is all that such a code needs, so that print, or a line that slips
// from a code into something else, reads as another code now and then: a code counts once it was read twice, in
// different lights or at different angles.
func bars(small, smooth *image.Gray) []Symbol {
	softer := blur(smooth)
	var seen, twice []Symbol
	for n, degrees := range []float64{0, 90, 5, 95, -5, 85, 13, 103, -13, 77, 22, 112, -22, 68} {
		pictures := []*image.Gray{smooth, softer, small}
		readers := []gozxing.Reader{oned.NewCode128Reader()} // retail codes and ITF are found in print by accident
		if n > 1 {                                           // turned ones take long
			pictures = pictures[:2]
		}
		for _, p := range pictures {
			bitmap := local(tilted(p, degrees))
			for _, r := range readers {
				s, ok := readBy(r, bitmap)
				switch {
				case !ok:
				case !slices.Contains(seen, s):
					seen = append(seen, s)
				case !slices.Contains(twice, s):
					twice = append(twice, s)
				}
			}
			if len(twice) > 0 {
				return twice
			}
		}
	}
	return nil
}

// tilted turns a picture: a quarter in a frame of the other shape, the rest in the same frame.
func tilted(g *image.Gray, degrees float64) *image.Gray {
	if degrees > 45 {
		out := image.NewGray(image.Rect(0, 0, g.Rect.Dy(), g.Rect.Dx()))
		for y := range g.Rect.Dy() {
			for x := range g.Rect.Dx() {
				out.Pix[x*out.Stride+g.Rect.Dy()-1-y] = g.Pix[y*g.Stride+x]
			}
		}
		g, degrees = out, degrees-90
	}
	if degrees == 0 {
		return g
	}
	return rotate(g, degrees)
}

var kinds = map[gozxing.BarcodeFormat]string{
	gozxing.BarcodeFormat_QR_CODE: "qr", gozxing.BarcodeFormat_DATA_MATRIX: "data_matrix",
	gozxing.BarcodeFormat_CODE_128: "code_128",
}

var hints = map[gozxing.DecodeHintType]any{gozxing.DecodeHintType_TRY_HARDER: true, gozxing.DecodeHintType_ASSUME_GS1: true}

func readBy(r gozxing.Reader, bitmap *gozxing.BinaryBitmap) (s Symbol, ok bool) {
	defer func() { // the library indexes beyond some damaged symbols
		if recover() != nil {
			ok = false
		}
	}()
	if bitmap == nil {
		return Symbol{}, false
	}
	result, err := r.Decode(bitmap, hints)
	if err != nil || result.GetText() == "" {
		return Symbol{}, false
	}
	return Symbol{trimGS1(result.GetText()), kinds[result.GetBarcodeFormat()]}, true
}

// trimGS1 takes off the sign that begins a symbol of GS1 (its symbology identifier, or the separator itself).
func trimGS1(text string) string {
	for _, begin := range []string{"]d2", "]C1", "]Q3", "\x1d"} {
		if len(text) > len(begin) && text[:len(begin)] == begin {
			return text[len(begin):]
		}
	}
	return text
}

// matrices finds Data Matrix symbols. The library finds one only in the middle of a picture and upright, so the
// picture is cut into parts, those with most edges first, and each part is turned.
func matrices(picture *image.Gray) []Symbol {
	var all []Symbol
	reader := datamatrix.NewDataMatrixReader()
	for _, part := range busiest(picture) {
		found := false
		for _, degrees := range []float64{0, 45, 15, -15, 30, -30} {
			turned := part
			if degrees != 0 {
				turned = rotate(part, degrees)
			}
			for _, bitmap := range []*gozxing.BinaryBitmap{local(turned), global(turned)} {
				if s, ok := readBy(reader, bitmap); ok {
					all, found = append(all, s), true
					break
				}
			}
			if found {
				break
			}
		}
		if found {
			break // one symbol is what a box has
		}
	}
	return all
}

// busiest are parts of the picture about the places with most edges across and down alike: print has them, and
// two-dimensional codes have most.
func busiest(g *image.Gray) []*image.Gray {
	const cell = 16
	w, h := g.Rect.Dx()/cell, g.Rect.Dy()/cell
	if w < 2 || h < 2 {
		return []*image.Gray{g}
	}
	score := make([]float64, w*h)
	for y := range h {
		for x := range w {
			score[y*w+x] = edges(g, image.Rect(x*cell, y*cell, (x+1)*cell, (y+1)*cell))
		}
	}
	type place struct {
		x, y  int
		score float64
	}
	var places []place
	for y := range h {
		for x := range w {
			sum := 0.0 // of a square of five cells, so that the middle of a symbol wins
			for dy := -2; dy <= 2; dy++ {
				for dx := -2; dx <= 2; dx++ {
					if at := image.Pt(x+dx, y+dy); at.In(image.Rect(0, 0, w, h)) {
						sum += score[at.Y*w+at.X]
					}
				}
			}
			places = append(places, place{x, y, sum})
		}
	}
	slices.SortStableFunc(places, func(a, b place) int { return cmp.Compare(b.score, a.score) })
	var parts []*image.Gray
	var taken []place
	for _, p := range places {
		if len(parts) == mostParts {
			break
		}
		if slices.ContainsFunc(taken, func(q place) bool { return max(p.x-q.x, q.x-p.x) <= 1 && max(p.y-q.y, q.y-p.y) <= 1 }) {
			continue
		}
		taken = append(taken, p)
		middle := image.Pt(p.x*cell+cell/2, p.y*cell+cell/2)
		half := image.Pt(partSide/2, partSide/2)
		parts = append(parts, around(g, image.Rectangle{Min: middle.Sub(half), Max: middle.Add(half)}))
	}
	return parts
}

// edges is the lesser of the edges across and down in a cell.
func edges(g *image.Gray, r image.Rectangle) float64 {
	across, down := 0, 0
	for y := r.Min.Y; y < r.Max.Y-1; y++ {
		for x := r.Min.X; x < r.Max.X-1; x++ {
			at := y*g.Stride + x
			v := int(g.Pix[at])
			across += max(v-int(g.Pix[at+1]), int(g.Pix[at+1])-v)
			down += max(v-int(g.Pix[at+g.Stride]), int(g.Pix[at+g.Stride])-v)
		}
	}
	return float64(min(across, down))
}

// around is a part of the picture with white beyond its border.
func around(g *image.Gray, r image.Rectangle) *image.Gray {
	out := image.NewGray(image.Rect(0, 0, r.Dx(), r.Dy()))
	for i := range out.Pix {
		out.Pix[i] = 255
	}
	inside := r.Intersect(g.Rect)
	for y := inside.Min.Y; y < inside.Max.Y; y++ {
		from := g.PixOffset(inside.Min.X, y)
		copy(out.Pix[(y-r.Min.Y)*out.Stride+inside.Min.X-r.Min.X:], g.Pix[from:from+inside.Dx()])
	}
	return out
}

// rotate turns a picture about its middle in a frame of the same size.
func rotate(g *image.Gray, degrees float64) *image.Gray {
	w, h := g.Rect.Dx(), g.Rect.Dy()
	out := image.NewGray(image.Rect(0, 0, w, h))
	sin, cos := math.Sincos(degrees * math.Pi / 180)
	for y := range h {
		for x := range w {
			dx, dy := float64(x)-float64(w)/2, float64(y)-float64(h)/2
			out.Pix[y*out.Stride+x] = uint8(value(g, cos*dx+sin*dy+float64(w)/2, -sin*dx+cos*dy+float64(h)/2))
		}
	}
	return out
}
