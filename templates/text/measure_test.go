package text

import (
	"testing"

	"pgregory.net/rapid"
	"philtrum/templates/layout"
)

// What is measured is what would be set, and leaves nothing behind in the document's fonts.
func TestMeasureTellsWhatLinesSets(t *testing.T) {
	e := NewEngine()
	rapid.Check(t, func(t *rapid.T) {
		req := drawRequest(t)
		s := e.NewSetter(Options{Lang: "en"})
		got := s.Measure(req)
		if n := len(s.Fonts()); n > 0 {
			t.Fatalf("measuring made %d fonts", n)
		}
		var want layout.Extent
		for _, line := range s.Lines(req) {
			want.Lines++
			want.Last = line.Width
			want.Widest = max(want.Widest, line.Width)
			want.Overfull = want.Overfull || line.Overfull
		}
		if got != want {
			t.Fatalf("measured %+v, set %+v", got, want)
		}
	})
}
