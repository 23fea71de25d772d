// Package worn makes scans of pages as they come from a desk: turned, grainy, and with pen strokes all over. Tests
// and trials import it, nothing else.
package worn

import (
	"image"
	"math"
	"math/rand/v2"
)

// Wear is what becomes of a page.
type Wear struct {
	Degrees float64
	Sigma   float64 // of the noise, in steps of 256
	Pen     float64 // share of the page under strokes
}

// Page writes on a page, turns it and adds noise, all from one source of chance.
func Page(page *image.Gray, w Wear, random *rand.Rand) *image.Gray {
	out := Turn(scribble(page, w.Pen, random), w.Degrees)
	Grain(out, w.Sigma, random)
	return out
}

// Grain adds noise to a picture.
func Grain(g *image.Gray, sigma float64, random *rand.Rand) {
	for i, v := range g.Pix {
		g.Pix[i] = clamp(float64(v) + random.NormFloat64()*sigma)
	}
}

func clamp(v float64) uint8 { return uint8(math.Round(min(max(v, 0), 255))) }

// scribble draws strokes of a pen until they cover the share of the page: curves as of signatures and notes, a
// third to a full millimetre wide.
func scribble(page *image.Gray, share float64, random *rand.Rand) *image.Gray {
	w, h := page.Rect.Dx(), page.Rect.Dy()
	out := image.NewGray(page.Rect)
	copy(out.Pix, page.Pix)
	under := make([]bool, w*h)
	covered, want := 0, int(share*float64(w*h))
	millimetre := float64(w) / 210
	for covered < want {
		x, y := random.Float64()*float64(w), random.Float64()*float64(h)
		heading, bend := random.Float64()*2*math.Pi, 0.0
		radius := (0.17 + 0.33*random.Float64()) * millimetre
		ink := uint8(20 + random.IntN(70))
		for range int((10 + 50*random.Float64()) * millimetre) {
			bend += (random.Float64() - 0.5) * 0.02
			bend *= 0.97
			heading += bend
			x, y = x+math.Cos(heading), y+math.Sin(heading)
			covered += dab(out, under, x, y, radius, ink)
		}
	}
	return out
}

// dab puts ink in a disc and gives how many pixels were not inked before.
func dab(g *image.Gray, under []bool, x, y, radius float64, ink uint8) int {
	fresh := 0
	for py := int(y - radius); py <= int(y+radius)+1; py++ {
		for px := int(x - radius); px <= int(x+radius)+1; px++ {
			if !(image.Point{px, py}).In(g.Rect) || math.Hypot(float64(px)-x, float64(py)-y) > radius {
				continue
			}
			if at := py*g.Rect.Dx() + px; !under[at] {
				under[at] = true
				fresh++
			}
			g.Pix[g.PixOffset(px, py)] = min(g.Pix[g.PixOffset(px, py)], ink)
		}
	}
	return fresh
}

// Turn turns a page about its middle, on a sheet as large as the scanner makes it: corners that leave it are lost,
// what was beyond the paper is white.
func Turn(g *image.Gray, degrees float64) *image.Gray {
	w, h := g.Rect.Dx(), g.Rect.Dy()
	ow, oh := w, h
	if quarter := math.Mod(math.Abs(degrees), 180); quarter > 45 && quarter < 135 {
		ow, oh = h, w
	}
	out := image.NewGray(image.Rect(0, 0, ow, oh))
	sin, cos := math.Sincos(degrees * math.Pi / 180)
	for y := range oh {
		for x := range ow {
			dx, dy := float64(x)+0.5-float64(ow)/2, float64(y)+0.5-float64(oh)/2
			out.Pix[y*out.Stride+x] = at(g, cos*dx+sin*dy+float64(w)/2-0.5, -sin*dx+cos*dy+float64(h)/2-0.5)
		}
	}
	return out
}

// at takes a value between pixels.
func at(g *image.Gray, x, y float64) uint8 {
	x0, y0 := int(math.Floor(x)), int(math.Floor(y))
	fx, fy := x-float64(x0), y-float64(y0)
	pixel := func(px, py int) float64 {
		if px < 0 || py < 0 || px >= g.Rect.Dx() || py >= g.Rect.Dy() {
			return 255
		}
		return float64(g.Pix[py*g.Stride+px])
	}
	top := pixel(x0, y0)*(1-fx) + pixel(x0+1, y0)*fx
	bottom := pixel(x0, y0+1)*(1-fx) + pixel(x0+1, y0+1)*fx
	return clamp(top*(1-fy) + bottom*fy)
}
