package visit

import (
	"philtrum/forms/measure"
	"philtrum/forms/source"
)

// Stay is where the patient will be after the treatment, if elsewhere than the clinic: whoever travels needs the
// emergency number of that place.
type Stay struct {
	Place string       // a code of the table of places; empty: nothing is recorded
	Until measure.Date // zero: not said
}

func (v reader) stay(n *source.Node) Stay {
	if n == nil {
		return Stay{}
	}
	f := v.Fields(n, "place", "until")
	return Stay{Place: v.Text(f.Need("place")), Until: v.Date(f.Get("until"))}
}

// Node is the entry of stay, nil where nothing is recorded.
func (s Stay) Node() *source.Node {
	return filled(source.Map("place", text(s.Place), "until", date(s.Until)))
}
