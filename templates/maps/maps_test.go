package maps

import (
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"philtrum/forms/source"
	"philtrum/forms/visit"
	"philtrum/templates/layout"

	"pgregory.net/rapid"
)

// printed is the least width at which a paper sets a map, in thousandths of its own: 120 mm.
const printed = int64(layout.Pt*72*120*10/254) * 1000 / int64(width)

// Whatever the marks, up to every zone on every side: leaders of one drawing never cross, no label leaves the
// drawing, and no label touches another where the map is set smallest.
func TestLabelsNeverCollide(t *testing.T) {
	check := func(t interface{ Fatalf(string, ...any) }, name string, marks []Mark) {
		d := Draw(View{Map: name, Marks: marks, Labels: true, Vessels: true, Sides: Sides{Right: words("R"), Left: words("L")}})
		var leaders [][2]layout.Point
		for _, s := range d.Shapes {
			if s.Stroke == leaderWidth && len(s.Path) == 2 && s.Grey == 50 {
				leaders = append(leaders, [2]layout.Point{s.Path[0].Points[0], s.Path[1].Points[0]})
			}
		}
		for i, a := range leaders {
			for _, b := range leaders[i+1:] {
				if cross(a[0], a[1], b[0], b[1]) {
					t.Fatalf("leaders %v and %v cross", a, b)
				}
			}
		}
		for i, l := range d.Labels {
			if l.At.Y < 0 || l.At.Y > d.Height || l.At.X < 0 || l.At.X > d.Width {
				t.Fatalf("label at %v leaves the drawing", l.At)
			}
			for _, other := range d.Labels[i+1:] {
				// Labels of one edge stand below each other; their size is that of the print, their place the map's.
				apart := int64(l.At.Y-other.At.Y) * printed / 1000
				if l.Size == labelSize && l.At.X == other.At.X && max(apart, -apart) < int64(labelSize) {
					t.Fatalf("labels at %v and %v are %d apart", l.At, other.At, apart)
				}
			}
		}
	}
	for _, name := range Names() {
		for _, side := range [][]string{{"right", "left"}, {"both"}} {
			var all []Mark
			for _, zone := range Zones(name) {
				for _, s := range side {
					all = append(all, Mark{Zone: zone, Side: s, Microlitres: 1000, Label: words("1.000 mL"), Note: words("both sides")})
				}
			}
			check(t, name, all)
		}
	}
	rapid.Check(t, func(t *rapid.T) {
		var marks []Mark
		name := rapid.SampledFrom(Names()).Draw(t, "map")
		for range rapid.IntRange(0, 24).Draw(t, "n") {
			m := Mark{
				Zone:        rapid.SampledFrom(Zones(name)).Draw(t, "zone"),
				Side:        rapid.SampledFrom([]string{"right", "left", "both"}).Draw(t, "side"),
				Microlitres: rapid.Int64Range(0, 1000).Draw(t, "volume"),
			}
			if rapid.Bool().Draw(t, "note") {
				m.Note = words("both sides")
			}
			marks = append(marks, m)
		}
		check(t, name, marks)
	})
}

func words(s string) []layout.Span { return []layout.Span{{Text: s}} }

// Everything that is drawn lies inside its frame, and the patient's right is drawn on the left half alone.
func TestInsideTheFrame(t *testing.T) {
	for _, name := range Names() {
		m := drawn[name]()
		inside := func(what string, path []layout.Segment) {
			for _, step := range path {
				for i := range map[layout.Verb]int{layout.MoveTo: 1, layout.LineTo: 1, layout.CurveTo: 3}[step.Verb] {
					if p := step.Points[i]; p.X < -width/2 || p.X > layout.Pt || p.Y < 0 || p.Y > m.height {
						t.Errorf("%s, %s: %v leaves the frame", name, what, p)
					}
				}
			}
		}
		for _, l := range m.lines {
			inside(l.part, l.path)
		}
		for i, v := range m.vessels {
			inside(v.Name, v.path)
			for zone, a := range m.anchors {
				near := func(x layout.Length) bool {
					dx, dy := int64(x-v.letter.X), int64(a.at.Y-v.letter.Y)
					return dx*dx+dy*dy < int64(smallestDot+letterSize/2)*int64(smallestDot+letterSize/2)
				}
				if near(a.at.X) {
					t.Errorf("%s: the letter %s of %s stands on zone %s", name, Letter(i), v.Name, zone)
				}
			}
		}
	}
}

