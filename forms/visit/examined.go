package visit

import (
	"strings"

	"philtrum/forms/measure"
	"philtrum/forms/source"
)

// Tissues are how lax or firm the tissue of the lips is found to be.
var Tissues = []string{"lax", "between", "firm"}

// Examined is what the examination found, point by point; empty where it was not looked at or not written.
type Examined struct {
	Tissue        string // one of Tissues
	Rest, Moving  string // asymmetry at rest and in movement
	Profile       string // projection, seen from the side
	EarlierFiller string // seen or felt
	Scars         string
}

func (v reader) examined(n *source.Node) Examined {
	if n == nil || n.Kind == source.Empty {
		return Examined{}
	}
	f := v.Fields(n, "tissue", "rest", "moving", "profile", "earlier_filler", "scars")
	return Examined{
		Tissue: v.OneOf(f.Get("tissue"), Tissues...), Rest: v.Text(f.Get("rest")), Moving: v.Text(f.Get("moving")),
		Profile: v.Text(f.Get("profile")), EarlierFiller: v.Text(f.Get("earlier_filler")), Scars: v.Text(f.Get("scars")),
	}
}

func (e Examined) node() *source.Node {
	return filled(source.Map("tissue", text(e.Tissue), "rest", text(e.Rest), "moving", text(e.Moving),
		"profile", text(e.Profile), "earlier_filler", text(e.EarlierFiller), "scars", text(e.Scars)))
}

// share reads two parts of a whole, "1:2" or "1 : 1.5". It stands as it was typed.
func (v reader) share(n *source.Node) string {
	typed := v.Text(n)
	if typed == "" {
		return ""
	}
	one, other, ok := strings.Cut(typed, ":")
	for _, part := range []string{one, other} {
		if _, err := measure.ParseVolume(strings.TrimSpace(part)); err != nil {
			ok = false
		}
	}
	if !ok {
		v.Report(n, "problem.share", nil)
		return ""
	}
	return strings.TrimSpace(one) + " : " + strings.TrimSpace(other)
}
