package pdf

import (
	"bytes"
	"fmt"
	"strings"
	"testing"

	"philtrum/templates/layout"
)

// diagonal is a path from one corner to the other.
func diagonal(to layout.Length) []layout.Segment {
	return []layout.Segment{
		{Verb: layout.MoveTo}, {Verb: layout.LineTo, Points: [3]layout.Point{{X: to, Y: to}}}, {Verb: layout.ClosePath},
	}
}

// figure is a result of one page that holds one drawing.
func figure(d *layout.Drawing) layout.Result {
	rect := layout.Rect{X: 10 * layout.Pt, Y: 20 * layout.Pt, Width: 50 * layout.Pt, Height: 25 * layout.Pt}
	e := &layout.Element{Type: "Figure", Alt: "x", BBox: rect, Page: 1, Kids: []layout.Kid{{Page: 1}}}
	return layout.Result{
		Lang: "en",
		Sheet: layout.Sheet{
			Width: 100 * layout.Pt, Height: 200 * layout.Pt, TextInk: [3]uint8{0, 0, 0}, Accent: [3]uint8{255, 0, 0},
		},
		Root:  &layout.Element{Type: "Document", Kids: []layout.Kid{{Element: e}}},
		Pages: []layout.Page{{Marks: 1, Items: []layout.Item{{Kind: layout.ItemDrawing, Rect: rect, Drawing: d}}}},
	}
}

func content(t *testing.T, p *Press, r layout.Result) string {
	t.Helper()
	marks, err := ownersOf(&r)
	if err != nil {
		t.Fatal(err)
	}
	var out, whole scratch
	var own held
	if _, err := p.draw(&out, &own, &r, nil, marks, ""); err != nil {
		t.Fatal(err)
	}
	d, err := readDrawn(out.b)
	if err != nil {
		t.Fatal(err)
	}
	if err := d.restore(&own, &whole); err != nil {
		t.Fatal(err)
	}
	return string(d.content[0])
}

func TestShapesAreFilledStrokedDashedAndWhite(t *testing.T) {
	path := diagonal(3 * layout.Pt)
	d := &layout.Drawing{Width: 100 * layout.Pt, Height: 75 * layout.Pt, Shapes: []layout.Shape{
		{Path: path, Fill: 100},
		{Path: path, Stroke: 1500, Grey: 50, Dash: 2 * layout.Pt},
		{Path: path, Stroke: 1000, Grey: 100, White: true},
		{Path: path, Fill: 20, Accent: true},
		{Path: path}, // paints nothing
	}}
	const lines = "0 0 m\n3 3 l\nh\n"
	want := "q 0.5 0 0 -0.333333 10 180 cm\n1 J 1 j\n" +
		"0 0 0 rg\n" + lines + "f\n" +
		"0.502 0.502 0.502 RG 1.5 w [2] 0 d\n" + lines + "S\n" +
		"1 1 1 rg\n0 0 0 RG 1 w [] 0 d\n" + lines + "B\n" +
		"1 0.8 0.8 rg\n" + lines + "f\nQ\n"
	if got := content(t, new(Press), figure(d)); !strings.Contains(got, want) {
		t.Errorf("content is\n%s\nwant in it\n%s", got, want)
	}
}

func TestKeptDrawingsAreThoseOfNameSizeAndColours(t *testing.T) {
	named := func(name string, to layout.Length) *layout.Drawing {
		return &layout.Drawing{
			Name: name, Width: 100 * layout.Pt, Height: 50 * layout.Pt,
			Shapes: []layout.Shape{{Path: diagonal(to), Fill: 100, Accent: true}},
		}
	}
	var p Press
	first := content(t, &p, figure(named("a", layout.Pt)))
	if again := content(t, &p, figure(named("a", layout.Pt))); again != first {
		t.Error("a drawing comes out otherwise the second time")
	}
	for name, r := range map[string]layout.Result{
		"another name":  figure(named("b", 2*layout.Pt)),
		"no name":       figure(named("", 3*layout.Pt)),
		"no name again": figure(named("", 4*layout.Pt)),
		"another size": func() layout.Result {
			d := named("a", 5*layout.Pt)
			d.Width *= 2
			return figure(d)
		}(),
		"another accent": func() layout.Result {
			r := figure(named("a", layout.Pt))
			r.Sheet.Accent = [3]uint8{0, 0, 255}
			return r
		}(),
	} {
		if got, want := content(t, &p, r), content(t, new(Press), r); got != want {
			t.Errorf("%s: kept bytes of another drawing", name)
		}
	}
}

func TestKeptDrawingsAreBounded(t *testing.T) {
	var c drawingCache
	for i := range 10 * maxDrawings {
		c.put(drawingKey{name: fmt.Sprint(i)}, []byte{1})
	}
	if n := len(c.made); n > maxDrawings {
		t.Errorf("%d drawings are kept", n)
	}
	if b, ok := c.get(drawingKey{name: fmt.Sprint(10*maxDrawings - 1)}); !ok || !bytes.Equal(b, []byte{1}) {
		t.Error("the last drawing is not kept")
	}
}
