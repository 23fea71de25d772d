package maps

import (
	"philtrum/templates/layout"
)

// Mark is an injection on a map: what went into one zone on one side.
type Mark struct {
	Zone        string
	Side        string // the patient's: right, left, both; ignored on the midline
	Microlitres int64  // sets the size of the dot; 0: not known, the smallest
	Label       []layout.Span
	Note        []layout.Span // a line below the label
	Planned     bool          // drawn as a ring
}

// Sides are the words at the two sides of a map.
type Sides struct{ Right, Left []layout.Span }

// View says what of a map is drawn.
type View struct {
	Map     string
	Marks   []Mark
	Sides   Sides
	Labels  bool // a label beside each mark, letters beside vessels; a second view of the same marks goes without
	Vessels bool // for the eyes of those who treat
}

// Measures of a map, in points.
const (
	labelSize   = 9 * layout.Pt
	labelStep   = 16 * layout.Pt // least distance of two labels: a line of them where the map is 120 mm wide
	noteStep    = 13 * layout.Pt // from a label to its note
	labelEdge   = 80 * layout.Pt // where labels of the patient's right end
	leaderEdge  = 84 * layout.Pt
	labelsBegin = 34 * layout.Pt
	headLine    = 11 * layout.Pt
	pairHead    = 24 * layout.Pt // of a pair of views, which is set smaller
	leaderWidth = layout.Pt * 35 / 100
	halo        = layout.Pt * 8 / 10
	smallestDot = layout.Pt * 19 / 10
	largestDot  = 11 * layout.Pt
	vesselWidth = layout.Pt * 8 / 10
	vesselDash  = layout.Pt * 26 / 10
	vesselGrey  = 55
	letterSize  = layout.Pt * 75 / 10
)

// Draw draws a map with its marks: a dot for each, its size by volume, and its label outside at the end of
// a leader; leaders never cross and labels never touch, for a map with many grows. Marks in zones that the
// map does not have are left out, see [Zones]. Several marks in one zone and side should be summed before.
// The name has to be one of [Names].
func Draw(v View) *layout.Drawing {
	m := drawn[v.Map]()
	d := &layout.Drawing{Width: width, Height: m.height}
	if len(v.Marks) == 0 {
		d.Name = m.Name
		if v.Vessels {
			d.Name += "+vessels"
		}
	}
	right, left := m.place(v)
	down := layout.Length(0)
	if most := max(right.room(), left.room()); most > m.height {
		d.Height, down = most, (most-m.height)/2
	}
	for _, l := range m.lines {
		d.Shapes = append(d.Shapes, l.shapes(down)...)
	}
	if v.Vessels {
		m.drawVessels(d, down, v.Labels)
	}
	for _, column := range []*column{right, left} {
		column.settle(d.Height, down)
		d.Shapes = append(d.Shapes, column.leaders()...)
	}
	for _, column := range []*column{right, left} {
		for _, p := range column.dots {
			d.Shapes = append(d.Shapes, p.shapes()...)
		}
		d.Labels = append(d.Labels, column.labels()...)
	}
	head := headLine
	if m.pair {
		head = pairHead
	}
	d.Labels = append(d.Labels,
		layout.Label{At: layout.Point{X: 0, Y: head}, Align: layout.AlignStart, Size: labelSize, Text: v.Sides.Right},
		layout.Label{At: layout.Point{X: width, Y: head}, Align: layout.AlignEnd, Size: labelSize, Text: v.Sides.Left})
	return d
}

// drawVessels draws the vessels, with their letters where a key explains them.
func (m *Map) drawVessels(d *layout.Drawing, down layout.Length, letters bool) {
	for i, v := range m.vessels {
		l := line{path: v.path, width: vesselWidth, grey: vesselGrey, dash: true}
		shapes := l.shapes(down)
		for j := range shapes {
			shapes[j].Dash = vesselDash
		}
		d.Shapes = append(d.Shapes, shapes...)
		if !letters {
			continue
		}
		d.Labels = append(d.Labels, layout.Label{
			At: layout.Point{X: width/2 - v.letter.X, Y: v.letter.Y + down + letterSize/3}, Align: layout.AlignCentre,
			Size: letterSize, Text: []layout.Span{{Text: Letter(i), Ink: layout.InkQuiet}},
		})
	}
}

