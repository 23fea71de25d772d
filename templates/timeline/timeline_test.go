package timeline_test

import (
	"testing"

	"philtrum/templates/layout"
	"philtrum/templates/timeline"
)

func chart(mirrored bool) *layout.Drawing {
	c := timeline.Chart{Width: 476 * layout.Pt, Size: 9500, Mirrored: mirrored, Review: 14, ReviewLabel: []layout.Span{{Text: "review"}}}
	c.Bars = []timeline.Bar{{Label: []layout.Span{{Text: "swelling"}}, To: 5 * 24, Soft: true}, {Label: []layout.Span{{Text: "sport"}}, To: 24}}
	for _, day := range timeline.Labelled {
		c.Ticks = append(c.Ticks, timeline.Tick{Day: day, Label: []layout.Span{{Text: string(rune('a' + day))}}})
	}
	return c.Draw()
}

// Time runs as the words do: read from the right, every point stands at the same distance from the other side.
func TestMirrored(t *testing.T) {
	ltr, rtl := chart(false), chart(true)
	for i, s := range ltr.Shapes {
		for k, step := range s.Path {
			if step.Verb == layout.ClosePath {
				continue
			}
			if got, want := rtl.Shapes[i].Path[k].Points[0].X, ltr.Width-step.Points[0].X; got != want {
				t.Fatalf("shape %d, step %d stands at %d, not %d", i, k, got, want)
			}
		}
	}
	for i, l := range ltr.Labels {
		if got := rtl.Labels[i].At.X; got != ltr.Width-l.At.X {
			t.Errorf("label %d stands at %d", i, got)
		}
		if l.Align == layout.AlignStart && rtl.Labels[i].Align != layout.AlignEnd {
			t.Errorf("label %d runs the wrong way", i)
		}
	}
}

// Nothing leaves the drawing, and a longer bar ends later.
func TestInside(t *testing.T) {
	d := chart(false)
	for _, s := range d.Shapes {
		for _, step := range s.Path {
			if p := step.Points[0]; p.X < 0 || p.X > d.Width || p.Y < 0 || p.Y > d.Height {
				t.Errorf("%v stands outside of %v x %v", p, d.Width, d.Height)
			}
		}
	}
	var ends []layout.Length
	for _, s := range d.Shapes {
		if s.Fill > 0 {
			ends = append(ends, s.Path[1].Points[0].X)
		}
	}
	if len(ends) != 2 || ends[0] <= ends[1] {
		t.Errorf("five days end at %v", ends)
	}
}

// The numbers of days that would touch one another are left out.
func TestNumbersDoNotTouch(t *testing.T) {
	c := timeline.Chart{Width: 300 * layout.Pt, Size: 16 * layout.Pt}
	for _, day := range timeline.Labelled {
		c.Ticks = append(c.Ticks, timeline.Tick{Day: day, Label: []layout.Span{{Text: "0"}}})
	}
	labels := c.Draw().Labels
	for i := 1; i < len(labels); i++ {
		if labels[i].At.X-labels[i-1].At.X < c.Size {
			t.Errorf("numbers %d and %d touch", i-1, i)
		}
	}
}
