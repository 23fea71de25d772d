// Package read finds codes on pictures: the code of a page on a scan of it, and the codes of a box on a
// photograph.
//
// Pictures come from outside and may be made to harm their reader. Sizes are bounded here ([ErrTooLarge]); time
// is not, so callers give a file a process and a deadline of its own.
package read

import (
	"image"
	"math"
	"slices"

	"github.com/makiuchi-d/gozxing"
	"github.com/makiuchi-d/gozxing/qrcode"

	"philtrum/templates/code"
)

// Found is a page whose code was found.
type Found struct {
	code.Page
	// Resolution is how many dots per inch the picture has, taken from the width of the code (20 mm); 0: not known.
	Resolution int
}

// longest is how many pixels the longer side of a picture keeps: an A4 page at 250 dots per inch, at which a
// module of a page's code is seven pixels wide.
const longest = 2900

// Pages gives the codes of our pages on a picture, each once, sorted. They may be turned, skewed, grainy and
// written on.
func Pages(picture *image.Gray) []Found {
	small, step := shrink(picture, longest)
	smooth := blur(small)
	found := locate(small, smooth)
	if len(found) == 0 && max(small.Rect.Dx(), small.Rect.Dy()) < longest/2 {
		large := double(small)
		if found = locate(large, blur(large)); len(found) > 0 {
			for i := range found {
				found[i].Resolution /= 2
			}
		}
	}
	for i := range found {
		found[i].Resolution *= step
	}
	if len(found) == 0 {
		found = photographed(small, smooth)
	}
	slices.SortFunc(found, byName)
	return found
}

func byName(a, b Found) int {
	switch {
	case a.Document != b.Document && a.Document < b.Document, a.Document == b.Document && a.Number < b.Number:
		return -1
	}
	return 1
}

// photographed looks for codes by the library's own ways, which take the slant of a photograph into account: all
// over the picture, and in parts of it.
func photographed(picture, smooth *image.Gray) []Found {
	views := []*gozxing.BinaryBitmap{local(picture), local(smooth), global(smooth)}
	for _, tile := range tiles(smooth.Rect) {
		views = append(views, local(cut(smooth, tile)))
	}
	reader := qrcode.NewQRCodeReader()
	var found []Found
	for _, view := range views {
		if view == nil {
			continue
		}
		result, err := reader.Decode(view, nil)
		if err != nil {
			continue
		}
		if p, ok := code.Parse(result.GetText()); ok {
			found = addFound(found, Found{Page: p})
		}
	}
	return found
}

func addFound(all []Found, f Found) []Found {
	if slices.ContainsFunc(all, func(g Found) bool { return g.Page == f.Page }) {
		return all
	}
	return append(all, f)
}

// resolution of a picture in which a module is so many pixels wide.
func resolution(module float64) int {
	const millimetres, inch = 20.0, 25.4
	return int(math.Round(module * code.Size / millimetres * inch))
}

// tiles are ninths of the picture that overlap by half.
func tiles(r image.Rectangle) []image.Rectangle {
	var all []image.Rectangle
	w, h := r.Dx()/4, r.Dy()/4
	for y := range 3 {
		for x := range 3 {
			at := image.Pt(r.Min.X+x*w, r.Min.Y+y*h)
			all = append(all, image.Rectangle{Min: at, Max: at.Add(image.Pt(2*w, 2*h))})
		}
	}
	return all
}

// local compares each pixel with its neighbourhood; nil for what is too small.
func local(g *image.Gray) *gozxing.BinaryBitmap {
	return bitmap(g, func(s gozxing.LuminanceSource) gozxing.Binarizer { return gozxing.NewHybridBinarizer(s) })
}

// global compares all pixels with one value.
func global(g *image.Gray) *gozxing.BinaryBitmap {
	return bitmap(g, func(s gozxing.LuminanceSource) gozxing.Binarizer { return gozxing.NewGlobalHistgramBinarizer(s) })
}

func bitmap(g *image.Gray, binarizer func(gozxing.LuminanceSource) gozxing.Binarizer) *gozxing.BinaryBitmap {
	w, h := g.Rect.Dx(), g.Rect.Dy()
	source, err := gozxing.NewPlanarYUVLuminanceSource(packed(g), w, h, 0, 0, w, h, false)
	if err != nil {
		return nil
	}
	out, err := gozxing.NewBinaryBitmap(binarizer(source))
	if err != nil {
		return nil
	}
	return out
}
