package text

import (
	"testing"

	"github.com/google/go-cmp/cmp"
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

// Papers that share what is their own are set as if they did not, and leave nothing of it in the engine.
func TestSharingSetsTheSame(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		e := NewEngine()
		shared, apart := Options{Lang: "en", Own: &Own{}}, Options{Lang: "en"}
		for range 3 {
			req := drawRequest(t)
			one, two := e.NewSetter(shared), e.NewSetter(apart)
			if diff := cmp.Diff(two.Lines(req), one.Lines(req)); diff != "" {
				t.Fatal(diff)
			}
			if diff := cmp.Diff(two.Fonts(), one.Fonts()); diff != "" {
				t.Fatal(diff)
			}
			e.epoch = newEpoch() // as when its bounds are reached
		}
	})
}
