package clinic

import (
	"math"
	"path"
	"strconv"
	"strings"

	"philtrum/forms/source"
)

// Look is what a clinic adds to the look of its papers. What it leaves out is the program's own.
type Look struct {
	Mark   string   // file of its mark in the clinic folder; empty: none
	Accent [3]uint8 // sRGB
	Own    bool     // the clinic has an accent of its own
}

// leastContrast is that of WCAG 2.2, success criterion 1.4.3, level AA.
const leastContrast = 4.5

// tinted is the ground of a panel: 7 percent of the ink of papers on white.
var tinted = [3]uint8{239, 239, 239}

func (v reader) look(f source.Fields) Look {
	l := Look{Mark: strings.TrimSpace(v.Text(f.Get("mark")))}
	if l.Mark != "" && (l.Mark != path.Base(l.Mark) || strings.ContainsAny(l.Mark, `\:`) || strings.HasPrefix(l.Mark, ".")) {
		v.Report(f.Get("mark"), "mark.name", nil)
		l.Mark = ""
	}
	n := f.Get("accent")
	text := strings.TrimSpace(v.Text(n))
	if text == "" {
		return l
	}
	colour, ok := sRGB(text)
	if !ok {
		v.Report(n, "problem.ink", nil)
		return l
	}
	if c := min(Contrast(colour, [3]uint8{255, 255, 255}), Contrast(colour, tinted)); c < leastContrast {
		v.Report(n, "mark.pale", map[string]any{"contrast": tenths(c), "least": tenths(leastContrast)})
		return l
	}
	l.Accent, l.Own = colour, true
	return l
}

// tenths rounds down, so that what is refused never reads as enough.
func tenths(c float64) string { return strconv.FormatFloat(math.Floor(c*10)/10, 'f', 1, 64) }

func sRGB(text string) (c [3]uint8, ok bool) {
	hex, found := strings.CutPrefix(text, "#")
	n, err := strconv.ParseUint(hex, 16, 32)
	if !found || err != nil || len(hex) != 6 {
		return c, false
	}
	return [3]uint8{uint8(n >> 16), uint8(n >> 8), uint8(n)}, true
}

// Contrast is the contrast ratio of two colours, from 1 to 21 (WCAG 2.2, definition of contrast ratio).
func Contrast(a, b [3]uint8) float64 {
	x, y := luminance(a), luminance(b)
	return (max(x, y) + 0.05) / (min(x, y) + 0.05)
}

// luminance is the relative luminance of WCAG 2.2.
func luminance(c [3]uint8) float64 {
	linear := func(v uint8) float64 {
		s := float64(v) / 255
		if s <= 0.04045 {
			return s / 12.92
		}
		return math.Pow((s+0.055)/1.055, 2.4)
	}
	return 0.2126*linear(c[0]) + 0.7152*linear(c[1]) + 0.0722*linear(c[2])
}
