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

func set(e *Engine, lang string, requests []layout.Request) {
	s := e.NewSetter(Options{Lang: lang})
	for _, r := range requests {
		s.Lines(r)
	}
	s.Fonts()
}

// foreign is a packet of the same shape in another language; the passages of the tests give its text.
func foreign(lang, name string) []layout.Request {
	var text string
	for _, p := range passages {
		if p.lang == lang {
			text = p.text
		}
	}
	direction := layout.LeftToRight
	if rightToLeft(lang) {
		direction = layout.RightToLeft
	}
	out := packet(name)
	for i := range out {
		for k := range out[i].Spans {
			if span := &out[i].Spans[k]; !span.Value {
				span.Text = text + " " + text + " "
			}
		}
		out[i].Lang, out[i].Direction = lang, direction
	}
	return out
}

// Three papers with the words in the caches and a name that is new to each.
func BenchmarkWarmPacket(b *testing.B) {
	for _, lang := range []string{"en", "ar", "zh-Hans", "hi"} {
		b.Run(lang, func(b *testing.B) {
			papers := make([][]layout.Request, 64)
			for i := range papers {
				name := fmt.Sprintf("Zoë Ábel%c Łuczak%c", 'a'+i%26, 'A'+i%26)
				if papers[i] = packet(name); lang != "en" {
					papers[i] = foreign(lang, name)
				}
			}
			e := NewEngine()
			set(e, lang, papers[0])
			b.ReportAllocs()
			for i := 0; b.Loop(); i++ {
				set(e, lang, papers[i%len(papers)])
			}
		})
	}
}

// The same without cutting fonts.
func BenchmarkWarmLines(b *testing.B) {
	e := NewEngine()
	set(e, "en", packet("Zoë Łuczak"))
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
		set(NewEngine(), "en", papers)
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
