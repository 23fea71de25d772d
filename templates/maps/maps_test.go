package maps

import (
	"fmt"
	"os"
	"slices"
	"strings"
	"testing"

	"philtrum/forms/source"
	"philtrum/forms/visit"
	"philtrum/templates/layout"

	"pgregory.net/rapid"
)

// Whatever the marks, leaders of one drawing never cross, and no label leaves the drawing.
func TestLeadersNeverCross(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var marks []Mark
		for range rapid.IntRange(0, 24).Draw(t, "n") {
			marks = append(marks, Mark{
				Zone:        rapid.SampledFrom(Zones()).Draw(t, "zone"),
				Side:        rapid.SampledFrom([]string{"right", "left", "both"}).Draw(t, "side"),
				Microlitres: rapid.Int64Range(0, 1000).Draw(t, "volume"),
			})
		}
		d := Lips(marks, Sides{})
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
		for _, l := range d.Labels {
			if l.At.Y < 0 || l.At.Y > d.Height || l.At.X < 0 || l.At.X > d.Width {
				t.Fatalf("label at %v leaves the drawing", l.At)
			}
		}
	})
}

// The patient's right is on the left of the page, and one side is the mirror image of the other.
func TestSidesMirror(t *testing.T) {
	for _, zone := range Zones() {
		right := onlyDot(Lips([]Mark{{Zone: zone, Side: "right"}}, Sides{}))
		left := onlyDot(Lips([]Mark{{Zone: zone, Side: "left"}}, Sides{}))
		if right.X+left.X != width || right.Y != left.Y {
			t.Errorf("%s: right at %v, left at %v", zone, right, left)
		}
		if right.X > width/2 {
			t.Errorf("%s: the patient's right is on the right of the page", zone)
		}
	}
}

// onlyDot is the centre of the last filled circle.
func onlyDot(d *layout.Drawing) layout.Point {
	path := d.Shapes[len(d.Shapes)-1].Path
	return layout.Point{X: (path[0].Points[0].X + path[2].Points[2].X) / 2, Y: path[0].Points[0].Y}
}

// Every zone of the lips that a record may name has its place on the map, and the map has no other.
func TestZonesOfTheLips(t *testing.T) {
	var want []string
	for _, z := range visit.Lists().Zones {
		if z.Lip != "none" || z.Code == "LM" || z.Code == "PO-LINES" {
			want = append(want, z.Code)
		}
	}
	have := slices.Sorted(slices.Values(Zones()))
	slices.Sort(want)
	if !slices.Equal(have, want) {
		t.Errorf("zones on the map %v, zones of records %v", have, want)
	}
}

// Zones that lie on the midline in records lie on it here.
func TestMidline(t *testing.T) {
	for zone, a := range lips().anchors {
		z, _ := visit.Lists().Zone(zone)
		if z.Midline != a.midline || a.midline && a.at.X != 0 {
			t.Errorf("%s: on the midline of records %t, of the map %t at %v", zone, z.Midline, a.midline, a.at)
		}
	}
}

// The red of the lower lip is about 1.6 times as high as that of the upper at the midline.
func TestProportions(t *testing.T) {
	y := func(part string) layout.Length {
		for _, l := range lips().lines {
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
		data := strings.Replace(string(lipsFile), c.from, c.to, 1)
		_, problems := Read("lips.yaml", []byte(data))
		if !slices.ContainsFunc(problems, func(p source.Problem) bool { return p.ID == c.want && p.Span.Line > 0 }) {
			t.Errorf("%s: %v", name, problems)
		}
	}
}

// MAP_SVG names a file to which a map with many marks is written, to look at.
func TestLook(t *testing.T) {
	file := os.Getenv("MAP_SVG")
	if file == "" {
		t.Skip("MAP_SVG names no file to write")
	}
	var marks []Mark
	for i, zone := range []string{"UL-VB", "UL-CBP", "UL-TL", "UL-PHC", "LL-TL", "LL-VB", "COM", "LL-VBODY"} {
		for j, side := range []string{"right", "left"} {
			v := int64(20 + 15*i + 10*j)
			marks = append(marks, Mark{Zone: zone, Side: side, Microlitres: v, Planned: i == 5, Label: []layout.Span{{Text: fmt.Sprintf("0.%03d mL", v)}}})
		}
	}
	marks = append(marks, Mark{Zone: "UL-TM", Microlitres: 60, Label: []layout.Span{{Text: "0.060 mL"}}})
	d := Lips(marks, Sides{Right: []layout.Span{{Text: "Patient’s right"}}, Left: []layout.Span{{Text: "Patient’s left"}}})
	if err := os.WriteFile(file, []byte(svg(d)), 0o600); err != nil {
		t.Fatal(err)
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
