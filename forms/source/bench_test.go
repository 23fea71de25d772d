package source_test

import (
	"fmt"
	"strings"
	"testing"

	"philtrum/forms/source"
)

// A file of a thousand entries is larger than any that a clinic writes by hand.
func BenchmarkParse(b *testing.B) {
	var w strings.Builder
	for i := range 1000 {
		fmt.Fprintf(&w, "key_%d:\n  text: value %d # remark\n  list: [a, \"b\"]\n", i, i)
	}
	data := []byte(w.String())
	b.SetBytes(int64(len(data)))
	for b.Loop() {
		if _, problems := source.Parse("f.yaml", data); len(problems) > 0 {
			b.Fatal(problems)
		}
	}
}

func BenchmarkEdit(b *testing.B) {
	change := source.Change{Path: []string{"decisions"}, Append: true, Value: source.Map("rule", "hsv", "by", "p1")}
	for b.Loop() {
		if _, problems := source.Edit("visit.yaml", []byte(visitFile), change); len(problems) > 0 {
			b.Fatal(problems)
		}
	}
}