// The patient's right is on the left of the page, and one side is the mirror image of the other.
func TestSidesMirror(t *testing.T) {
	for _, name := range Names() {
		for _, zone := range Zones(name) {
			m := drawn[name]()
			if m.pair && m.anchors[zone].midline {
				continue
			}
			right := onlyDot(Draw(View{Map: name, Marks: []Mark{{Zone: zone, Side: "right"}}}))
			left := onlyDot(Draw(View{Map: name, Marks: []Mark{{Zone: zone, Side: "left"}}}))
			if right.X+left.X != width || right.Y != left.Y {
				t.Errorf("%s, %s: right at %v, left at %v", name, zone, right, left)
			}
			if right.X > width/2 {
				t.Errorf("%s, %s: the patient's right is on the right of the page", name, zone)
			}
		}
	}
}

// onlyDot is the centre of the last filled circle.
func onlyDot(d *layout.Drawing) layout.Point {
	path := d.Shapes[len(d.Shapes)-1].Path
	return layout.Point{X: (path[0].Points[0].X + path[2].Points[2].X) / 2, Y: path[0].Points[0].Y}
}

// Every zone that a record may name has its place on a map seen from the front and on its second view, and the
// maps have no others.
func TestZonesHavePlaces(t *testing.T) {
	for _, z := range visit.Lists().Zones {
		if Shows(Lips, z.Code) != Shows(Profile, z.Code) || Shows(Face, z.Code) != Shows(Oblique, z.Code) {
			t.Errorf("%s has a place on one view alone", z.Code)
		}
		if !Shows(Lips, z.Code) && !Shows(Face, z.Code) {
			t.Errorf("%s has no place on a map", z.Code)
		}
		if z.Lip != "none" && !Shows(Lips, z.Code) {
			t.Errorf("%s, a zone of the lips, has no place on their map", z.Code)
		}
	}
	for _, name := range Names() {
		for _, zone := range Zones(name) {
			if _, ok := visit.Lists().Zone(zone); !ok {
				t.Errorf("%s: %s is no zone of records", name, zone)
			}
		}
	}
}

// Zones that lie on the midline in records lie on it here.
func TestMidline(t *testing.T) {
	for _, name := range Names() {
		m := drawn[name]()
		for zone, a := range m.anchors {
			z, _ := visit.Lists().Zone(zone)
			if z.Midline != a.midline || a.midline && !m.pair && a.at.X != 0 {
				t.Errorf("%s, %s: on the midline of records %t, of the map %t at %v", name, zone, z.Midline, a.midline, a.at)
			}
		}
	}
}

// A vessel says where its course is from.
func TestVesselsHaveSources(t *testing.T) {
	for _, name := range []string{Lips, Face} {
		if len(Vessels(name)) == 0 {
			t.Errorf("%s has no vessels", name)
		}
		for _, v := range Vessels(name) {
			if v.Source == "" || v.Trust == "" || len(v.path) == 0 {
				t.Errorf("%s, %s: source %q, trust %q", name, v.Name, v.Source, v.Trust)
			}
		}
	}
}

// The red of the lower lip is about 1.6 times as high as that of the upper at the midline.
func TestProportions(t *testing.T) {
	y := func(part string) layout.Length {
		for _, l := range drawn[Lips]().lines {
			if l.part == part {
				return l.path[len(l.path)-1].Points[2].Y
			}
		}
		t.Fatalf("no part %s", part)
		return 0
	}
	upper, lower := y("upper_edge")-y("upper_border"), y("lower_border")-y("lower_edge")
	if r := float64(lower) / float64(upper); r < 1.5 || r > 1.7 {
		t.Errorf("upper %d, lower %d: ratio %.2f", upper, lower, r)
	}
}

// More volume is never a smaller dot, and four times the volume is twice the radius.
func TestDotGrowsWithVolume(t *testing.T) {
	if radius(400) != 2*radius(100) {
		t.Errorf("0.4 mL has radius %d, 0.1 mL %d", radius(400), radius(100))
	}
	rapid.Check(t, func(t *rapid.T) {
		v := rapid.Int64Range(0, 5000).Draw(t, "volume")
		if radius(v) > radius(v+1) {
			t.Fatalf("radius falls after %d µL", v)
		}
	})
}

