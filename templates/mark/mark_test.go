package mark

import (
	"bytes"
	"image"
	"image/color"
	"image/png"
	"strings"
	"testing"

	"philtrum/templates/layout"
)

const frame = `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 100 40">`

func svgOf(inner string) []byte { return []byte(frame + inner + "</svg>") }

// What a plain export of a drawing program holds is read, and each shape lands where SVG says.
func TestReadsTheSubset(t *testing.T) {
	for name, c := range map[string]struct {
		inner         string
		shapes        int
		right, bottom layout.Length // furthest point of the shapes
	}{
		"rectangle":          {`<rect x="10" y="5" width="80" height="30" fill="#7d1d3f"/>`, 1, 90 * layout.Pt, 35 * layout.Pt},
		"path, relative":     {`<path d="m10 10 h30v20H10z"/>`, 1, 40 * layout.Pt, 30 * layout.Pt},
		"numbers that touch": {`<path d="M.5.5L10-5l5.5.5"/>`, 1, 15500, 500},
		"arc with flags":     {`<path d="M10 20a10 10 0 1120 0z"/>`, 1, 30 * layout.Pt, 20 * layout.Pt},
		"circle":             {`<circle cx="20" cy="20" r="10" style="fill:#fff;stroke:#000;stroke-width:2"/>`, 2, 30 * layout.Pt, 30 * layout.Pt},
		"group moved":        {`<g transform="translate(10,4) scale(2)"><rect width="5" height="5"/></g>`, 1, 20 * layout.Pt, 14 * layout.Pt},
		"turned":             {`<rect width="10" height="20" transform="rotate(90 10 10)"/>`, 1, 20 * layout.Pt, 10 * layout.Pt},
		"smooth curves":      {`<path d="M0 10C0 0 10 0 10 10S20 20 20 10Q25 0 30 10T40 10" fill="none" stroke="#123"/>`, 1, 40 * layout.Pt, 20 * layout.Pt},
		"polygon, even-odd":  {`<polygon points="0,0 10,0 10,10" fill-rule="evenodd"/>`, 1, 10 * layout.Pt, 10 * layout.Pt},
		"words left out":     {`<title>Clinic</title><metadata><x y="1"/></metadata><rect width="1" height="1"/>`, 1, layout.Pt, layout.Pt},
	} {
		d, problems := Read("mark.svg", svgOf(c.inner))
		if len(problems) > 0 {
			t.Errorf("%s: %v", name, problems)
			continue
		}
		right, bottom := reach(d)
		if len(d.Shapes) != c.shapes || right != c.right || bottom != c.bottom {
			t.Errorf("%s: %d shapes to %d, %d; want %d to %d, %d", name, len(d.Shapes), right, bottom, c.shapes, c.right, c.bottom)
		}
		if d.Width != 100*layout.Pt || d.Height != 40*layout.Pt {
			t.Errorf("%s: drawing of %d by %d", name, d.Width, d.Height)
		}
	}
}

func reach(d *layout.Drawing) (right, bottom layout.Length) {
	for _, s := range d.Shapes {
		for _, step := range s.Path {
			for i := range points(step.Verb) {
				right, bottom = max(right, step.Points[i].X), max(bottom, step.Points[i].Y)
			}
		}
	}
	return right, bottom
}

