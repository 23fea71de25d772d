package pdf_test

import (
	"bytes"
	"testing"

	"philtrum/templates/code"
	"philtrum/templates/code/read"
	"philtrum/templates/layout"
	"philtrum/templates/pdf"
	"philtrum/templates/pdf/conform"
	"philtrum/templates/text"
)

// Every page of a paper in every script carries its code, in the square that it keeps free, as an artifact.
func TestEveryPageCarriesItsCode(t *testing.T) {
	const id = "0f1e2d3c4b5a69788796a5b4c3d2e1f0"
	engine := text.NewEngine()
	for _, s := range []sentences{tongues[0], tongues[7]} {
		r, fonts := set(engine, document(s))
		for _, p := range r.Pages {
			if p.Code.Width < layout.MM(20) || p.Code.Height < layout.MM(20) {
				t.Errorf("%s: the square of page %d is %v", s.lang, p.Number, p.Code)
			}
		}
		info := specimenInfo(pdf.PDFA2u)
		info.DocumentID = id
		var out, again bytes.Buffer
		for _, to := range []*bytes.Buffer{&out, &again} {
			if err := pdf.Write(to, r, fonts, info); err != nil {
				t.Fatal(err)
			}
		}
		if !bytes.Equal(out.Bytes(), again.Bytes()) {
			t.Errorf("%s: bytes differ", s.lang)
		}
		for _, v := range conform.Check(out.Bytes()) {
			t.Errorf("%s: %s", s.lang, v)
		}
		sheets, err := read.File(out.Bytes())
		if err != nil || len(sheets) != len(r.Pages) {
			t.Fatalf("%s: %d sheets, %v", s.lang, len(sheets), err)
		}
		for i, sheet := range sheets {
			want := code.Page{Document: id, Number: i + 1, Of: len(r.Pages)}
			if len(sheet.Found) != 1 || sheet.Found[0].Page != want {
				t.Errorf("%s: page %d carries %+v", s.lang, i+1, sheet.Found)
			}
		}
	}
}

// Text keeps away from the square on every page, whatever stands on it: the light zone of a code is four modules
// wide (ISO/IEC 18004, 6.3.8), 2.76 mm of a square of 20 mm.
func TestNothingStandsInTheLightZone(t *testing.T) {
	engine := text.NewEngine()
	quiet := layout.MM(20) * 4 / code.Size
	for _, s := range tongues {
		r, _ := set(engine, document(s))
		for _, p := range r.Pages {
			zone := layout.Rect{X: p.Code.X - quiet, Y: p.Code.Y - quiet, Width: p.Code.Width + 2*quiet, Height: p.Code.Height + 2*quiet}
			for _, it := range p.Items {
				for _, run := range it.Line.Runs {
					left, right := it.Rect.X+run.X, it.Rect.X+run.X+run.Width
					if it.Kind == layout.ItemLine && right > zone.X && left < zone.X+zone.Width && it.Rect.Y > zone.Y && it.Rect.Y-run.Size/2 < zone.Y+zone.Height {
						t.Errorf("%s: page %d: words in the light zone", s.lang, p.Number)
					}
				}
				if it.Kind == layout.ItemRule && it.Rect.X+it.Rect.Width > zone.X && it.Rect.X < zone.X+zone.Width &&
					it.Rect.Y+it.Rect.Height > zone.Y && it.Rect.Y < zone.Y+zone.Height {
					t.Errorf("%s: page %d: a rule in the light zone", s.lang, p.Number)
				}
			}
		}
	}
}
