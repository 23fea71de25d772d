package maps

import (
	"strconv"
	"strings"

	"philtrum/forms/source"
	"philtrum/templates/layout"
)

// plotter turns the numbers of a map into lengths on paper. Numbers are kept in hundredths of a unit, so
// that every machine comes to the same lengths.
type plotter struct {
	r     *source.Reader
	scale layout.Length // thousandths of a point for one unit
	top   layout.Length
	left  layout.Length // where x 0 of the file lies from the midline
}

func (p *plotter) length(hundredths int) layout.Length {
	n := int64(hundredths) * int64(p.scale)
	if n < 0 {
		return layout.Length((n - 50) / 100)
	}
	return layout.Length((n + 50) / 100)
}

// number reads "-12.75" to hundredths.
func (p *plotter) number(n *source.Node, text string) int {
	whole, part, _ := strings.Cut(strings.TrimPrefix(text, "-"), ".")
	part = (part + "00")
	if len(part) > 4 {
		p.r.Report(n, "problem.path", nil)
		return 0
	}
	v, err := strconv.Atoi(whole + part[:2])
	if err != nil || v < 0 || v > 1_000_000 {
		p.r.Report(n, "problem.path", nil)
		return 0
	}
	if strings.HasPrefix(text, "-") {
		return -v
	}
	return v
}

// points reads pairs of numbers; y counts from the top of the drawing.
func (p *plotter) points(n *source.Node, text string) []layout.Point {
	words := strings.Fields(text)
	if len(words)%2 != 0 {
		p.r.Report(n, "problem.path", nil)
		return nil
	}
	var out []layout.Point
	for i := 0; i < len(words); i += 2 {
		out = append(out, layout.Point{
			X: p.left + p.length(p.number(n, words[i])), Y: p.length(p.number(n, words[i+1])) - p.top,
		})
	}
	return out
}

var verbs = map[byte]struct {
	verb   layout.Verb
	points int
}{
	'M': {layout.MoveTo, 1}, 'L': {layout.LineTo, 1}, 'C': {layout.CurveTo, 3}, 'Z': {layout.ClosePath, 0},
}

// path reads a path in the letters M, L, C and Z; a letter holds for one step.
func (p *plotter) path(n *source.Node) []layout.Segment {
	var out []layout.Segment
	for _, step := range steps(p.r.Text(n)) {
		v, ok := verbs[step[0]]
		points := p.points(n, step[1:])
		if !ok || len(points) != v.points || len(out) == 0 && v.verb != layout.MoveTo {
			p.r.Report(n, "problem.path", nil)
			return nil
		}
		s := layout.Segment{Verb: v.verb}
		copy(s.Points[:], points)
		out = append(out, s)
	}
	return out
}

// steps cuts a path before each letter.
func steps(text string) []string {
	var out []string
	start := 0
	for i := 1; i <= len(text); i++ {
		if i == len(text) || text[i] >= 'A' && text[i] <= 'Z' {
			if s := strings.TrimSpace(text[start:i]); s != "" {
				out = append(out, s)
			}
			start = i
		}
	}
	return out
}

func (p *plotter) line(n *source.Node, weights map[string]source.Fields) line {
	f := p.r.Fields(n, "part", "weight", "fill", "dash", "path")
	l := line{part: p.r.Text(f.Need("part")), path: p.path(f.Need("path")), dash: p.r.YesNo(f.Get("dash"))}
	if n := f.Get("fill"); n != nil {
		l.fill = uint8(p.r.Int(n, 1, 100))
	}
	if n := f.Get("weight"); n != nil {
		name := p.r.Text(n)
		w, ok := weights[name]
		if !ok {
			p.r.Report(n, "problem.unknown_weight", map[string]any{"name": name})
			return l
		}
		l.width = layout.Length(p.r.Int(w.Need("line"), 100, 3000))
		l.grey = uint8(p.r.Int(w.Need("grey"), 1, 100))
	}
	return l
}

// point reads one pair of numbers.
func (p *plotter) point(at, n *source.Node) (layout.Point, bool) {
	points := p.points(n, p.r.Text(n))
	if len(points) != 1 {
		p.r.Report(at, "problem.path", nil)
		return layout.Point{}, false
	}
	return points[0], true
}

func (p *plotter) vessel(n *source.Node) Vessel {
	f := p.r.Fields(n, "name", "source", "trust", "path", "letter")
	v := Vessel{
		Name: p.r.Text(f.Need("name")), Source: p.r.Text(f.Need("source")),
		Trust: p.r.OneOf(f.Need("trust"), "read", "memory"), path: p.path(f.Need("path")),
	}
	v.letter, _ = p.point(n, f.Need("letter"))
	return v
}
