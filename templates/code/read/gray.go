package read

import (
	"image"
)

// packed are the pixels row by row without gaps.
func packed(g *image.Gray) []byte {
	w, h := g.Rect.Dx(), g.Rect.Dy()
	if g.Stride == w && len(g.Pix) >= w*h {
		return g.Pix[:w*h]
	}
	out := make([]byte, 0, w*h)
	for y := range h {
		out = append(out, g.Pix[y*g.Stride:y*g.Stride+w]...)
	}
	return out
}

// cut is a copy of a part of the picture, with its corner at the origin.
func cut(g *image.Gray, r image.Rectangle) *image.Gray {
	r = r.Intersect(g.Rect)
	if r == g.Rect && r.Min == (image.Point{}) {
		return g
	}
	out := image.NewGray(image.Rect(0, 0, r.Dx(), r.Dy()))
	for y := range r.Dy() {
		from := g.PixOffset(r.Min.X, r.Min.Y+y)
		copy(out.Pix[y*out.Stride:], g.Pix[from:from+r.Dx()])
	}
	return out
}

// shrink makes the longer side at most so many pixels, by whole steps: each pixel is the mean of a
// square of step by step.
func shrink(g *image.Gray, most int) (small *image.Gray, step int) {
	n := (max(g.Rect.Dx(), g.Rect.Dy()) + most - 1) / most
	if n <= 1 {
		return cut(g, g.Rect), 1
	}
	out := image.NewGray(image.Rect(0, 0, g.Rect.Dx()/n, g.Rect.Dy()/n))
	for y := range out.Rect.Dy() {
		for x := range out.Rect.Dx() {
			sum := 0
			for dy := range n {
				at := (y*n+dy)*g.Stride + x*n
				for _, v := range g.Pix[at : at+n] {
					sum += int(v)
				}
			}
			out.Pix[y*out.Stride+x] = uint8((sum + n*n/2) / (n * n))
		}
	}
	return out, n
}

// blur takes the mean of three by three pixels: grain goes, modules stay.
func blur(g *image.Gray) *image.Gray {
	w, h := g.Rect.Dx(), g.Rect.Dy()
	out := image.NewGray(image.Rect(0, 0, w, h))
	if w < 3 || h < 3 {
		copy(out.Pix, packed(g))
		return out
	}
	sums := make([]int, w)
	for y := range h {
		above, here, below := max(y-1, 0)*g.Stride, y*g.Stride, min(y+1, h-1)*g.Stride
		for x := range w {
			sums[x] = int(g.Pix[above+x]) + int(g.Pix[here+x]) + int(g.Pix[below+x])
		}
		row := out.Pix[y*out.Stride:]
		for x := range w {
			row[x] = uint8((sums[max(x-1, 0)] + sums[x] + sums[min(x+1, w-1)] + 4) / 9)
		}
	}
	return out
}

// double makes the picture twice as large, between pixels by their means.
func double(g *image.Gray) *image.Gray {
	w, h := g.Rect.Dx(), g.Rect.Dy()
	out := image.NewGray(image.Rect(0, 0, 2*w, 2*h))
	for y := range 2 * h {
		y0, y1 := y/2, min((y+1)/2, h-1)
		for x := range 2 * w {
			x0, x1 := x/2, min((x+1)/2, w-1)
			sum := int(g.Pix[y0*g.Stride+x0]) + int(g.Pix[y0*g.Stride+x1]) + int(g.Pix[y1*g.Stride+x0]) + int(g.Pix[y1*g.Stride+x1])
			out.Pix[y*out.Stride+x] = uint8((sum + 2) / 4)
		}
	}
	return out
}
