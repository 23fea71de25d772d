package source_test

import (
	"testing"

	"pgregory.net/rapid"

	"philtrum/forms/source"
)

func TestDistance(t *testing.T) {
	for _, c := range []struct {
		a, b        string
		limit, want int
	}{
		{"warfarin", "warfarin", 3, 0}, {"warfarin", "wafrarin", 3, 1}, {"warfarin", "warfrin", 3, 1},
		{"warfarin", "warfaarin", 3, 1}, {"warfarin", "worfarin", 3, 1}, {"warfarin", "heparin", 3, 4}, {"", "ab", 3, 2},
		{"żółć", "zolc", 3, 4}, {"żółć", "zolc", 4, 4},
	} {
		if got := source.Distance([]rune(c.a), []rune(c.b), c.limit); got != c.want {
			t.Errorf("%q to %q up to %d: %d, not %d", c.a, c.b, c.limit, got, c.want)
		}
	}
}

// Either way round is as far, and a limit changes nothing below it.
func TestDistanceIsBoundedAndEven(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		word := rapid.SliceOfN(rapid.RuneFrom([]rune("abć")), 0, 70)
		a, b := word.Draw(t, "a"), word.Draw(t, "b")
		limit := rapid.IntRange(0, 8).Draw(t, "limit")
		whole := source.Distance(a, b, 200)
		if got := source.Distance(a, b, limit); got != min(whole, limit+1) {
			t.Fatalf("%d up to %d, where it is %d", got, limit, whole)
		}
		if back := source.Distance(b, a, 200); back != whole {
			t.Fatalf("%d there, %d back", whole, back)
		}
	})
}
