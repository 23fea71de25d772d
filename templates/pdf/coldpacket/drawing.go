package main

import (
	"fmt"
	"strconv"
	"strings"

	"philtrum/templates/layout"
)

// diagram is a drawing as the content has it: paths, circles and numbered tags in units of its own.
type diagram struct {
	W, H  float64
	Items []struct {
		K, D, Stroke, Fill, N string
		X, Y, R, SW           float64
	}
}

const tagRadius = 5

func (d *diagram) drawing() (*layout.Drawing, error) {
	out := &layout.Drawing{Name: "diagram", Width: units(d.W), Height: units(d.H)}
	for _, it := range d.Items {
		s := layout.Shape{Stroke: units(it.SW), Grey: 70}
		if it.Fill != "" && it.Fill != "none" {
			s.Fill = 8
		}
		switch it.K {
		case "path":
			path, err := pathOf(it.D)
			if err != nil {
				return nil, err
			}
			s.Path = path
		case "circle":
			s.Path = circle(it.X, it.Y, it.R)
		case "tag":
			s = layout.Shape{Path: circle(it.X, it.Y, tagRadius), Stroke: 600, Grey: 100, White: true}
			out.Labels = append(out.Labels, layout.Label{
				At: layout.Point{X: units(it.X), Y: units(it.Y + 2.5)}, Align: layout.AlignCentre, Size: 7 * pt,
				Text: []layout.Span{{Text: it.N}},
			})
		}
		out.Shapes = append(out.Shapes, s)
	}
	return out, nil
}

func units(v float64) layout.Length { return layout.Length(v * float64(pt)) }

// pathOf reads path data of absolute M, L, C and Z.
func pathOf(data string) ([]layout.Segment, error) {
	var path []layout.Segment
	var verb layout.Verb
	fields := strings.Fields(data)
	for i := 0; i < len(fields); {
		need := 1
		switch fields[i] {
		case "M":
			verb, i = layout.MoveTo, i+1
		case "L":
			verb, i = layout.LineTo, i+1
		case "C":
			verb, i = layout.CurveTo, i+1
		case "Z":
			path, i = append(path, layout.Segment{Verb: layout.ClosePath}), i+1
			continue
		}
		if verb == layout.CurveTo {
			need = 3
		}
		if i+2*need > len(fields) {
			return nil, fmt.Errorf("path ends early: %q", data)
		}
		s := layout.Segment{Verb: verb}
		for p := range need {
			x, err1 := strconv.ParseFloat(fields[i+2*p], 64)
			y, err2 := strconv.ParseFloat(fields[i+2*p+1], 64)
			if err1 != nil || err2 != nil {
				return nil, fmt.Errorf("path has no number: %q", data)
			}
			s.Points[p] = layout.Point{X: units(x), Y: units(y)}
		}
		path, i = append(path, s), i+2*need
	}
	return path, nil
}

// circle is four curves; 0.5523 is the length of their handles for a radius of 1.
func circle(x, y, r float64) []layout.Segment {
	at := func(dx, dy float64) layout.Point { return layout.Point{X: units(x + dx*r), Y: units(y + dy*r)} }
	const h = 0.5523
	return []layout.Segment{
		{Verb: layout.MoveTo, Points: [3]layout.Point{at(1, 0)}},
		{Verb: layout.CurveTo, Points: [3]layout.Point{at(1, h), at(h, 1), at(0, 1)}},
		{Verb: layout.CurveTo, Points: [3]layout.Point{at(-h, 1), at(-1, h), at(-1, 0)}},
		{Verb: layout.CurveTo, Points: [3]layout.Point{at(-1, -h), at(-h, -1), at(0, -1)}},
		{Verb: layout.CurveTo, Points: [3]layout.Point{at(h, -1), at(1, -h), at(1, 0)}},
		{Verb: layout.ClosePath},
	}
}