// A file that asks for more than a mark needs is refused with one problem that says what.
func TestRefusesWithOneProblem(t *testing.T) {
	deep := strings.Repeat("<g>", 20) + strings.Repeat("</g>", 20)
	for name, c := range map[string]struct{ data, want, part string }{
		"text":             {frame + `<text>A</text></svg>`, "mark.outside", "<text>"},
		"script":           {frame + `<script>x</script></svg>`, "mark.outside", "<script>"},
		"linked picture":   {frame + `<image href="http://a.example/x.png"/></svg>`, "mark.outside", "href"},
		"event":            {frame + `<rect onclick="x()" width="1" height="1"/></svg>`, "mark.outside", "onclick"},
		"gradient":         {frame + `<rect width="1" height="1" fill="url(#a)"/></svg>`, "mark.outside", "colour"},
		"half transparent": {frame + `<rect width="1" height="1" opacity=".5"/></svg>`, "mark.outside", "opacity"},
		"entities":         {`<!DOCTYPE svg [<!ENTITY a "aaaa">]>` + frame + `<rect width="1" height="1"/></svg>`, "mark.outside", "<!DOCTYPE>"},
		"nested":           {frame + `<svg/></svg>`, "mark.outside", "<svg>"},
		"far away":         {frame + `<rect x="1000" width="10" height="1"/></svg>`, "mark.outside", "viewBox"},
		"deep":             {frame + deep + `</svg>`, "mark.too_many_steps", ""},
		"many elements":    {frame + strings.Repeat(`<rect width="1" height="1"/>`, MaxElements+1) + `</svg>`, "mark.too_many_steps", ""},
		"many steps":       {frame + `<path d="M0 0` + strings.Repeat("h1v1", MaxSteps) + `"/></svg>`, "mark.too_many_steps", ""},
		"endless number":   {frame + `<path d="M1e999 0"/></svg>`, "mark.unreadable", ""},
		"not closed":       {frame + `<rect width="1" height="1"/>`, "mark.unreadable", ""},
		"nothing in it":    {frame + `</svg>`, "mark.unreadable", ""},
		"no size":          {`<svg xmlns="http://www.w3.org/2000/svg"><rect width="1" height="1"/></svg>`, "mark.unreadable", ""},
		"too many bytes":   {frame + strings.Repeat(" ", MaxBytes) + `</svg>`, "mark.too_large", ""},
		"another kind":     {"GIF89a", "mark.unknown_kind", ""},
		"empty":            {"", "mark.unknown_kind", ""},
		"cut off picture":  {"\x89PNG\r\n\x1a\n", "mark.unreadable", ""},
	} {
		d, problems := Read("mark.svg", []byte(c.data))
		if d != nil || len(problems) != 1 || problems[0].ID != c.want || c.part != "" && problems[0].Args["part"] != c.part {
			t.Errorf("%s: %v, want %s %s", name, problems, c.want, c.part)
		}
	}
}

func pngOf(t testing.TB, w, h int, c color.Color) []byte {
	t.Helper()
	p := image.NewNRGBA(image.Rect(0, 0, w, h))
	for y := range h {
		for x := range w {
			p.Set(x, y, c)
		}
	}
	var b bytes.Buffer
	if err := png.Encode(&b, p); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

// A picture keeps its shape, is never larger than print can show, and what is transparent is white.
func TestPictures(t *testing.T) {
	d, problems := Read("mark.png", pngOf(t, 1200, 300, color.NRGBA{125, 29, 63, 255}))
	if len(problems) > 0 {
		t.Fatal(problems)
	}
	p := d.Shapes[0].Pixels
	if p.Width != printed || p.Height != printed/4 || len(p.RGB) != 3*p.Width*p.Height {
		t.Errorf("%d by %d, %d bytes", p.Width, p.Height, len(p.RGB))
	}
	if !bytes.Equal(p.RGB[:3], []byte{125, 29, 63}) {
		t.Errorf("colour %v", p.RGB[:3])
	}
	d, _ = Read("mark.png", pngOf(t, 4, 4, color.NRGBA{0, 0, 0, 0}))
	if !bytes.Equal(d.Shapes[0].Pixels.RGB[:3], []byte{255, 255, 255}) {
		t.Errorf("transparent became %v", d.Shapes[0].Pixels.RGB[:3])
	}
	if _, problems := Read("mark.png", pngOf(t, 2500, 2000, color.White)); len(problems) != 1 || problems[0].ID != "mark.too_many_pixels" {
		t.Errorf("five million pixels: %v", problems)
	}
}

func FuzzRead(f *testing.F) {
	f.Add(svgOf(`<g transform="rotate(3)"><path d="M0 0a1 2 3 01 4 5 6 7z" stroke="#000"/></g>`))
	f.Add(pngOf(f, 3, 2, color.Black))
	f.Fuzz(func(t *testing.T, data []byte) {
		d, problems := Read("mark", data)
		if (d == nil) == (len(problems) == 0) {
			t.Fatalf("drawing %v, problems %v", d != nil, problems)
		}
		if d != nil && (d.Width <= 0 || d.Height <= 0 || len(d.Shapes) == 0) {
			t.Fatalf("a drawing of %d by %d with %d shapes", d.Width, d.Height, len(d.Shapes))
		}
	})
}
