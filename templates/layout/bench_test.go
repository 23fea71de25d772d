package layout

import "testing"

func BenchmarkPlace(b *testing.B) {
	doc := parts()
	doc.Blocks = append(doc.Blocks, rows(40), linesOf(60, "b"))
	b.ReportAllocs()
	for b.Loop() {
		Place(doc, mono{})
	}
}
