package read

import (
	"cmp"
	"image"
	"math"
	"slices"

	"github.com/makiuchi-d/gozxing"
	"github.com/makiuchi-d/gozxing/qrcode/decoder"

	"philtrum/templates/code"
)

// grid lays the modules of a symbol over a picture: the middle of module (i, j), counted from 0, is at
// origin + i·right + j·down.
type grid struct {
	ox, oy float64
	rx, ry float64
	dx, dy float64
	score  float64
}

func (g *grid) at(i, j float64) (x, y float64) {
	return g.ox + i*g.rx + j*g.dx, g.oy + i*g.ry + j*g.dy
}

// corner modules: the middles of finder patterns are the modules 3 and size-4 of a row or column.
const (
	near = 3
	far  = code.Size - 4
)

// grids are the ways in which a symbol can stand on two of its finder patterns, for every two of the list. With
// two of three it is found although the third is under a pen.
func grids(all []finder) []grid {
	var out []grid
	for i, p := range all {
		for j, q := range all {
			if i == j || p.module > 1.35*q.module || q.module > 1.35*p.module {
				continue
			}
			vx, vy := q.x-p.x, q.y-p.y
			module := (p.module + q.module) / 2
			modules := math.Hypot(vx, vy) / module
			across := float64(far - near)
			if math.Abs(modules-across) < across*0.2 {
				rx, ry := vx/across, vy/across
				out = append(out, through(p, near, near, rx, ry))  // the upper two
				out = append(out, through(p, near, near, ry, -rx)) // the left two, the upper one first
			}
			if math.Abs(modules-across*math.Sqrt2) < across*0.25 {
				// From the upper right to the lower left one: across·(down − right).
				out = append(out, through(p, far, near, (-vx+vy)/(2*across), (-vy-vx)/(2*across)))
			}
		}
	}
	return out
}

// through is the grid with module (i, j) on p and this step to the right.
func through(p finder, i, j, rx, ry float64) grid {
	g := grid{rx: rx, ry: ry, dx: -ry, dy: rx}
	g.ox, g.oy = p.x-i*g.rx-j*g.dx, p.y-i*g.ry-j*g.dy
	return g
}

// fixed are the modules that every symbol has alike, and whether they are dark: finder patterns with the light
// around them, timing and alignment pattern (ISO/IEC 18004, 6.3).
func fixed() []mark {
	var all []mark
	add := func(x, y int, dark bool) { all = append(all, mark{float64(x), float64(y), dark}) }
	for _, corner := range [][2]int{{near, near}, {far, near}, {near, far}} {
		for dy := -4; dy <= 4; dy++ {
			for dx := -4; dx <= 4; dx++ {
				ring := max(dx, -dx, dy, -dy)
				add(corner[0]+dx, corner[1]+dy, ring <= 1 || ring == 3)
			}
		}
	}
	for i := 8; i < code.Size-8; i++ {
		add(i, 6, i%2 == 0)
		add(6, i, i%2 == 0)
	}
	for dy := -2; dy <= 2; dy++ {
		for dx := -2; dx <= 2; dx++ {
			ring := max(dx, -dx, dy, -dy)
			add(code.Size-7+dx, code.Size-7+dy, ring != 1)
		}
	}
	return all
}

type mark struct {
	x, y float64
	dark bool
}

// fit is how much lighter the light fixed modules are than the dark ones, in steps of 256.
func (g *grid) fit(p *image.Gray, marks []mark) float64 {
	var light, dark float64
	var lights, darks int
	for _, m := range marks {
		x, y := g.at(m.x, m.y)
		v := value(p, x, y)
		if m.dark {
			dark += v
			darks++
		} else {
			light += v
			lights++
		}
	}
	return light/float64(lights) - dark/float64(darks)
}

// value is the brightness between pixels; beyond the picture it is paper.
func value(p *image.Gray, x, y float64) float64 {
	x0, y0 := int(math.Floor(x)), int(math.Floor(y))
	if x0 < 0 || y0 < 0 || x0+1 >= p.Rect.Dx() || y0+1 >= p.Rect.Dy() {
		return 255
	}
	fx, fy := x-float64(x0), y-float64(y0)
	a := p.Pix[y0*p.Stride+x0:]
	b := p.Pix[(y0+1)*p.Stride+x0:]
	return (float64(a[0])*(1-fx)+float64(a[1])*fx)*(1-fy) + (float64(b[0])*(1-fx)+float64(b[1])*fx)*fy
}

// refine moves the grid's three corners until the fixed modules fit best.
func (g *grid) refine(p *image.Gray, marks []mark) {
	g.score = g.fit(p, marks)
	size := math.Hypot(g.rx, g.ry)
	for step := size / 2; step > size/16; step /= 2 {
		for moved := true; moved; {
			moved = false
			for corner := range 3 {
				for _, d := range [][2]float64{{step, 0}, {-step, 0}, {0, step}, {0, -step}} {
					next := g.moved(corner, d[0], d[1])
					if next.score = next.fit(p, marks); next.score > g.score+0.01 {
						*g, moved = next, true
					}
				}
			}
		}
	}
}

