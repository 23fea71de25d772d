package text

import (
	"fmt"
	"strings"
	"testing"

	"philtrum/templates/layout"
)

// packet is the text of three papers of about 1,700 words: template paragraphs, some with values in them.
func packet(name string) []layout.Request {
	clauses := strings.Split(`The treatment fills lips with a gel of hyaluronic acid that the body takes up over months.
You may have swelling, bruising, tenderness and small lumps for up to two weeks after the visit.
Rarely a vessel is blocked; pale or mottled skin, pain and changes of sight need help at once.
Tell us about every medicine that you take, above all those that thin the blood, and about allergies.
Avoid heat, alcohol, heavy exercise and pressure on the lips until the day that is printed below.
Your consent can be withdrawn at any time before and during the treatment without giving a reason.
The result cannot be foreseen exactly, and a second visit may be needed to even out both sides.
Do not have dental work within two weeks, and do not fly on the day of the treatment.`, "\n")
	var out []layout.Request
	for paper := range 3 {
		for k := range 30 {
			spans := []layout.Span{{Text: fmt.Sprintf("%d. ", k+1)}, {Text: clauses[(k+paper)%len(clauses)]}}
			if k%5 == 0 {
				spans = append(spans, layout.Span{Text: " Said to "}, layout.Span{Text: name, Value: true, Field: "patient.name"},
					layout.Span{Text: " on "}, layout.Span{Text: "4 December 2026", Value: true}, layout.Span{Text: "."})
			}
			out = append(out, layout.Request{Spans: spans, Lang: "en", Size: 9500 + layout.Length(paper)*500, Width: 400 * layout.Pt})
		}
	}
	return out
}

func set(e *Engine, requests []layout.Request) (lines, words int) {
	s := e.NewSetter(Options{Lang: "en"})
	for _, r := range requests {
		lines += len(s.Lines(r))
	}
	s.Fonts()
	return lines, words
}

func BenchmarkWarmPacket(b *testing.B) {
	e := NewEngine()
	set(e, packet("Zoë Łuczak"))
	papers := make([][]layout.Request, 64)
	for i := range papers {
		papers[i] = packet(fmt.Sprintf("Zoë Ábel%c Łuczak%c", 'a'+i%26, 'A'+i%26))
	}
	b.ReportAllocs()
	for i := 0; b.Loop(); i++ {
		set(e, papers[i%len(papers)])
	}
}

func BenchmarkWarmLines(b *testing.B) {
	e := NewEngine()
	set(e, packet("Zoë Łuczak"))
	papers := packet("Ábel Łuczak")
	b.ReportAllocs()
	for b.Loop() {
		s := e.NewSetter(Options{Lang: "en"})
		for _, r := range papers {
			s.Lines(r)
		}
	}
}

func BenchmarkColdPacket(b *testing.B) {
	papers := packet("Zoë Łuczak")
	b.ReportAllocs()
	for b.Loop() {
		set(NewEngine(), papers)
	}
}

func BenchmarkLoad(b *testing.B) {
	for id, src := range sources {
		if src.data == nil {
			continue
		}
		b.Run(src.name, func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				if _, err := loadFace(faceID(id), src.name, *src.data); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
