// Package maps draws the places of injections on our own drawings of the face.
//
// A drawing is data: half of a figure as Bézier paths, and an anchor for each zone (lips.yaml). Sides are
// always the patient's, who faces the reader: the patient's right is on the left of the page, in every
// language, and nothing mirrors it.
package maps

import (
	_ "embed"
	"fmt"
	"sync"

	"philtrum/forms/source"
	"philtrum/templates/layout"
)

// Map is a drawing with its zones.
type Map struct {
	Name    string
	lines   []line
	anchors map[string]anchor
	height  layout.Length
	zones   []string
}

// line is one part of the figure, for the patient's right half; draw mirrors it.
type line struct {
	part  string
	path  []layout.Segment
	width layout.Length
	grey  uint8
	fill  uint8
	dash  bool
}

type anchor struct {
	at      layout.Point // x counts from the midline, below zero on the patient's right
	midline bool
}

// width of every map: the measure of a page of A4.
const width = 482 * layout.Pt

//go:embed lips.yaml
var lipsFile []byte

// lips is the embedded map of the lips, read once.
var lips = sync.OnceValue(func() *Map {
	m, problems := Read("lips.yaml", lipsFile)
	if err := problems.Err(); err != nil {
		panic(fmt.Sprintf("maps: embedded lips: %v", err))
	}
	return m
})

// Zones lists the zones that the map of the lips can show, in the order of its file.
func Zones() []string { return lips().zones }

// Read reads a map and reports what is wrong with it.
func Read(file string, data []byte) (*Map, source.Problems) {
	n, problems := source.Parse(file, data)
	if len(problems) > 0 {
		return nil, problems
	}
	r := &source.Reader{}
	f := r.Fields(n, "map", "scale", "top", "bottom", "lines", "weights", "anchors")
	m := &Map{Name: r.Text(f.Need("map")), anchors: map[string]anchor{}}
	p := &plotter{r: r, scale: layout.Length(r.Int(f.Need("scale"), 100, 10000))}
	top := p.number(f.Need("top"), r.Text(f.Get("top")))
	p.top = p.length(top)
	m.height = p.length(p.number(f.Need("bottom"), r.Text(f.Get("bottom")))) - p.top
	weights := map[string]source.Fields{}
	for _, k := range r.Entries(f.Need("weights")) {
		weights[k.Name] = r.Fields(k.Value, "line", "grey")
	}
	for _, n := range r.List(f.Need("lines")) {
		m.lines = append(m.lines, p.line(n, weights))
	}
	for _, k := range r.Entries(f.Need("anchors")) {
		af := r.Fields(k.Value, "at", "midline")
		points := p.points(af.Need("at"), r.Text(af.Get("at")))
		if len(points) != 1 {
			r.Report(k.Value, "problem.path", nil)
			continue
		}
		m.anchors[k.Name] = anchor{at: points[0], midline: r.YesNo(af.Get("midline"))}
		m.zones = append(m.zones, k.Name)
	}
	if problems := r.Problems(); len(problems) > 0 {
		return nil, problems
	}
	return m, nil
}
