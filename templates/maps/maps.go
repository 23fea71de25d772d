// Package maps draws the places of injections on our own drawings of the face.
//
// A drawing is data (lips.yaml, profile.yaml, face.yaml, oblique.yaml): half of a figure, or one of a pair of
// views, as Bézier paths, with an anchor for each zone and the usual course of the vessels at risk. Sides are
// always the patient's, who faces the reader: the patient's right is on the left of the page, in every
// language, and nothing mirrors it.
package maps

import (
	"embed"
	"fmt"
	"slices"
	"sync"

	"philtrum/forms/source"
	"philtrum/templates/layout"
)

// Names of the maps.
const (
	Lips    = "lips"    // from the front
	Profile = "profile" // the lips from either side
	Face    = "face"    // from the front
	Oblique = "oblique" // the face, turned half to either side
)

// Map is a drawing with its zones.
type Map struct {
	Name    string
	pair    bool // two views, one of each side; otherwise two halves of one
	lines   []line
	vessels []Vessel
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

// Vessel is the usual course of a vessel at risk. Nobody's vessels lie as they are drawn.
type Vessel struct {
	Name   string // a term of the trade: "facial"
	Source string
	Trust  string // read, or memory
	path   []layout.Segment
	letter layout.Point // where its letter stands on the patient's left
}

type anchor struct {
	at      layout.Point // x counts from the midline, below zero on the patient's right
	midline bool
}

// width of every map: the measure of a page of A4.
const width = 482 * layout.Pt

//go:embed lips.yaml profile.yaml face.yaml oblique.yaml
var files embed.FS

// drawn is every embedded map, each read when it is first drawn.
var drawn = map[string]func() *Map{
	Lips: embedded(Lips), Profile: embedded(Profile), Face: embedded(Face), Oblique: embedded(Oblique),
}

func embedded(name string) func() *Map {
	return sync.OnceValue(func() *Map {
		file := name + ".yaml"
		data, err := files.ReadFile(file)
		if err != nil {
			panic(fmt.Sprintf("maps: embedded %s: %v", name, err))
		}
		m, problems := Read(file, data)
		if err := problems.Err(); err != nil {
			panic(fmt.Sprintf("maps: embedded %s: %v", name, err))
		}
		return m
	})
}

// Names lists the maps.
func Names() []string { return []string{Lips, Profile, Face, Oblique} }

// Zones lists the zones that a map can show, in the order of its file; none for a name that is no map's.
func Zones(name string) []string {
	if m, ok := drawn[name]; ok {
		return m().zones
	}
	return nil
}

// Shows says whether a map has a place for a zone.
func Shows(name, zone string) bool { return slices.Contains(Zones(name), zone) }

// Vessels lists the vessels of a map, in the order of their letters.
func Vessels(name string) []Vessel {
	if m, ok := drawn[name]; ok {
		return m().vessels
	}
	return nil
}

// Letter is the sign of the vessel at that place of [Vessels].
func Letter(i int) string { return string(rune('A' + i)) }

// Read reads a map and reports what is wrong with it.
func Read(file string, data []byte) (*Map, source.Problems) {
	n, problems := packed().Parse(file, data)
	if len(problems) > 0 {
		return nil, problems
	}
	r := &source.Reader{}
	f := r.Fields(n, "map", "pair", "axis", "scale", "top", "bottom", "lines", "weights", "anchors", "vessels")
	m := &Map{Name: r.Text(f.Need("map")), pair: r.YesNo(f.Get("pair")), anchors: map[string]anchor{}}
	p := &plotter{r: r, scale: layout.Length(r.Int(f.Need("scale"), 100, 10000))}
	if n := f.Get("axis"); n != nil {
		p.left = p.length(p.number(n, r.Text(n)))
	}
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
	for _, n := range r.List(f.Get("vessels")) {
		m.vessels = append(m.vessels, p.vessel(n))
	}
	for _, k := range r.Entries(f.Need("anchors")) {
		af := r.Fields(k.Value, "at", "midline")
		if at, ok := p.point(k.Value, af.Need("at")); ok {
			m.anchors[k.Name] = anchor{at: at, midline: r.YesNo(af.Get("midline"))}
			m.zones = append(m.zones, k.Name)
		}
	}
	if problems := r.Problems(); len(problems) > 0 {
		return nil, problems
	}
	return m, nil
}
