package clinic

import (
	"math"
	"strings"
	"testing"

	"philtrum/forms/source"
)

// Contrast of pairs that the working examples of WCAG's techniques give (G18), rounded.
func TestContrast(t *testing.T) {
	for _, c := range []struct {
		a, b [3]uint8
		want float64
	}{
		{[3]uint8{0, 0, 0}, [3]uint8{255, 255, 255}, 21},
		{[3]uint8{255, 255, 255}, [3]uint8{255, 255, 255}, 1},
		{[3]uint8{0x76, 0x76, 0x76}, [3]uint8{255, 255, 255}, 4.54}, // the lightest grey that passes
		{[3]uint8{0x77, 0x77, 0x77}, [3]uint8{255, 255, 255}, 4.48},
	} {
		if got := Contrast(c.a, c.b); math.Abs(got-c.want) > 0.005 {
			t.Errorf("%v on %v: %.3f, want %.2f", c.a, c.b, got, c.want)
		}
	}
}

// An accent that could not be read on a panel is refused with one problem; so is a mark outside of the folder.
func TestLook(t *testing.T) {
	for name, c := range map[string]struct {
		yaml, want string
		own        bool
	}{
		"dark":             {`accent: "#1d4d7d"`, "", true},
		"pale":             {`accent: "#f0a0a0"`, "mark.pale", false},
		"enough on white":  {`accent: "#767676"`, "mark.pale", false}, // not on the tint
		"a name":           {`accent: "red"`, "problem.ink", false},
		"elsewhere":        {`mark: ../mark.svg`, "mark.name", false},
		"hidden":           {`mark: .mark.svg`, "mark.name", false},
		"other separators": {`mark: 'c:\mark.svg'`, "mark.name", false},
		"in the folder":    {`mark: mark.svg`, "", false},
		"nothing":          {`{}`, "", false},
	} {
		n, problems := source.Parse("clinic.yaml", []byte(c.yaml))
		if len(problems) > 0 {
			t.Fatal(problems)
		}
		r := &source.Reader{}
		v := reader{}
		v.Reader = r
		l := v.look(v.Fields(n, "mark", "accent"))
		var ids []string
		for _, p := range r.Problems() {
			ids = append(ids, p.ID)
		}
		if got := strings.Join(ids, " "); got != c.want || l.Own != c.own {
			t.Errorf("%s: problems %q, own accent %t; want %q, %t", name, got, l.Own, c.want, c.own)
		}
	}
}
