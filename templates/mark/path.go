package mark

import (
	"math"
	"strconv"
	"strings"

	"philtrum/templates/layout"
)

// point and step are of a path in the file's own units.
type point struct{ x, y float64 }

type step struct {
	verb   layout.Verb
	points [3]point
}

// matrix is a transformation as SVG writes it: x' = ax + cy + e, y' = bx + dy + f.
type matrix [6]float64

// Products are rounded one by one (the explicit conversions): some processors would join them with the sum.
func (m matrix) times(n matrix) matrix {
	mul := func(a, b, c, d float64) float64 { return float64(a*b) + float64(c*d) }
	return matrix{
		mul(m[0], n[0], m[2], n[1]), mul(m[1], n[0], m[3], n[1]),
		mul(m[0], n[2], m[2], n[3]), mul(m[1], n[2], m[3], n[3]),
		mul(m[0], n[4], m[2], n[5]) + m[4], mul(m[1], n[4], m[3], n[5]) + m[5],
	}
}

func (m matrix) of(p point) point {
	return point{float64(m[0]*p.x) + float64(m[2]*p.y) + m[4], float64(m[1]*p.x) + float64(m[3]*p.y) + m[5]}
}

// size is how much a transformation enlarges.
func (m matrix) size() float64 { return math.Sqrt(math.Abs(float64(m[0]*m[3]) - float64(m[1]*m[2]))) }

// paint adds what a path paints. What would leave the frame by more than the frame itself is refused.
func (r *svgReader) paint(path []step, s style) error {
	if r.steps += len(path); r.steps > MaxSteps {
		return errTooMuch
	}
	if len(path) == 0 || s.fill.none && (s.stroke.none || s.width <= 0) {
		return nil
	}
	var out []layout.Segment
	for _, st := range path {
		seg := layout.Segment{Verb: st.verb}
		for i, p := range st.points {
			q := s.at.of(p)
			if !(q.x > -r.right && q.x < 2*r.right && q.y > -r.bottom && q.y < 2*r.bottom) && i < points(st.verb) {
				return outside{"viewBox"}
			}
			if i < points(st.verb) {
				seg.Points[i] = layout.Point{X: length(q.x), Y: length(q.y)}
			}
		}
		out = append(out, seg)
	}
	if !s.fill.none {
		r.out.Shapes = append(r.out.Shapes, layout.Shape{Path: out, Fill: 100, Own: true, Colour: s.fill.colour, EvenOdd: s.evenOdd})
	}
	if w := length(s.width * s.at.size()); !s.stroke.none && w > 0 {
		r.out.Shapes = append(r.out.Shapes, layout.Shape{Path: out, Stroke: w, Grey: 100, Own: true, Colour: s.stroke.colour})
	}
	return nil
}

func points(v layout.Verb) int {
	return map[layout.Verb]int{layout.MoveTo: 1, layout.LineTo: 1, layout.CurveTo: 3}[v]
}

// reader reads the numbers and letters of a path or list.
type reader struct {
	s  string
	at int
}

func (r *reader) space() {
	for r.at < len(r.s) && strings.IndexByte(" \t\r\n,", r.s[r.at]) >= 0 {
		r.at++
	}
}

// number reads one number; two may touch where the second begins with a sign or a second point.
func (r *reader) number() (float64, error) {
	r.space()
	from := r.at
	dot, e := false, false
	for ; r.at < len(r.s); r.at++ {
		c := r.s[r.at]
		switch {
		case c >= '0' && c <= '9':
		case (c == '+' || c == '-') && (r.at == from || r.s[r.at-1]|0x20 == 'e'):
		case c == '.' && !dot && !e:
			dot = true
		case c|0x20 == 'e' && !e && r.at > from:
			e = true
		default:
			return number(r.s[from:r.at])
		}
	}
	return number(r.s[from:r.at])
}

// flag reads a flag of an arc, which may touch what follows.
func (r *reader) flag() (bool, error) {
	r.space()
	if r.at < len(r.s) && (r.s[r.at] == '0' || r.s[r.at] == '1') {
		r.at++
		return r.s[r.at-1] == '1', nil
	}
	return false, errShape
}

func number(s string) (float64, error) {
	v, err := strconv.ParseFloat(s, 64)
	if err != nil || math.Abs(v) > 1e6 || math.IsNaN(v) {
		return 0, errShape
	}
	return v, nil
}

