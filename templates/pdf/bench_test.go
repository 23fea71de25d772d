package pdf_test

import (
	"io"
	"testing"

	"philtrum/templates/layout"
	"philtrum/templates/pdf"
	"philtrum/templates/text"
)

// packet is three Latin papers of two pages each.
func packet() []layout.Document {
	var all []layout.Document
	for range 3 {
		all = append(all, document(tongues[0]))
	}
	return all
}

func BenchmarkWrite(b *testing.B) {
	for name, p := range profiles {
		b.Run(name, func(b *testing.B) {
			engine := text.NewEngine()
			r, fonts := set(engine, packet()[0])
			var press pdf.Press
			b.ReportAllocs()
			b.ReportMetric(float64(len(r.Pages)), "pages")
			for b.Loop() {
				if err := press.Write(io.Discard, r, fonts, specimenInfo(p)); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}

// BenchmarkPacket sets, places and writes three papers with everything warm.
func BenchmarkPacket(b *testing.B) {
	engine := text.NewEngine()
	var press pdf.Press
	papers := packet()
	b.ReportAllocs()
	for b.Loop() {
		for _, d := range papers {
			r, fonts := set(engine, d)
			if err := press.Write(io.Discard, r, fonts, specimenInfo(pdf.PDFA2u)); err != nil {
				b.Fatal(err)
			}
		}
	}
}

func BenchmarkWriteCold(b *testing.B) {
	r, fonts := set(text.NewEngine(), packet()[0])
	b.ReportAllocs()
	for b.Loop() {
		if err := pdf.Write(io.Discard, r, fonts, specimenInfo(pdf.PDFA2u)); err != nil {
			b.Fatal(err)
		}
	}
}
