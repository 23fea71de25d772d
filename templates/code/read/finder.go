package read

import (
	"image"
	"math"
	"slices"
)

// finder is the likely middle of a finder pattern, one of the three squares in the corners of a QR code.
type finder struct {
	x, y   float64
	module float64 // width of a module in pixels
	votes  int     // rows and columns of pixels that cross it as they should
}

// mostFinders bounds how many are tried; a page of text has a few by accident, each with few votes.
const mostFinders = 24

// finders gives the likely finder patterns of a picture, best first. A row of pixels through the middle of one
// is dark, light, dark, light, dark in the widths 1, 1, 3, 1, 1 (ISO/IEC 18004, 6.3.3), and so is a column. Where
// a pen has crossed it, some rows or columns still are: each that is votes.
func finders(dark []bool, w, h int) []finder {
	var all []finder
	for y := range h {
		for _, hit := range crossings(func(i int) bool { return dark[y*w+i] }, w) {
			all = vote(all, finder{hit.at, float64(y), hit.module, 1})
		}
	}
	for x := range w {
		for _, hit := range crossings(func(i int) bool { return dark[i*w+x] }, h) {
			all = vote(all, finder{float64(x), hit.at, hit.module, 1})
		}
	}
	all = slices.DeleteFunc(all, func(f finder) bool { return f.votes < 2 })
	slices.SortStableFunc(all, func(a, b finder) int { return b.votes - a.votes })
	return all[:min(len(all), mostFinders)]
}

// crossing is where a line of pixels crosses something like a finder pattern.
type crossing struct{ at, module float64 }

func crossings(dark func(int) bool, n int) []crossing {
	var found []crossing
	var runs [5]int // lengths of the last five runs; the last one is dark
	start, last := 0, dark(0)
	for i := 1; i <= n; i++ {
		if i < n && dark(i) == last {
			continue
		}
		copy(runs[:], runs[1:])
		runs[4] = i - start
		if last {
			if module, ok := ratio(runs); ok {
				middle := float64(i) - float64(runs[4]+runs[3]) - float64(runs[2])/2
				found = append(found, crossing{middle - 0.5, module})
			}
		}
		if i < n {
			start, last = i, dark(i)
		}
	}
	return found
}

// ratio says whether five runs are as 1, 1, 3, 1, 1, each with half a module of freedom.
func ratio(runs [5]int) (module float64, ok bool) {
	sum := 0
	for _, r := range runs {
		if r == 0 {
			return 0, false
		}
		sum += r
	}
	if sum < 7 {
		return 0, false
	}
	module = float64(sum) / 7
	free := module*0.5 + 0.5
	for i, r := range runs {
		want, slack := module, free
		if i == 2 {
			want, slack = 3*module, 2*free
		}
		if math.Abs(float64(r)-want) > slack {
			return 0, false
		}
	}
	return module, true
}

// vote adds a crossing to the finder that it belongs to, or makes a new one.
func vote(all []finder, f finder) []finder {
	for i := len(all) - 1; i >= 0; i-- {
		g := &all[i]
		near := 2 * g.module
		if math.Abs(f.x-g.x) <= near && math.Abs(f.y-g.y) <= near && f.module < 1.6*g.module && g.module < 1.6*f.module {
			n := float64(g.votes)
			g.x, g.y, g.module = (g.x*n+f.x)/(n+1), (g.y*n+f.y)/(n+1), (g.module*n+f.module)/(n+1)
			g.votes++
			return all
		}
	}
	return append(all, f)
}

// darker says of each pixel whether it is darker than its neighbourhood, a square of the given side.
func darker(g *image.Gray, side int) []bool {
	w, h := g.Rect.Dx(), g.Rect.Dy()
	sums := make([]int64, (w+1)*(h+1))
	for y := range h {
		var row int64
		for x := range w {
			row += int64(g.Pix[y*g.Stride+x])
			sums[(y+1)*(w+1)+x+1] = sums[y*(w+1)+x+1] + row
		}
	}
	out := make([]bool, w*h)
	for y := range h {
		y0, y1 := max(y-side/2, 0), min(y+side/2+1, h)
		for x := range w {
			x0, x1 := max(x-side/2, 0), min(x+side/2+1, w)
			sum := sums[y1*(w+1)+x1] - sums[y0*(w+1)+x1] - sums[y1*(w+1)+x0] + sums[y0*(w+1)+x0]
			area := int64((x1 - x0) * (y1 - y0))
			// A tenth darker: plain paper with grain stays light.
			out[y*w+x] = int64(g.Pix[y*g.Stride+x])*area*10 < sum*9
		}
	}
	return out
}
