package maps

import (
	"slices"

	"philtrum/templates/layout"
)

// column holds the dots of one side and the labels beside them; mirrored, it is the right edge of the
// page, where the patient's left is.
type column struct {
	mirrored bool
	dots     []dot
}

// step is the distance of two labels of the column: more where one has a note.
func (c *column) step() layout.Length {
	for _, d := range c.dots {
		if d.hang && len(d.mark.Note) > 0 {
			return labelStep + noteStep
		}
	}
	return labelStep
}

// room is the height that a map needs for the labels of the column.
func (c *column) room() layout.Length {
	n := layout.Length(len(c.hung()))
	if n == 0 {
		return 0
	}
	return labelsBegin + n*c.step() + labelSize
}

// settle gives every label its place: as near to the height of its dot as the labels around allow, and
// then so that no two leaders cross. Leaders of the two columns stay on their own side of the midline. The
// dots lie down from where the map has them.
func (c *column) settle(height, down layout.Length) {
	for i := range c.dots {
		c.dots[i].at.Y += down
	}
	hung := c.hung()
	if len(hung) == 0 {
		return
	}
	slices.SortStableFunc(hung, func(a, b *dot) int { return int(a.at.Y - b.at.Y) })
	step := c.step()
	next := labelsBegin
	for _, d := range hung {
		d.slot = max(d.at.Y, next)
		next = d.slot + step
	}
	last := height - labelSize - (step - labelStep)
	for i := len(hung) - 1; i >= 0; i-- {
		hung[i].slot = min(hung[i].slot, last)
		last = hung[i].slot - step
	}
	c.uncross(hung)
}

// uncross swaps the labels of crossing leaders. Every swap makes the leaders shorter in sum, so it ends.
func (c *column) uncross(hung []*dot) {
	for swapped := true; swapped; {
		swapped = false
		for i, a := range hung {
			for _, b := range hung[i+1:] {
				if cross(a.at, c.end(a), b.at, c.end(b)) {
					a.slot, b.slot = b.slot, a.slot
					swapped = true
				}
			}
		}
	}
}

func (c *column) hung() []*dot {
	var out []*dot
	for i := range c.dots {
		if c.dots[i].hang {
			out = append(out, &c.dots[i])
		}
	}
	return out
}

// end is where a dot's leader meets its label.
func (c *column) end(d *dot) layout.Point {
	if c.mirrored {
		return layout.Point{X: width - leaderEdge, Y: d.slot}
	}
	return layout.Point{X: leaderEdge, Y: d.slot}
}

// cross says whether two segments cross properly.
func cross(a, b, c, d layout.Point) bool {
	return turn(a, b, c)*turn(a, b, d) < 0 && turn(c, d, a)*turn(c, d, b) < 0
}

// turn is the side of the line from a to b on which c lies.
func turn(a, b, c layout.Point) int {
	n := int64(b.X-a.X)*int64(c.Y-a.Y) - int64(b.Y-a.Y)*int64(c.X-a.X)
	switch {
	case n > 0:
		return 1
	case n < 0:
		return -1
	}
	return 0
}

func (c *column) leaders() []layout.Shape {
	var out []layout.Shape
	for _, d := range c.hung() {
		out = append(out, layout.Shape{Stroke: leaderWidth, Grey: 50, Path: []layout.Segment{
			{Verb: layout.MoveTo, Points: [3]layout.Point{d.at}},
			{Verb: layout.LineTo, Points: [3]layout.Point{c.end(d)}},
		}})
	}
	return out
}

func (c *column) labels() []layout.Label {
	var out []layout.Label
	for _, d := range c.hung() {
		l := layout.Label{At: layout.Point{X: labelEdge, Y: d.slot + labelSize/3}, Align: layout.AlignEnd, Size: labelSize, Text: d.mark.Label}
		if c.mirrored {
			l.At.X, l.Align = width-labelEdge, layout.AlignStart
		}
		out = append(out, l)
		if len(d.mark.Note) > 0 {
			l.At.Y, l.Text = l.At.Y+noteStep, d.mark.Note
			out = append(out, l)
		}
	}
	return out
}
