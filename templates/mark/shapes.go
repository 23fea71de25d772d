package mark

import (
	"math"
	"strings"

	"philtrum/templates/layout"
)

// basic reads the basic shapes of SVG 1.1, section 9.
func basic(name string, at map[string]string) ([]step, error) {
	value := func(key string) (float64, error) {
		if at[key] == "" {
			return 0, nil
		}
		return number(strings.TrimSuffix(at[key], "px"))
	}
	var v [6]float64
	read := func(keys ...string) error {
		for i, key := range keys {
			var err error
			if v[i], err = value(key); err != nil {
				return err
			}
		}
		return nil
	}
	switch name {
	case "rect":
		err := read("x", "y", "width", "height", "rx", "ry")
		return rectangle(v), err
	case "circle":
		err := read("cx", "cy", "r")
		return ellipse(v[0], v[1], v[2], v[2]), err
	case "ellipse":
		err := read("cx", "cy", "rx", "ry")
		return ellipse(v[0], v[1], v[2], v[3]), err
	case "line":
		err := read("x1", "y1", "x2", "y2")
		return polyline([]float64{v[0], v[1], v[2], v[3]}, false), err
	case "polyline", "polygon":
		n, err := numbers(at["points"])
		if err != nil || len(n)%2 != 0 {
			return nil, errShape
		}
		return polyline(n, name == "polygon"), nil
	}
	return nil, outside{"<" + name + ">"}
}

func polyline(n []float64, closed bool) []step {
	var out []step
	for i := 0; i+1 < len(n); i += 2 {
		verb := layout.LineTo
		if i == 0 {
			verb = layout.MoveTo
		}
		out = append(out, step{verb: verb, points: [3]point{{n[i], n[i+1]}}})
	}
	if closed && len(out) > 0 {
		out = append(out, step{verb: layout.ClosePath})
	}
	return out
}

// rectangle has corners of the radii v[4] and v[5]; one alone stands for both.
func rectangle(v [6]float64) []step {
	x, y, w, h, rx, ry := v[0], v[1], v[2], v[3], v[4], v[5]
	if w <= 0 || h <= 0 {
		return nil
	}
	if rx <= 0 {
		rx = ry
	}
	if ry <= 0 {
		ry = rx
	}
	rx, ry = min(max(rx, 0), w/2), min(max(ry, 0), h/2)
	if rx == 0 || ry == 0 {
		return polyline([]float64{x, y, x + w, y, x + w, y + h, x, y + h}, true)
	}
	p := pen{}
	p.line(layout.MoveTo, point{x + rx, y})
	corner := func(lineTo, mid, to point) {
		p.line(layout.LineTo, lineTo)
		const k = 0.5523 // a quarter of a circle as a curve, the usual approximation
		near := func(a point) point { return point{a.x + float64(k*(mid.x-a.x)), a.y + float64(k*(mid.y-a.y))} }
		p.curve(near(lineTo), near(to), to)
	}
	corner(point{x + w - rx, y}, point{x + w, y}, point{x + w, y + ry})
	corner(point{x + w, y + h - ry}, point{x + w, y + h}, point{x + w - rx, y + h})
	corner(point{x + rx, y + h}, point{x, y + h}, point{x, y + h - ry})
	corner(point{x, y + ry}, point{x, y}, point{x + rx, y})
	return append(p.out, step{verb: layout.ClosePath})
}

func ellipse(cx, cy, rx, ry float64) []step {
	if rx <= 0 || ry <= 0 {
		return nil
	}
	return rectangle([6]float64{cx - rx, cy - ry, 2 * rx, 2 * ry, rx, ry})
}

// readArc reads the numbers of an elliptical arc and draws it (SVG 1.1, appendix F.6).
func (p *pen) readArc(r *reader, relative bool) error {
	var v [5]float64
	var large, sweep bool
	for i := range v {
		var err error
		if i == 3 {
			if large, err = r.flag(); err != nil {
				return err
			}
			if sweep, err = r.flag(); err != nil {
				return err
			}
		}
		if v[i], err = r.number(); err != nil {
			return err
		}
	}
	if len(p.out) == 0 {
		return errShape
	}
	to := point{v[3], v[4]}
	if relative {
		to = point{p.at.x + v[3], p.at.y + v[4]}
	}
	p.arc(math.Abs(v[0]), math.Abs(v[1]), v[2]*math.Pi/180, large, sweep, to)
	p.cubic, p.quadratic = false, false
	return nil
}

