package main

import (
	"bytes"
	"fmt"
	"io"
	"strings"
	"testing"

	"philtrum/templates/layout"
	"philtrum/templates/pdf/conform"
	"philtrum/templates/text"
)

var langs = []string{"en", "ar", "hi", "zh"}

func printerOf(t testing.TB, lang string) *printer {
	t.Helper()
	c, err := load(lang)
	if err != nil {
		t.Fatal(err)
	}
	return &printer{content: c, engine: text.NewEngine()}
}

// The papers that are measured are papers as they should be.
func TestPacketsConform(t *testing.T) {
	for _, lang := range langs {
		p := printerOf(t, lang)
		for k := range p.content.Docs {
			var out bytes.Buffer
			if err := p.paper(&out, k, 0); err != nil {
				t.Fatal(err)
			}
			for _, v := range conform.Check(out.Bytes()) {
				t.Errorf("%s %s: %s", lang, p.content.Docs[k].ID, v)
			}
			setter := p.engine.NewSetter(text.Options{Lang: lang})
			r := layout.Place(p.content.document(k, 0), setter)
			for _, report := range r.Reports {
				t.Errorf("%s %s: %+v", lang, p.content.Docs[k].ID, report)
			}
			if lacks := setter.Missing(); len(lacks) > 0 {
				t.Errorf("%s %s: no glyph for %v", lang, p.content.Docs[k].ID, lacks)
			}
		}
	}
}

// Packets come to the same bytes whatever was set before them, and whatever is set beside them.
func TestPacketsAreTheSameInAnyOrder(t *testing.T) {
	for _, lang := range langs {
		warm := printerOf(t, lang)
		for i := range 4 {
			if err := warm.packet(i, ""); err != nil {
				t.Fatal(err)
			}
		}
		for k := range warm.content.Docs {
			var a, b bytes.Buffer
			if err := warm.paper(&a, k, 2); err != nil {
				t.Fatal(err)
			}
			if err := printerOf(t, lang).paper(&b, k, 2); err != nil {
				t.Fatal(err)
			}
			if !bytes.Equal(a.Bytes(), b.Bytes()) {
				t.Errorf("%s paper %d: %d bytes warm, %d cold, not the same", lang, k, a.Len(), b.Len())
			}
		}
	}
}

func TestRunReportsWhatIsMissing(t *testing.T) {
	if err := run("xx", 1, "", 1, "", false); err == nil || !strings.Contains(err.Error(), "xx") {
		t.Errorf("error %v", err)
	}
	if err := run("en", 2, t.TempDir(), 2, "", false); err != nil {
		t.Error(err)
	}
}

// BenchmarkPacket is one packet of three papers with everything warm, another name and other dates each time.
func BenchmarkPacket(b *testing.B) {
	for _, lang := range langs {
		b.Run(lang, func(b *testing.B) {
			p := printerOf(b, lang)
			for i := range 5 {
				if err := p.packet(i, ""); err != nil {
					b.Fatal(err)
				}
			}
			b.ReportAllocs()
			before := spent()
			for i := 5; b.Loop(); i++ {
				if err := p.packet(i, ""); err != nil {
					b.Fatal(err)
				}
			}
			b.ReportMetric(float64((spent()-before).Microseconds())/1000/float64(b.N), "cpu-ms/op")
		})
	}
}

// BenchmarkFirstPacket begins with an engine that has no face.
func BenchmarkFirstPacket(b *testing.B) {
	for _, lang := range langs {
		b.Run(lang, func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				if err := printerOf(b, lang).packet(0, ""); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}

// BenchmarkStages parts a warm packet.
func BenchmarkStages(b *testing.B) {
	p := printerOf(b, "en")
	if err := p.packet(0, ""); err != nil {
		b.Fatal(err)
	}
	place := func(k, i int) (*text.Setter, layout.Result) {
		s := p.engine.NewSetter(text.Options{Lang: "en"})
		return s, layout.Place(p.content.document(k, i), s)
	}
	b.Run("compose", func(b *testing.B) {
		for i := 0; b.Loop(); i++ {
			for k := range p.content.Docs {
				p.content.document(k, i)
			}
		}
	})
	b.Run("compose and place", func(b *testing.B) {
		b.ReportAllocs()
		for i := 0; b.Loop(); i++ {
			for k := range p.content.Docs {
				place(k, i)
			}
		}
	})
	b.Run("compose, place and cut", func(b *testing.B) {
		b.ReportAllocs()
		for i := 0; b.Loop(); i++ {
			for k := range p.content.Docs {
				s, _ := place(k, i)
				s.Fonts()
			}
		}
	})
	b.Run("all", func(b *testing.B) {
		b.ReportAllocs()
		for i := 0; b.Loop(); i++ {
			for k := range p.content.Docs {
				if err := p.paper(io.Discard, k, i); err != nil {
					b.Fatal(err)
				}
			}
		}
	})
}

// BenchmarkWorkers shares one printer among goroutines.
func BenchmarkWorkers(b *testing.B) {
	for _, workers := range []int{1, 2} {
		b.Run(fmt.Sprint(workers), func(b *testing.B) {
			for b.Loop() {
				if err := run("en", 100, "", workers, "", false); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