// dot is a mark with its place; hang says that its label hangs here, for a mark has one label only.
type dot struct {
	at     layout.Point
	radius layout.Length
	mark   Mark
	hang   bool
	slot   layout.Length // baseline middle of its label
}

// place sorts marks to the columns of the two sides. A mark of the midline goes where fewer are; in a pair
// of views it stands in both.
func (m *Map) place(v View) (right, left *column) {
	right, left = &column{}, &column{mirrored: true}
	var middle []dot
	for _, mark := range v.Marks {
		a, ok := m.anchors[mark.Zone]
		if !ok {
			continue
		}
		volume := mark.Microlitres
		if mark.Side == "both" && !a.midline {
			volume /= 2
		}
		d := dot{mark: mark, radius: radius(volume), hang: v.Labels}
		at := func(x layout.Length) layout.Point { return layout.Point{X: width/2 + x, Y: a.at.Y} }
		put := func(c *column, x layout.Length, hang bool) {
			d.at, d.hang = at(x), hang && v.Labels
			c.dots = append(c.dots, d)
		}
		switch {
		case a.midline && m.pair:
			put(right, a.at.X, true)
			put(left, -a.at.X, false)
		case a.midline:
			d.at = at(0)
			middle = append(middle, d)
		case mark.Side == "left":
			put(left, -a.at.X, true)
		case mark.Side == "both":
			put(right, a.at.X, true)
			put(left, -a.at.X, false)
		default:
			put(right, a.at.X, true)
		}
	}
	for _, d := range middle {
		c := left
		if len(right.dots) < len(left.dots) {
			c = right
		}
		c.dots = append(c.dots, d)
	}
	return right, left
}

// radius makes a dot's area grow with the volume: 0.1 mL has a radius of 4.5 points.
func radius(microlitres int64) layout.Length {
	r := layout.Length(root(microlitres * 450 * 450))
	return min(max(r, smallestDot), largestDot)
}

// root is the whole part of a square root.
func root(n int64) int64 {
	if n <= 0 {
		return 0
	}
	r := n
	for next := (r + 1) / 2; next < r; next = (r + n/r) / 2 {
		r = next
	}
	return r
}

// shapes draws a line on both sides, down from the top.
func (l line) shapes(down layout.Length) []layout.Shape {
	var out []layout.Shape
	for _, sign := range []layout.Length{1, -1} {
		s := layout.Shape{Stroke: l.width, Grey: l.grey, Fill: l.fill}
		if l.dash {
			s.Dash = layout.Pt * 24 / 10
		}
		for _, step := range l.path {
			for i := range step.Points {
				step.Points[i].X = width/2 + sign*step.Points[i].X
				step.Points[i].Y += down
			}
			s.Path = append(s.Path, step)
		}
		out = append(out, s)
	}
	return out
}

func (d dot) shapes() []layout.Shape {
	under := layout.Shape{Path: circle(d.at, d.radius+halo), White: true}
	if d.mark.Planned {
		return []layout.Shape{under, {Path: circle(d.at, d.radius), Stroke: layout.Pt, White: true, Accent: true}}
	}
	return []layout.Shape{under, {Path: circle(d.at, d.radius), Fill: 100, Accent: true}}
}

// circle is four Bézier curves; their handles are 0.5523 of the radius, the usual approximation.
func circle(at layout.Point, r layout.Length) []layout.Segment {
	k := layout.Length(int64(r) * 5523 / 10000)
	p := func(dx, dy layout.Length) layout.Point { return layout.Point{X: at.X + dx, Y: at.Y + dy} }
	curve := func(a, b, c layout.Point) layout.Segment {
		return layout.Segment{Verb: layout.CurveTo, Points: [3]layout.Point{a, b, c}}
	}
	return []layout.Segment{
		{Verb: layout.MoveTo, Points: [3]layout.Point{p(r, 0)}},
		curve(p(r, k), p(k, r), p(0, r)),
		curve(p(-k, r), p(-r, k), p(-r, 0)),
		curve(p(-r, -k), p(-k, -r), p(0, -r)),
		curve(p(k, -r), p(r, -k), p(r, 0)),
		{Verb: layout.ClosePath},
	}
}