func (p *pen) arc(rx, ry, turn float64, large, sweep bool, to point) {
	from := p.at
	if rx == 0 || ry == 0 || from == to {
		p.line(layout.LineTo, to)
		return
	}
	sin, cos := math.Sincos(turn)
	dx, dy := (from.x-to.x)/2, (from.y-to.y)/2
	x, y := float64(cos*dx)+float64(sin*dy), float64(cos*dy)-float64(sin*dx)
	if over := float64(x*x)/float64(rx*rx) + float64(y*y)/float64(ry*ry); over > 1 {
		rx, ry = rx*math.Sqrt(over), ry*math.Sqrt(over)
	}
	a, b := float64(rx*rx)*float64(y*y), float64(ry*ry)*float64(x*x)
	k := math.Sqrt(max((float64(rx*rx)*float64(ry*ry)-a-b)/(a+b), 0))
	if large == sweep {
		k = -k
	}
	cx, cy := k*rx*y/ry, -k*ry*x/rx
	mx := float64(cos*cx) - float64(sin*cy) + (from.x+to.x)/2
	my := float64(sin*cx) + float64(cos*cy) + (from.y+to.y)/2
	begin := math.Atan2((y-cy)/ry, (x-cx)/rx)
	end := math.Atan2((-y-cy)/ry, (-x-cx)/rx)
	sweepBy := end - begin
	switch {
	case sweep && sweepBy < 0:
		sweepBy += 2 * math.Pi
	case !sweep && sweepBy > 0:
		sweepBy -= 2 * math.Pi
	}
	n := int(math.Ceil(math.Abs(sweepBy)/(math.Pi/2) - 1e-9))
	n = max(n, 1)
	each := sweepBy / float64(n)
	h := 4.0 / 3 * math.Tan(each/4)
	on := func(t, lead float64) point { // a point of the ellipse, or of its tangent
		s, c := math.Sincos(t)
		ex, ey := rx*(c-float64(lead*s)), ry*(s+float64(lead*c))
		return point{mx + float64(cos*ex) - float64(sin*ey), my + float64(sin*ex) + float64(cos*ey)}
	}
	for i := range n {
		t := begin + float64(i)*each
		last := on(t+each, 0)
		if i == n-1 {
			last = to
		}
		p.curve(on(t, h), on(t+each, -h), last)
	}
}

// parseTransform reads a list of transformations (SVG 1.1, section 7.6), without skews.
func parseTransform(s string) (matrix, error) {
	m := matrix{1, 0, 0, 1, 0, 0}
	for s = strings.TrimSpace(s); s != ""; s = strings.TrimLeft(s, " ,\t\r\n") {
		name, rest, ok := strings.Cut(s, "(")
		inner, after, closed := strings.Cut(rest, ")")
		v, err := numbers(inner)
		if !ok || !closed || err != nil {
			return m, errShape
		}
		n, err := transformation(strings.TrimSpace(name), v)
		if err != nil {
			return m, err
		}
		m, s = m.times(n), after
	}
	return m, nil
}

func transformation(name string, v []float64) (matrix, error) {
	switch {
	case name == "matrix" && len(v) == 6:
		return matrix(v), nil
	case name == "translate" && len(v) == 1:
		return matrix{1, 0, 0, 1, v[0], 0}, nil
	case name == "translate" && len(v) == 2:
		return matrix{1, 0, 0, 1, v[0], v[1]}, nil
	case name == "scale" && len(v) == 1:
		return matrix{v[0], 0, 0, v[0], 0, 0}, nil
	case name == "scale" && len(v) == 2:
		return matrix{v[0], 0, 0, v[1], 0, 0}, nil
	case name == "rotate" && (len(v) == 1 || len(v) == 3):
		sin, cos := math.Sincos(v[0] * math.Pi / 180)
		m := matrix{cos, sin, -sin, cos, 0, 0}
		if len(v) == 3 {
			m = matrix{1, 0, 0, 1, v[1], v[2]}.times(m).times(matrix{1, 0, 0, 1, -v[1], -v[2]})
		}
		return m, nil
	}
	return matrix{}, outside{name}
}