func numbers(s string) ([]float64, error) {
	r := reader{s: s}
	var out []float64
	for r.space(); r.at < len(r.s); r.space() {
		v, err := r.number()
		if err != nil || len(out) > 2*MaxSteps {
			return nil, errShape
		}
		out = append(out, v)
	}
	return out, nil
}

// wants is how many numbers a letter of a path takes.
var wants = map[byte]int{'M': 2, 'L': 2, 'H': 1, 'V': 1, 'C': 6, 'S': 4, 'Q': 4, 'T': 2, 'Z': 0}

// parsePath reads the path data of SVG 1.1, section 8.3; an arc becomes curves.
func parsePath(d string) ([]step, error) {
	r := reader{s: d}
	p := pen{}
	letter := byte(0)
	for r.space(); r.at < len(r.s); r.space() {
		if c := r.s[r.at]; c|0x20 >= 'a' && c|0x20 <= 'z' {
			letter = c
			r.at++
		} else if letter == 0 || letter|0x20 == 'z' {
			return nil, errShape
		}
		upper := letter &^ 0x20
		if upper == 'A' {
			if err := p.readArc(&r, letter == 'a'); err != nil {
				return nil, err
			}
		} else {
			n, ok := wants[upper]
			if !ok {
				return nil, errShape
			}
			var v [6]float64
			for i := range n {
				var err error
				if v[i], err = r.number(); err != nil {
					return nil, err
				}
			}
			if len(p.out) == 0 && upper != 'M' {
				return nil, errShape
			}
			p.move(upper, letter != upper, v)
		}
		if letter|0x20 == 'm' {
			letter-- // further pairs are lines
		}
		if len(p.out) > MaxSteps {
			return nil, errTooMuch
		}
	}
	return p.out, nil
}

// pen is where a path has come to.
type pen struct {
	out              []step
	at, start        point
	control          point // of the curve before, for a smooth one
	cubic, quadratic bool
}

func (p *pen) move(letter byte, relative bool, v [6]float64) {
	at := func(i int) point {
		if relative {
			return point{p.at.x + v[i], p.at.y + v[i+1]}
		}
		return point{v[i], v[i+1]}
	}
	smooth := func(of bool) point {
		if of {
			return point{2*p.at.x - p.control.x, 2*p.at.y - p.control.y}
		}
		return p.at
	}
	cubic, quadratic := false, false
	switch letter {
	case 'M':
		p.start = at(0)
		p.line(layout.MoveTo, p.start)
	case 'L':
		p.line(layout.LineTo, at(0))
	case 'H':
		to := point{v[0], p.at.y}
		if relative {
			to.x += p.at.x
		}
		p.line(layout.LineTo, to)
	case 'V':
		to := point{p.at.x, v[0]}
		if relative {
			to.y += p.at.y
		}
		p.line(layout.LineTo, to)
	case 'C':
		c, d, to := at(0), at(2), at(4)
		p.curve(c, d, to)
		p.control, cubic = d, true
	case 'S':
		c, d, to := smooth(p.cubic), at(0), at(2)
		p.curve(c, d, to)
		p.control, cubic = d, true
	case 'Q':
		c, to := at(0), at(2)
		p.bend(c, to)
		p.control, quadratic = c, true
	case 'T':
		c, to := smooth(p.quadratic), at(0)
		p.bend(c, to)
		p.control, quadratic = c, true
	case 'Z':
		p.out = append(p.out, step{verb: layout.ClosePath})
		p.at = p.start
	}
	p.cubic, p.quadratic = cubic, quadratic
}

func (p *pen) line(verb layout.Verb, to point) {
	p.out = append(p.out, step{verb: verb, points: [3]point{to}})
	p.at = to
}

func (p *pen) curve(c, d, to point) {
	p.out = append(p.out, step{verb: layout.CurveTo, points: [3]point{c, d, to}})
	p.at = to
}

// bend is a quadratic curve, raised to a cubic one.
func (p *pen) bend(c, to point) {
	third := func(a, b float64) float64 { return (a + float64(2*b)) / 3 }
	p.curve(point{third(p.at.x, c.x), third(p.at.y, c.y)}, point{third(to.x, c.x), third(to.y, c.y)}, to)
}
