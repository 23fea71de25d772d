// Package timeline draws the first month after a treatment: one line of days, bars for what is held back from
// until then, soft bands for what is usual, and a mark for the review. Black on white is all that it needs. A
// paper that is read from the right gets it mirrored, for time runs as the words do.
package timeline

import (
	"unicode/utf8"

	"philtrum/templates/layout"
)

// Days are how many the line shows.
const Days = 28

// Labelled are the days with a number below the line.
var Labelled = []int{0, 1, 2, 3, 7, 14, 21, 28}

// Chart is what a drawing is made from.
type Chart struct {
	Width       layout.Length
	Size        layout.Length // of its letters
	Bars        []Bar
	Ticks       []Tick
	Review      int // day; 0 none
	ReviewLabel []layout.Span
	Mirrored    bool
}

// Bar holds from an hour to an hour after the beginning of day 0. A soft one is a band.
type Bar struct {
	Label    []layout.Span
	From, To int
	Soft     bool
}

// Tick is a day that is named below the line.
type Tick struct {
	Day   int
	Label []layout.Span
}

// drawing is a chart while it is drawn.
type drawing struct {
	Chart
	out          *layout.Drawing
	names, scale layout.Length // where the line begins, and how long it is
	row          layout.Length
}

// Draw gives the drawing at its own size.
func (c Chart) Draw() *layout.Drawing {
	d := &drawing{Chart: c, out: &layout.Drawing{Width: c.Width}, row: c.Size * 175 / 100}
	d.names = c.room()
	d.scale = c.Width - d.names - c.Size
	top := d.row * 8 / 10
	if c.Review > 0 {
		top = d.row * 15 / 10
	}
	foot := top + d.row*layout.Length(len(c.Bars)) + d.row/4
	d.out.Height = foot + d.row*13/10
	d.days(top, foot)
	for i, b := range c.Bars {
		d.bar(b, top+d.row*layout.Length(i))
	}
	d.review(top, foot)
	d.axis(foot)
	return d.out
}

// room is what the longest name is likely to need, as letters are about half as wide as they are high, within
// bounds that leave a line long enough to be read.
func (c Chart) room() layout.Length {
	longest := 0
	for _, b := range c.Bars {
		n := 0
		for i := range b.Label {
			n += utf8.RuneCountInString(b.Label[i].Text)
		}
		longest = max(longest, n)
	}
	need := c.Size*layout.Length(longest)*56/100 + c.Size
	return min(max(need, c.Width*24/100), c.Width*52/100)
}

// crowded says whether the number of a day would touch the one before it.
func (d *drawing) crowded(day, before int) bool {
	return layout.Length(int64(d.scale)*int64(day-before)/(Days+1)) < d.Size*11/10
}

// x is the place of an hour, and text the alignment that begins there.
func (d *drawing) x(hour int) layout.Length {
	hour = min(max(hour, 0), 24*(Days+1))
	return d.mirror(d.names + layout.Length(int64(d.scale)*int64(hour)/int64(24*(Days+1))))
}

func (d *drawing) mirror(x layout.Length) layout.Length {
	if d.Mirrored {
		return d.Width - x
	}
	return x
}

func (d *drawing) shape(s layout.Shape, points ...layout.Point) {
	for i, p := range points {
		verb := layout.LineTo
		if i == 0 {
			verb = layout.MoveTo
		}
		s.Path = append(s.Path, layout.Segment{Verb: verb, Points: [3]layout.Point{p}})
	}
	if s.Fill > 0 {
		s.Path = append(s.Path, layout.Segment{Verb: layout.ClosePath})
	}
	d.out.Shapes = append(d.out.Shapes, s)
}

func (d *drawing) label(text []layout.Span, x, y layout.Length, align layout.Align) {
	if d.Mirrored && align == layout.AlignStart {
		align = layout.AlignEnd
	}
	d.out.Labels = append(d.out.Labels, layout.Label{At: layout.Point{X: x, Y: y}, Align: align, Size: d.Size, Text: text})
}

const hair = layout.Pt * 35 / 100

// days are thin lines through the rows at the days that are named.
func (d *drawing) days(top, foot layout.Length) {
	for _, t := range d.Ticks {
		x := d.x(24 * t.Day)
		d.shape(layout.Shape{Stroke: hair, Grey: 25}, layout.Point{X: x, Y: top - d.row/4}, layout.Point{X: x, Y: foot})
	}
}

func (d *drawing) bar(b Bar, top layout.Length) {
	d.label(b.Label, d.mirror(0), top+d.row*68/100, layout.AlignStart)
	thick := d.row * 34 / 100
	style := layout.Shape{Fill: 72}
	if b.Soft {
		thick, style = d.row*62/100, layout.Shape{Fill: 16}
	}
	from, to := d.x(b.From), d.x(b.To)
	y := top + (d.row-thick)/2
	d.shape(style, layout.Point{X: from, Y: y}, layout.Point{X: to, Y: y}, layout.Point{X: to, Y: y + thick}, layout.Point{X: from, Y: y + thick})
}

// review marks its day by a dashed line through the rows and a word above it.
func (d *drawing) review(top, foot layout.Length) {
	if d.Review == 0 {
		return
	}
	x := d.x(24 * d.Review)
	d.shape(layout.Shape{Stroke: layout.Pt, Grey: 100, Dash: layout.Pt * 24 / 10}, layout.Point{X: x, Y: top - d.row/2}, layout.Point{X: x, Y: foot})
	d.label(d.ReviewLabel, x, top-d.row*65/100, layout.AlignCentre)
}

func (d *drawing) axis(y layout.Length) {
	d.shape(layout.Shape{Stroke: layout.Pt * 8 / 10, Grey: 100}, layout.Point{X: d.x(0), Y: y}, layout.Point{X: d.x(24 * (Days + 1)), Y: y})
	before := -Days
	for _, t := range d.Ticks {
		x := d.x(24 * t.Day)
		d.shape(layout.Shape{Stroke: layout.Pt * 8 / 10, Grey: 100}, layout.Point{X: x, Y: y}, layout.Point{X: x, Y: y + d.row/5})
		if d.crowded(t.Day, before) {
			continue
		}
		before = t.Day
		d.label(t.Label, x, y+d.row, layout.AlignCentre)
	}
}
