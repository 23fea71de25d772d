// Package pdf draws a placed paper and finishes it as an archival, tagged file.
//
// gofpdf makes the pages and their vectors. The finisher then reads those bytes by their own
// cross-reference table and writes one new file with what gofpdf cannot: cluster fonts, the structure
// tree, metadata, the output intent, bookmarks and an identifier made from the content. The default
// profile aims at ISO 14289-1 (PDF/UA-1) and ISO 19005-2 level U; package conform checks the conditions
// that a machine can check. Neither standard is proven by that: no validator for them is used.
package pdf

import (
	"errors"
	"fmt"
	"io"
	"sync"
	"time"

	"philtrum/templates/layout"
	"philtrum/templates/text"
)

// Profile names the archival standard that a file keeps.
type Profile uint8

const (
	// PDFA2u is ISO 19005-2 level U with PDF/UA-1, in PDF 1.7 with object streams.
	PDFA2u Profile = iota
	// PDFA1b is ISO 19005-1 level B in PDF 1.4, without object streams. Validators for it exist, so it
	// stands in for the other one in tests; the pages are the same.
	PDFA1b
	// PDFA3u is PDFA2u by ISO 19005-3, which lets a file hold other files of any kind.
	PDFA3u
)

// Info is what a file says about itself. Nothing in it may identify a person.
type Info struct {
	DocumentID string    // as printed on the pages, and in their codes; empty: the pages carry no code
	Title      string    // neutral; empty: the title of the result
	Producer   string    // program and version
	Issued     time.Time // recorded time of the visit; zero: the file carries no dates
	Profile    Profile

	// Attachments are files to hold; only PDFA3u may.
	Attachments []Attachment
	// Signature keeps room for a signature, which package sign fills; nil: the file is not to be signed.
	Signature *Signature
	// Form is what a form on a screen says of itself; nil: the places for answers are for a pen.
	Form *Form
}

// Press writes papers. Its zero value is ready. It keeps compressors, buffers and the bytes of drawings
// from paper to paper; it may be used by several goroutines at once.
type Press struct {
	buffers  sync.Pool
	deflates sync.Pool
	drawings drawingCache
	maps     mapCache

	packAtMost int // objects that go into one object stream; 0: as many as it holds
}

// Write writes one paper with a press of its own. A caller with several papers keeps a [Press].
func Write(w io.Writer, r layout.Result, fonts []text.Font, info Info) error {
	return new(Press).Write(w, r, fonts, info)
}

// Write writes r to w as one file. Equal arguments give equal bytes. fonts are those of the metrics that
// set r; neither it nor they may be changed afterwards, since a press knows fonts again. Errors tell of a result that contradicts itself (a font or a mark that does not exist) or of w
// failing; they never hold text of the paper. Nothing is written unless the file is complete.
func (p *Press) Write(w io.Writer, r layout.Result, fonts []text.Font, info Info) error {
	if len(r.Pages) == 0 {
		return errors.New("pdf: a paper without pages")
	}
	if r.Root == nil {
		return errors.New("pdf: a paper without structure")
	}
	if r.Lang == "" {
		return errors.New("pdf: a paper without a language")
	}
	if len(info.Attachments) > 0 && info.Profile != PDFA3u {
		return errors.New("pdf: only PDF/A-3 may hold other files")
	}
	if info.Title == "" {
		info.Title = r.Title
	}
	marks, err := ownersOf(&r)
	if err != nil {
		return err
	}
	plain, raw, content := p.buffer(), p.buffer(), p.buffer()
	defer p.release(plain)
	defer p.release(raw)
	defer p.release(content)
	own := held{b: raw.b}
	used, err := p.draw(plain, &own, &r, fonts, marks, info.DocumentID)
	raw.b = own.b // it may have moved while it grew
	if err != nil {
		return err
	}
	src, err := readDrawn(plain.b)
	if err == nil {
		err = src.restore(&own, content)
	}
	if err != nil {
		return fmt.Errorf("pdf: output of the page writer: %w", err)
	}
	f := finisher{press: p, r: &r, fonts: fonts, used: used, info: info, src: src}
	out := p.buffer()
	defer p.release(out)
	if err := f.finish(out); err != nil {
		return err
	}
	_, err = w.Write(out.b)
	return err
}

// scratch is a reusable run of bytes.
type scratch struct{ b []byte }

func (s *scratch) Write(p []byte) (int, error) {
	s.b = append(s.b, p...)
	return len(p), nil
}

func (p *Press) buffer() *scratch {
	if s, ok := p.buffers.Get().(*scratch); ok {
		s.b = s.b[:0]
		return s
	}
	return &scratch{b: make([]byte, 0, 64<<10)}
}

func (p *Press) release(s *scratch) { p.buffers.Put(s) }