// moved is the grid with one of its corners elsewhere: the upper left, the upper right, the lower left.
func (g *grid) moved(corner int, x, y float64) grid {
	next := *g
	n := float64(code.Size - 1)
	switch corner {
	case 0:
		next.ox, next.oy = g.ox+x, g.oy+y
		next.rx, next.ry = g.rx-x/n, g.ry-y/n
		next.dx, next.dy = g.dx-x/n, g.dy-y/n
	case 1:
		next.rx, next.ry = g.rx+x/n, g.ry+y/n
	default:
		next.dx, next.dy = g.dx+x/n, g.dy+y/n
	}
	return next
}

// mostGrids bounds how many of the best grids are read; leastFit is the contrast below which there is no code.
const (
	mostGrids = 8
	leastFit  = 40
)

// locate finds symbols by their finder patterns and reads them.
func locate(picture, smooth *image.Gray) []Found {
	w, h := picture.Rect.Dx(), picture.Rect.Dy()
	if w < code.Size || h < code.Size {
		return nil
	}
	all := grids(finders(darker(smooth, max(w, h)/20), w, h))
	marks := fixed()
	for i := range all {
		all[i].score = all[i].fit(smooth, marks)
	}
	all = slices.DeleteFunc(all, func(g grid) bool { return g.score < leastFit })
	slices.SortStableFunc(all, func(a, b grid) int { return cmp.Compare(b.score, a.score) })
	var found []Found
	var read []grid
	for tries := 0; tries < mostGrids && len(all) > 0; all = all[1:] {
		g := all[0]
		if slices.ContainsFunc(read, g.within) {
			continue
		}
		tries++
		g.refine(smooth, marks)
		if p, ok := g.page(picture, smooth); ok {
			read = append(read, g)
			found = addFound(found, Found{p, resolution((math.Hypot(g.rx, g.ry) + math.Hypot(g.dx, g.dy)) / 2)})
		}
	}
	return found
}

// within says whether the middle of g lies in a symbol that was read.
func (g *grid) within(other grid) bool {
	n := float64(code.Size-1) / 2
	x, y := g.at(n, n)
	ox, oy := other.at(n, n)
	return math.Hypot(x-ox, y-oy) < n*math.Hypot(other.rx, other.ry)
}

// way is a way of looking at modules. A pen makes light modules dark where it runs, and seldom all over: so the
// lighter parts of a module say what was printed. Its ink is often lighter than print: so a lower threshold may
// tell them apart.
type way struct {
	smooth    bool
	extent    float64 // of the module that is looked at
	part      int     // which of 25 looks counts, from the darkest
	threshold float64 // from dark (0) to light (1)
}

var ways = []way{
	{true, 0.5, 12, 0.5}, {false, 0.7, 17, 0.5}, {false, 0.8, 20, 0.5}, {true, 0.7, 19, 0.5}, {false, 0.9, 22, 0.5}, {true, 0.9, 22, 0.5},
	{true, 0.6, 12, 0.3}, {true, 0.6, 12, 0.2}, {true, 0.5, 12, 0.12}, {true, 0.7, 18, 0.3}, {true, 0.7, 18, 0.2}, {true, 0.8, 20, 0.35},
	{false, 0.8, 18, 0.3}, {true, 0.4, 14, 0.4}, {false, 0.9, 23, 0.6},
}

// page reads the modules under the grid, in one way after the other until the symbol corrects its errors.
func (g *grid) page(picture, smooth *image.Gray) (code.Page, bool) {
	for _, w := range ways {
		from := picture
		if w.smooth {
			from = smooth
		}
		bits, err := gozxing.NewSquareBitMatrix(code.Size)
		if err != nil {
			return code.Page{}, false
		}
		middle := g.threshold(from, w)
		for j := range code.Size {
			for i := range code.Size {
				if g.look(from, i, j, w.extent, w.part) < middle {
					bits.Set(i, j)
				}
			}
		}
		result, err := decoder.NewDecoder().DecodeWithoutHint(bits)
		if err != nil {
			continue
		}
		if p, ok := code.Parse(result.GetText()); ok {
			return p, true
		}
	}
	return code.Page{}, false
}

// look is the brightness of a module: of 25 places in it, the one that is as dark as asked.
func (g *grid) look(p *image.Gray, i, j int, extent float64, part int) float64 {
	var seen [25]float64
	for n := range seen {
		di, dj := (float64(n%5)/4-0.5)*extent, (float64(n/5)/4-0.5)*extent
		x, y := g.at(float64(i)+di, float64(j)+dj)
		seen[n] = value(p, x, y)
	}
	slices.Sort(seen[:])
	return seen[part]
}

// threshold lies between the dark and the light fixed modules, looked at in the same way.
func (g *grid) threshold(p *image.Gray, w way) float64 {
	var dark, light []float64
	for _, m := range fixed() {
		if m.x < 0 || m.y < 0 || m.x >= code.Size || m.y >= code.Size {
			continue
		}
		v := g.look(p, int(m.x), int(m.y), w.extent, w.part)
		if m.dark {
			dark = append(dark, v)
		} else {
			light = append(light, v)
		}
	}
	slices.Sort(dark)
	slices.Sort(light)
	d, l := dark[len(dark)/2], light[len(light)/2]
	return d + (l-d)*w.threshold
}
