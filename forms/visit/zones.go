package visit

import (
	_ "embed"
	"fmt"
	"slices"
	"sync"

	"philtrum/forms/source"
)

// Zone is a place of the face in which filler is laid.
type Zone struct {
	Code    string
	Lip     string // upper, lower, both, none
	Midline bool   // has no side
	Area    string // the area it belongs to; empty: none wider than itself
}

// Words are the closed lists that injection rows are written in.
type Words struct {
	Zones       []Zone
	Areas       map[string]string // area to the wider area that holds it
	Planes      []string
	Techniques  []string
	Instruments []string
}

//go:embed zones.yaml
var zonesFile []byte

// Lists gives the closed lists. Callers share them and change nothing.
var Lists = sync.OnceValue(func() *Words {
	w, problems := readWords("zones.yaml", zonesFile)
	if err := problems.Err(); err != nil {
		panic(fmt.Sprintf("visit: embedded lists: %v", err))
	}
	return w
})

func readWords(file string, data []byte) (*Words, source.Problems) {
	root, problems := packed().Parse(file, data)
	if len(problems) > 0 {
		return nil, problems
	}
	r := &source.Reader{}
	f := r.Fields(root, "zones", "areas", "planes", "techniques", "instruments")
	w := &Words{
		Areas:       map[string]string{},
		Planes:      r.Texts(f.Need("planes")),
		Techniques:  r.Texts(f.Need("techniques")),
		Instruments: r.Texts(f.Need("instruments")),
	}
	for _, n := range r.List(f.Need("areas")) {
		a := r.Fields(n, "code", "within")
		w.Areas[r.Text(a.Need("code"))] = r.Text(a.Get("within"))
	}
	for _, n := range r.List(f.Need("zones")) {
		w.Zones = append(w.Zones, w.readZone(n, r))
	}
	return w, r.Problems()
}

func (w *Words) readZone(n *source.Node, r *source.Reader) Zone {
	f := r.Fields(n, "code", "lip", "side", "area")
	z := Zone{
		Code:    r.Text(f.Need("code")),
		Lip:     r.OneOf(f.Need("lip"), "upper", "lower", "both", "none"),
		Midline: r.OneOf(f.Need("side"), "sided", "midline") == "midline",
		Area:    r.Text(f.Get("area")),
	}
	if _, twice := w.Zone(z.Code); twice {
		r.Report(f.Get("code"), "problem.id_twice", map[string]any{"id": z.Code, "line": n.Span.Line})
	}
	if _, known := w.Areas[z.Area]; z.Area != "" && !known {
		r.Report(f.Get("area"), "problem.zone_area", nil)
	}
	return z
}

// Zone finds a zone by its code.
func (w *Words) Zone(code string) (Zone, bool) {
	i := slices.IndexFunc(w.Zones, func(z Zone) bool { return z.Code == code })
	if i < 0 {
		return Zone{}, false
	}
	return w.Zones[i], true
}

// Place says whether code is a zone or an area, as plans and consents may name them.
func (w *Words) Place(code string) bool {
	_, area := w.Areas[code]
	_, zone := w.Zone(code)
	return area || zone
}

// Codes lists zones in the order of the list, then areas by name.
func (w *Words) Codes() []string {
	var codes, areas []string
	for _, z := range w.Zones {
		codes = append(codes, z.Code)
	}
	for a := range w.Areas {
		areas = append(areas, a)
	}
	slices.Sort(areas)
	return append(codes, areas...)
}

// Covers says whether the zones and areas of a consent hold the zone or area code. Both lips together
// hold what lies between them.
func (w *Words) Covers(covered []string, code string) bool {
	if slices.Contains(covered, "UL") && slices.Contains(covered, "LL") {
		covered = append(slices.Clone(covered), "LIPS")
	}
	for steps := 0; code != "" && steps < 8; steps++ {
		if slices.Contains(covered, code) {
			return true
		}
		if z, ok := w.Zone(code); ok {
			code = z.Area
			continue
		}
		code = w.Areas[code]
	}
	return false
}
