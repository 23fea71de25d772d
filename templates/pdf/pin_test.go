package pdf

import (
	"bytes"
	"strings"
	"testing"

	"philtrum/templates/layout"
)

// drawnByWriter is what the page writer makes of two small pages: the finisher reads this and nothing else.
const drawnByWriter = `%PDF-1.3
3 0 obj
<</Type /Page
/Parent 1 0 R
/Resources 2 0 R
/Contents 4 0 R>>
endobj
4 0 obj
<</Length 81>>
stream
0 J
0 j
0.57 w
0.000 G
0.000 g
%held
0.502 g
10.00 180.00 30.00 -0.50 re f
%held

endstream
endobj
5 0 obj
<</Type /Page
/Parent 1 0 R
/Resources 2 0 R
/Contents 6 0 R>>
endobj
6 0 obj
<</Length 102>>
stream
0 J
0 j
0.57 w
0.000 G
0.502 g
%held
1.000 0.000 0.000 RG
0.75 w
10.00 180.00 12.00 -12.00 re S
%held

endstream
endobj
1 0 obj
<</Type /Pages
/Kids [3 0 R 5 0 R ]
/Count 2
/MediaBox [0 0 100.00 200.00]
>>
endobj
2 0 obj
<<
/ProcSet [/PDF /Text /ImageB /ImageC /ImageI]
/Font <<
>>
/XObject <<
>>
/ColorSpace <<
>>
>>
endobj
7 0 obj
`

// pair is a result of two pages with a rule and a box.
func pair() layout.Result {
	p := &layout.Element{Type: "P", Kids: []layout.Kid{{Page: 2, Mark: 0}}}
	return layout.Result{
		Lang:  "en",
		Title: "Pair",
		Sheet: layout.Sheet{Width: 100 * layout.Pt, Height: 200 * layout.Pt, Accent: [3]uint8{255, 0, 0}},
		Root:  &layout.Element{Type: "Document", Kids: []layout.Kid{{Element: p}}},
		Pages: []layout.Page{
			{Items: []layout.Item{{
				Kind: layout.ItemRule, Mark: layout.Artifact, Grey: 50,
				Rect: layout.Rect{X: 10 * layout.Pt, Y: 20 * layout.Pt, Width: 30 * layout.Pt, Height: 500},
			}}},
			{Marks: 1, Items: []layout.Item{{
				Kind: layout.ItemBox, Accent: true, Stroke: 750,
				Rect: layout.Rect{X: 10 * layout.Pt, Y: 20 * layout.Pt, Width: 12 * layout.Pt, Height: 12 * layout.Pt},
			}}},
		},
	}
}

func drawPair(t *testing.T) []byte {
	t.Helper()
	r := pair()
	marks, err := ownersOf(&r)
	if err != nil {
		t.Fatal(err)
	}
	var out scratch
	if _, err := new(Press).draw(&out, &held{}, &r, nil, marks, ""); err != nil {
		t.Fatal(err)
	}
	return out.b
}

func TestPageWriterOutputIsWhatTheFinisherReads(t *testing.T) {
	got := string(drawPair(t))
	if !strings.HasPrefix(got, drawnByWriter) {
		t.Errorf("the page writer now writes\n%s", got)
	}
	if !strings.Contains(got, "trailer\n<<\n/Size 9\n/Root 8 0 R\n/Info 7 0 R\n>>\nstartxref\n") {
		t.Errorf("another trailer:\n%s", got)
	}
}

func TestFinisherRefusesOtherOutput(t *testing.T) {
	whole := drawPair(t)
	for old, new := range map[string]string{
		"startxref\n":             "startxreg\n",
		"xref\n0 9":               "xref\n1 9",
		"/Font <<\n":              "/Fond <<\n",
		"<</Type /Page\n":         "<</Type /Pagf\n",
		"/Kids [":                 "/Kidz [",
		"endstream\nendobj\n1 0":  "endstrean\nendobj\n1 0",
		"4 0 obj\n<</Length 81>>": "4 0 obj\n<</Length 80>>",
		"5 0 obj":                 "5 1 obj",
	} {
		broken := bytes.Replace(whole, []byte(old), []byte(new), 1)
		if bytes.Equal(broken, whole) {
			t.Fatalf("the output has no %q", old)
		}
		if _, err := readDrawn(broken); err == nil {
			t.Errorf("%q instead of %q is taken", new, old)
		}
	}
	if d, err := readDrawn(whole); err != nil || len(d.pages) != 2 {
		t.Errorf("whole output: %v", err)
	}
}

func TestWhatWasHeldBackFindsItsPlaces(t *testing.T) {
	for name, c := range map[string]struct {
		pages, pieces []string
		want          string
	}{
		"over pages":       {[]string{"a\n%held\nb\n", "%held\n%held\n"}, []string{"1\n", "2\n", "3\n"}, "a\n1\nb\n|2\n3\n"},
		"nothing":          {[]string{"a\n", ""}, nil, "a\n|"},
		"a mark too many":  {[]string{"%held\n%held\n"}, []string{"1\n"}, ""},
		"a piece too many": {[]string{"%held\n"}, []string{"1\n", "2\n"}, ""},
	} {
		var d drawn
		for _, p := range c.pages {
			d.content = append(d.content, []byte(p))
		}
		var own held
		for _, p := range c.pieces {
			own.b = append(own.b, p...)
			own.ends = append(own.ends, len(own.b))
		}
		err := d.restore(&own, &scratch{})
		if got := string(bytes.Join(d.content, []byte("|"))); (err != nil) != (c.want == "") || err == nil && got != c.want {
			t.Errorf("%s: %q, %v", name, got, err)
		}
	}
}

// gofpdf carries its own colours over to the next page, ours are carried by nobody.
func TestEachPageSetsItsColours(t *testing.T) {
	r := pair()
	r.Pages[1].Items[0].Accent, r.Pages[1].Items[0].Grey = false, 100 // black, as a page begins
	r.Pages[1].Items[0].Kind = layout.ItemRule
	marks, err := ownersOf(&r)
	if err != nil {
		t.Fatal(err)
	}
	var out, whole scratch
	var own held
	if _, err := new(Press).draw(&out, &own, &r, nil, marks, ""); err != nil {
		t.Fatal(err)
	}
	d, err := readDrawn(out.b)
	if err != nil {
		t.Fatal(err)
	}
	if err := d.restore(&own, &whole); err != nil {
		t.Fatal(err)
	}
	if !bytes.Contains(d.content[1], []byte("BDC\n0.000 g\n")) {
		t.Errorf("page two is drawn in the colour of page one:\n%s", d.content[1])
	}
}
