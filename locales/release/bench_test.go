package release

import (
	"testing"

	"philtrum/locales"
)

// BenchmarkDigests is the digests that a consent in a translation needs.
func BenchmarkDigests(b *testing.B) {
	for b.Loop() {
		texts := NewTexts(locales.Default)
		for _, portion := range PortionsOf([]string{"consent", "information", "paper", "term", "rule", "question", "place", "language"}) {
			if _, err := texts.Digest("es", portion); err != nil {
				b.Fatal(err)
			}
		}
	}
}