func TestReadReports(t *testing.T) {
	for name, c := range map[string]struct{ from, to, want string }{
		"odd count of numbers": {"M -41 3.9 C", "M -41 C", "problem.path"},
		"unknown letter":       {"M -41 3.9 C", "M -41 3.9 Q", "problem.path"},
		"unknown weight":       {"weight: inner", "weight: bold", "problem.unknown_weight"},
		"three decimals":       {"at: -50 0.8", "at: -50 0.825", "problem.path"},
		"misspelt key":         {"scale:", "sale:", "problem.unknown_key_near"},
	} {
		lipsFile, err := files.ReadFile("lips.yaml")
		if err != nil {
			t.Fatal(err)
		}
		data := strings.Replace(string(lipsFile), c.from, c.to, 1)
		_, problems := Read("lips.yaml", []byte(data))
		if !slices.ContainsFunc(problems, func(p source.Problem) bool { return p.ID == c.want && p.Span.Line > 0 }) {
			t.Errorf("%s: %v", name, problems)
		}
	}
}

// MAP_SVG names a folder to which each map is written, bare and with a mark in every zone, to look at.
func TestLook(t *testing.T) {
	dir := os.Getenv("MAP_SVG")
	if dir == "" {
		t.Skip("MAP_SVG names no folder to write to")
	}
	for _, name := range Names() {
		var marks []Mark
		for i, zone := range Zones(name) {
			for j, side := range []string{"right", "left"} {
				v := int64(20 + 7*i + 10*j)
				if z, _ := visit.Lists().Zone(zone); !z.Midline || j == 0 {
					marks = append(marks, Mark{Zone: zone, Side: side, Microlitres: v, Planned: i == 5, Label: words(fmt.Sprintf("%s 0.%03d mL", zone, v))})
				}
			}
		}
		sides := Sides{Right: words("Patient’s right"), Left: words("Patient’s left")}
		for file, v := range map[string]View{
			name: {Map: name, Sides: sides}, name + "-vessels": {Map: name, Sides: sides, Vessels: true},
			name + "-marks": {Map: name, Sides: sides, Marks: marks, Labels: name == Lips || name == Face, Vessels: true},
		} {
			if err := os.WriteFile(filepath.Join(dir, file+".svg"), []byte(svg(Draw(v))), 0o600); err != nil {
				t.Fatal(err)
			}
		}
	}
}

func svg(d *layout.Drawing) string {
	pt := func(l layout.Length) float64 { return float64(l) / 1000 }
	var b strings.Builder
	fmt.Fprintf(&b, `<svg xmlns="http://www.w3.org/2000/svg" width="%g" height="%g"><rect width="100%%" height="100%%" fill="#fff"/>`, pt(d.Width), pt(d.Height))
	grey := func(p uint8, accent bool) string {
		if accent {
			return "#7d1d3f"
		}
		v := 255 - int(p)*23/10
		return fmt.Sprintf("rgb(%d,%d,%d)", v, v, v)
	}
	for _, s := range d.Shapes {
		fill, stroke := "none", "none"
		if s.White {
			fill = "#fff"
		} else if s.Fill > 0 {
			fill = grey(s.Fill, s.Accent)
		}
		if s.Stroke > 0 {
			stroke = grey(s.Grey, s.Accent)
		}
		fmt.Fprintf(&b, `<path fill="%s" stroke="%s" stroke-width="%g" stroke-dasharray="%g" d="`, fill, stroke, pt(s.Stroke), pt(s.Dash))
		for _, step := range s.Path {
			n := map[layout.Verb]int{layout.MoveTo: 1, layout.LineTo: 1, layout.CurveTo: 3}[step.Verb]
			b.WriteString([]string{"M", "L", "C", "Z"}[step.Verb])
			for _, p := range step.Points[:n] {
				fmt.Fprintf(&b, " %g %g", pt(p.X), pt(p.Y))
			}
		}
		b.WriteString(`"/>`)
	}
	for _, l := range d.Labels {
		fmt.Fprintf(&b, `<text x="%g" y="%g" font-size="%g" font-family="sans-serif" text-anchor="%s">`, pt(l.At.X), pt(l.At.Y), pt(l.Size), []string{"start", "end", "middle", "start"}[l.Align])
		for _, s := range l.Text {
			b.WriteString(s.Text)
		}
		b.WriteString("</text>")
	}
	return b.String() + "</svg>"
}

// Reading a map is part of a cold run that issues a record.
func BenchmarkRead(b *testing.B) {
	for _, name := range Names() {
		data, err := files.ReadFile(name + ".yaml")
		if err != nil {
			b.Fatal(err)
		}
		b.Run(name, func(b *testing.B) {
			for b.Loop() {
				if _, problems := Read(name+".yaml", data); len(problems) > 0 {
					b.Fatal(problems)
				}
			}
		})
	}
}
