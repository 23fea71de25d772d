package templates_test

import (
	"testing"

	"philtrum/templates"
)

func BenchmarkLoad(b *testing.B) {
	for b.Loop() {
		if _, problems := templates.Load(templates.Default, "consent"); len(problems) > 0 {
			b.Fatal(problems)
		}
	}
}

func BenchmarkCompose(b *testing.B) {
	paper := templates.Paper{Template: load(b, "consent"), Printer: tongue(b, heldCatalogue(b), "en"), Facts: heldFacts(b)}
	b.ReportAllocs()
	for b.Loop() {
		if _, problems := templates.Compose(paper); len(problems) > 0 {
			b.Fatal(problems)
		}
	}
}
