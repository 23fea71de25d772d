package text

import (
	"testing"

	oracle "github.com/go-text/typesetting/bidi"
	"pgregory.net/rapid"
)

// signs cover every bidirectional class that may reach the algorithm.
var signs = []rune("aZéאבשعهلß12 90٣٤۵+-.,:/%$#!?()[]{}<>«»“”\u0301\u064B\u05B0\u200D\u200E\u200F\uFFFC（）「」 ")

// The direction of every rune is that of a full implementation of UAX #9.
func TestLevelsAgreeWithAnIndependentImplementation(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		runes := rapid.SliceOfN(rapid.SampledFrom(signs), 1, 24).Draw(t, "runes")
		base := rapid.Uint8Range(0, 1).Draw(t, "base")
		direction := oracle.Direction(oracle.LeftToRight)
		if base == 1 {
			direction = oracle.RightToLeft
		}
		var p oracle.Paragraph
		runs := p.Segment(runes, direction)
		want := make([]bool, len(runes))
		for i := range runs.NumRuns() {
			run := runs.Run(i)
			for k := run.Start; k < run.End; k++ {
				want[k] = !run.IsLeftToRight()
			}
		}
		var l levels
		got := l.resolve(runes, base)
		last := len(runes) // rule L1 sets the level of trailing space when a line is made
		for last > 0 && (runes[last-1] == ' ' || runes[last-1] == '\u200D') {
			last--
		}
		for i := range last {
			if (got[i]%2 == 1) != want[i] {
				t.Fatalf("%q base %d: rune %d %q has level %d, want right-to-left %v", string(runes), base, i, runes[i], got[i], want[i])
			}
		}
	})
}

// Numbers beside left-to-right text keep a level of their own, which direction runs do not show.
func TestNumbersAfterRightToLeftTextStayBehindIt(t *testing.T) {
	var l levels
	got := l.resolve([]rune("אב 12 ab"), 0)
	want := []uint8{1, 1, 1, 2, 2, 0, 0, 0}
	for i := range want {
		if got[i] != want[i] {
			t.Fatalf("levels %v, want %v", got, want)
		}
	}
}
