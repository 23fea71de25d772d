package visit_test

import (
	"testing"

	"philtrum/forms/visit"
)

// A complication is put to the treatment that it names or follows, never to a guess.
func TestBlamed(t *testing.T) {
	given := &visit.Given{Rows: []visit.Row{{Zone: "UL-VB"}}}
	about := func(of string) *visit.Given { return &visit.Given{Event: &visit.Event{Of: of}} }
	first := visit.Visit{ID: "first", Treatment: given}
	review := visit.Visit{ID: "review", After: "first"}
	other := visit.Visit{ID: "other", Treatment: &visit.Given{Syringes: []visit.Syringe{{Lot: "1"}}}}
	ring := visit.Visit{ID: "ring", After: "ring"}
	all := []visit.Visit{first, review, other, ring}
	for name, c := range map[string]struct {
		v    visit.Visit
		want string
	}{
		"named":                   {visit.Visit{ID: "x", After: "first", Treatment: about("other")}, "other"},
		"followed":                {visit.Visit{ID: "x", After: "first", Treatment: about("")}, "first"},
		"followed over a review":  {visit.Visit{ID: "x", After: "review", Treatment: about("")}, "first"},
		"named by its review":     {visit.Visit{ID: "x", Treatment: about("review")}, "first"},
		"in the treatment itself": {visit.Visit{ID: "x", After: "other", Treatment: &visit.Given{Rows: given.Rows, Event: &visit.Event{}}}, "x"},
		"elsewhere":               {visit.Visit{ID: "x", After: "first", Treatment: about(visit.Elsewhere)}, ""},
		"unknown":                 {visit.Visit{ID: "x", After: "first", Treatment: about(visit.Unknown)}, ""},
		"follows nothing":         {visit.Visit{ID: "x", Treatment: about("")}, ""},
		"follows in a ring":       {visit.Visit{ID: "x", After: "ring", Treatment: about("")}, ""},
		"nothing recorded":        {visit.Visit{ID: "x", After: "first"}, "first"},
	} {
		got, ok := c.v.Blamed(all)
		if got.ID != c.want || ok != (c.want != "") {
			t.Errorf("%s: %q, want %q", name, got.ID, c.want)
		}
	}
}
