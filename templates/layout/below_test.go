package layout

import (
	"testing"
)

func stack(lang string) []Span {
	return []Span{{Text: "here is a text"}, Below, {Text: "there one", Lang: lang}}
}

// bounds are the left edge of a text's line and its right edge.
func bounds(t *testing.T, r Result, text string) (left, right Length) {
	t.Helper()
	for _, it := range r.Pages[0].Items {
		if it.Kind == ItemLine && it.Line.Text == text {
			return it.Rect.X, it.Rect.X + it.Rect.Width
		}
	}
	t.Fatalf("no line %q", text)
	return 0, 0
}

// Two passages in one place stand one below the other, each on the side where its own language starts.
func TestBelow(t *testing.T) {
	for _, c := range []struct {
		name, own, other string
		dir              Direction
		sameLeft         bool
	}{
		{"both from the left", "en", "es", LeftToRight, true},
		{"English, then Arabic", "en", "ar", LeftToRight, false},
		{"Arabic, then English", "ar", "en", RightToLeft, false},
	} {
		d := Document{Lang: c.own, Direction: c.dir, Sheet: testSheet()}
		d.Blocks = []Block{&Paragraph{Role: RoleBody, Text: stack(c.other)}}
		r := Place(d, mono{})
		left, right := bounds(t, r, "here is a text")
		otherLeft, otherRight := bounds(t, r, "there one")
		if got := left == otherLeft; got != c.sameLeft {
			t.Errorf("%s: they start at %d and %d", c.name, left, otherLeft)
		}
		if !c.sameLeft && right == otherRight {
			t.Errorf("%s: both end at %d", c.name, right)
		}
	}
}

// A column of another direction is mirrored within itself and stays where it is.
func TestTurnedColumn(t *testing.T) {
	place := func(lang string) (Result, Length, Length) {
		d := Document{Lang: "en", Sheet: testSheet()}
		d.Blocks = []Block{&Columns{Shares: []int{1, 1}, Langs: []string{"", lang}, Columns: [][]Block{
			{&Paragraph{Text: []Span{{Text: "start"}}}},
			{&List{Items: []ListItem{{Text: []Span{{Text: "other", Lang: lang}}}}}},
		}}}
		r := Place(d, mono{})
		left, right := bounds(t, r, "other")
		return r, left, right
	}
	straight, left, _ := place("es")
	turned, turnedLeft, turnedRight := place("ar")
	bullet, _ := bounds(t, straight, "•")
	bulletTurned, _ := bounds(t, turned, "•")
	if bullet >= left || bulletTurned < turnedRight {
		t.Errorf("bullets stand at %d and %d, their texts from %d and to %d", bullet, bulletTurned, left, turnedRight)
	}
	edge := straight.Sheet.Width - straight.Sheet.Outer
	if turnedLeft < bullet || bulletTurned > edge {
		t.Error("the column has left its place")
	}
}
