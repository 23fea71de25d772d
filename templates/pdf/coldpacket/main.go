// Coldpacket sets packets of three papers with nothing linked but the page engine, so that what the engine
// costs can be measured from outside, from the start of the process to the last file.
//
//	coldpacket --lang ar --count 200 --out DIR [--workers 2]
//
// It writes DIR/0000-consent.pdf, DIR/0000-record.pdf, DIR/0000-aftercare.pdf and so on. The content, about a
// joint and not a lip, is neutral: figures of the engine alone are wanted. Nothing of this is in the product.
package main

import (
	"flag"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"runtime"
	"runtime/debug"
	"runtime/pprof"
	"sync"
	"sync/atomic"

	"philtrum/templates/layout"
	"philtrum/templates/pdf"
	"philtrum/templates/text"
)

func main() {
	lang := flag.String("lang", "en", "language of the content")
	count := flag.Int("count", 1, "packets to write")
	out := flag.String("out", "", "folder to write to; empty: nowhere")
	workers := flag.Int("workers", 1, "papers set at a time")
	profile := flag.String("profile", "", "file for a CPU profile")
	memory := flag.Bool("memory", false, "print memory every tenth of the way")
	flag.Parse()
	if err := run(*lang, *count, *out, *workers, *profile, *memory); err != nil {
		fmt.Fprintln(os.Stderr, err)
		os.Exit(1)
	}
}

// seldom is how far the heap may grow before memory is collected, in percent: as the command itself runs.
const seldom = 400

func run(lang string, count int, out string, workers int, profile string, memory bool) error {
	defer debug.SetGCPercent(debug.SetGCPercent(seldom))
	c, err := load(lang)
	if err != nil {
		return err
	}
	if out != "" {
		if err := os.MkdirAll(out, 0o777); err != nil {
			return err
		}
	}
	if profile != "" {
		f, err := os.Create(profile)
		if err != nil {
			return err
		}
		defer f.Close()
		if err := pprof.StartCPUProfile(f); err != nil {
			return err
		}
		defer pprof.StopCPUProfile()
	}
	p := printer{content: c, engine: text.NewEngine()}
	var group sync.WaitGroup
	var next atomic.Int64
	failed := make([]error, workers)
	for w := range workers {
		group.Go(func() {
			for {
				i := int(next.Add(1) - 1)
				if i >= count || failed[w] != nil {
					return
				}
				failed[w] = p.packet(i, out)
				if memory && i%max(count/10, 1) == 0 {
					report(i)
				}
			}
		})
	}
	group.Wait()
	for _, err := range failed {
		if err != nil {
			return err
		}
	}
	return nil
}

func report(packet int) {
	var m runtime.MemStats
	runtime.ReadMemStats(&m)
	fmt.Printf("packet %d: heap %d KiB, from the system %d KiB\n", packet, m.HeapAlloc>>10, (m.Sys-m.HeapReleased)>>10)
}

// printer sets papers; several goroutines share it.
type printer struct {
	content *content
	engine  *text.Engine
	press   pdf.Press
}

// packet writes the three papers of packet i.
func (p *printer) packet(i int, out string) error {
	for k := range p.content.Docs {
		if out == "" {
			if err := p.paper(io.Discard, k, i); err != nil {
				return err
			}
			continue
		}
		f, err := os.Create(filepath.Join(out, fmt.Sprintf("%04d-%s.pdf", i, p.content.Docs[k].ID)))
		if err != nil {
			return err
		}
		if err := p.paper(f, k, i); err != nil {
			f.Close()
			return err
		}
		if err := f.Close(); err != nil {
			return err
		}
	}
	return nil
}

// paper writes paper k of packet i.
func (p *printer) paper(w io.Writer, k, i int) error {
	d := p.content.document(k, i)
	setter := p.engine.NewSetter(text.Options{Lang: d.Lang})
	r := layout.Place(d, setter)
	return p.press.Write(w, r, setter.Fonts(), pdf.Info{
		DocumentID: p.content.values(i)["ref"], Producer: "philtrum engine measure", Profile: pdf.PDFA2u,
	})
}
