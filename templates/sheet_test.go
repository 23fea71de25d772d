package templates_test

import (
	"math"
	"strings"
	"testing"

	"philtrum/templates"
	"philtrum/templates/layout"
)

// luminance is the relative luminance of an sRGB colour, and contrast the ratio of two (WCAG 2.2,
// definitions "relative luminance" and "contrast ratio").
func luminance(c [3]uint8) float64 {
	channel := func(v uint8) float64 {
		s := float64(v) / 255
		if s <= 0.04045 {
			return s / 12.92
		}
		return math.Pow((s+0.055)/1.055, 2.4)
	}
	return 0.2126*channel(c[0]) + 0.7152*channel(c[1]) + 0.0722*channel(c[2])
}

func contrast(a, b [3]uint8) float64 {
	la, lb := luminance(a), luminance(b)
	return (max(la, lb) + 0.05) / (min(la, lb) + 0.05)
}

// Two pairs whose ratio is well known: black on white is 21, #767676 on white is 4.54.
func TestContrastFormula(t *testing.T) {
	white := [3]uint8{255, 255, 255}
	if r := contrast([3]uint8{}, white); math.Abs(r-21) > 0.001 {
		t.Errorf("black on white is %.3f", r)
	}
	if r := contrast([3]uint8{0x76, 0x76, 0x76}, white); math.Abs(r-4.54) > 0.01 {
		t.Errorf("#767676 on white is %.3f", r)
	}
}

// Every ink can be read on white and on the tint of a panel, and the accent still stands out once it is
// printed in grey.
func TestInksCanBeRead(t *testing.T) {
	tpl := load(t, "consent")
	for _, name := range tpl.SheetNames() {
		doc, _ := templates.Compose(templates.Paper{Template: tpl, Printer: printer(t, "en"), Sheet: name})
		s := doc.Sheet
		white := [3]uint8{255, 255, 255}
		var tint [3]uint8
		for i := range tint {
			tint[i] = uint8(255 - (255-int(s.TextInk[i]))*int(s.Tint)/100)
		}
		for ink, c := range map[string][3]uint8{"text": s.TextInk, "quiet": s.QuietInk, "accent": s.Accent} {
			for paper, p := range map[string][3]uint8{"white": white, "tint": tint} {
				if r := contrast(c, p); r < 4.5 {
					t.Errorf("%s: %s on %s has a contrast of %.2f", name, ink, paper, r)
				}
			}
		}
		if l := luminance(s.Accent); l > 0.09 {
			t.Errorf("%s: the accent prints as a pale grey (luminance %.2f)", name, l)
		}
	}
}

// Patients get at least 12 points and large print 18 (clear-print advice: 12 is the floor, 18 preferred
// where large print is needed); the number to call has at least 20; hands and pens have room.
func TestSizesAreLargeEnough(t *testing.T) {
	tpl := load(t, "consent")
	for _, name := range tpl.SheetNames() {
		doc, _ := templates.Compose(templates.Paper{Template: tpl, Printer: printer(t, "en"), Sheet: name})
		look, _, _ := strings.Cut(name, "-")
		least := map[string]layout.Length{"patient": 12 * layout.Pt, "large": 18 * layout.Pt, "record": 10 * layout.Pt, "emergency": 12 * layout.Pt, "card": 8 * layout.Pt}[look]
		if doc.Sheet.Styles[layout.RoleBody].Size < least || least == 0 {
			t.Errorf("%s: text of %d", name, doc.Sheet.Styles[layout.RoleBody].Size)
		}
		for role, s := range doc.Sheet.Styles {
			if ratio := float64(s.Leading) / float64(s.Size); ratio < 1.2 || ratio > 1.46 {
				t.Errorf("%s %s: leading is %.2f of the size", name, role, ratio)
			}
		}
		if doc.Sheet.Styles[layout.RoleNumber].Size < 20*layout.Pt && look != "card" {
			t.Errorf("%s: the number to call is too small", name)
		}
		if doc.Sheet.SignWidth < layout.MM(75) || doc.Sheet.SignHeight < layout.MM(16) {
			t.Errorf("%s: too little room to sign", name)
		}
		if doc.Sheet.Box < layout.MM(4.5) || doc.Sheet.PenRow < layout.MM(7) {
			t.Errorf("%s: boxes or rows are too small for a pen", name)
		}
	}
}

// A patient who needs large print gets it without asking; the clinic's own papers stay as they are.
func TestLargePrintForWhoNeedsIt(t *testing.T) {
	f := plannedFacts(t)
	f.Clinic.Page = "Letter"
	for paper, want := range map[string]string{"consent": "patient-Letter", "record": "record-Letter"} {
		if got := compose(t, paper, f, "en").Sheet.Name; got != want {
			t.Errorf("%s is set on %s", paper, got)
		}
	}
	f.Patient.Needs = []string{"large_print"}
	for paper, want := range map[string]string{"consent": "large-Letter", "aftercare": "large-Letter", "record": "record-Letter"} {
		if got := compose(t, paper, f, "en").Sheet.Name; got != want {
			t.Errorf("%s is set on %s for a patient who needs large print", paper, got)
		}
	}
}
