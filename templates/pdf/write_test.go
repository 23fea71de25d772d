package pdf_test

import (
	"bytes"
	"errors"
	"strings"
	"sync"
	"testing"
	"time"

	"philtrum/templates/layout"
	"philtrum/templates/pdf"
	"philtrum/templates/pdf/conform"
	"philtrum/templates/pdf/read"
)

var profiles = map[string]pdf.Profile{"A-2u": pdf.PDFA2u, "A-1b": pdf.PDFA1b}

func write(t testing.TB, p pdf.Profile) []byte {
	t.Helper()
	r, fonts := specimen()
	var out bytes.Buffer
	if err := pdf.Write(&out, r, fonts, specimenInfo(p)); err != nil {
		t.Fatal(err)
	}
	return out.Bytes()
}

func TestEqualPapersGiveEqualBytes(t *testing.T) {
	for name, p := range profiles {
		if a, b := write(t, p), write(t, p); !bytes.Equal(a, b) {
			t.Errorf("%s: two files of one paper differ", name)
		}
	}
}

func TestOnePressServesManyGoroutines(t *testing.T) {
	want := map[pdf.Profile][]byte{pdf.PDFA2u: write(t, pdf.PDFA2u), pdf.PDFA1b: write(t, pdf.PDFA1b)}
	var press pdf.Press
	var group sync.WaitGroup
	for range 8 {
		group.Go(func() {
			r, fonts := specimen()
			for _, p := range []pdf.Profile{pdf.PDFA2u, pdf.PDFA1b, pdf.PDFA2u} {
				var out bytes.Buffer
				if err := press.Write(&out, r, fonts, specimenInfo(p)); err != nil {
					t.Error(err)
				}
				if !bytes.Equal(out.Bytes(), want[p]) {
					t.Error("a file written in parallel differs")
				}
			}
		})
	}
	group.Wait()
}

func TestIdentifierFollowsTheContent(t *testing.T) {
	id := func(change func(*layout.Result, *pdf.Info)) read.Array {
		r, fonts := specimen()
		info := specimenInfo(pdf.PDFA2u)
		change(&r, &info)
		var out bytes.Buffer
		if err := pdf.Write(&out, r, fonts, info); err != nil {
			t.Fatal(err)
		}
		f, err := read.Open(out.Bytes())
		if err != nil {
			t.Fatal(err)
		}
		return f.ID()
	}
	base := id(func(*layout.Result, *pdf.Info) {})
	for name, change := range map[string]func(*layout.Result, *pdf.Info){
		"a moved line": func(r *layout.Result, _ *pdf.Info) { r.Pages[0].Items[0].Rect.X += layout.Pt },
		"another alternative text": func(r *layout.Result, _ *pdf.Info) {
			r.Root.Kids[0].Element.Actual = "other"
		},
		"another document": func(_ *layout.Result, i *pdf.Info) { i.DocumentID = "fedcba9876543210" },
	} {
		if got := id(change); got[0] == base[0] {
			t.Errorf("%s leaves the identifier as it was", name)
		}
	}
}

func TestWithoutATimeThereAreNoDates(t *testing.T) {
	for name, p := range profiles {
		r, fonts := specimen()
		info := specimenInfo(p)
		info.Issued = time.Time{}
		var out bytes.Buffer
		if err := pdf.Write(&out, r, fonts, info); err != nil {
			t.Fatal(err)
		}
		f, err := read.Open(out.Bytes())
		if err != nil {
			t.Fatal(err)
		}
		if d := f.Info(); d["CreationDate"] != nil || d["ModDate"] != nil || bytes.Contains(out.Bytes(), []byte("Date>")) {
			t.Errorf("%s: the file has a date", name)
		}
		if v := conform.Check(out.Bytes()); len(v) > 0 {
			t.Errorf("%s: %v", name, v)
		}
	}
}

// A time in UTC is written with Z in both places.
func TestDatesInEveryZone(t *testing.T) {
	for _, zone := range []*time.Location{time.UTC, time.FixedZone("", -4*3600-1800), time.FixedZone("", 14*3600)} {
		r, fonts := specimen()
		info := specimenInfo(pdf.PDFA2u)
		info.Issued = time.Date(2026, 1, 2, 3, 4, 5, 0, zone)
		var out bytes.Buffer
		if err := pdf.Write(&out, r, fonts, info); err != nil {
			t.Fatal(err)
		}
		if v := conform.Check(out.Bytes()); len(v) > 0 {
			t.Errorf("%s: %v", zone, v)
		}
	}
}

func TestContradictoryPapersAreRefused(t *testing.T) {
	for name, change := range map[string]func(*layout.Result){
		"no pages":     func(r *layout.Result) { r.Pages = nil },
		"no language":  func(r *layout.Result) { r.Lang = "" },
		"no structure": func(r *layout.Result) { r.Root = nil },
		"a mark of no element": func(r *layout.Result) {
			r.Root.Kids = r.Root.Kids[1:]
		},
		"a mark of two elements": func(r *layout.Result) {
			r.Root.Kids = append(r.Root.Kids, layout.Kid{Page: 1, Mark: 0})
		},
		"a mark beyond the page's": func(r *layout.Result) {
			r.Root.Kids = append(r.Root.Kids, layout.Kid{Page: 1, Mark: 99})
		},
		"a mark on no page": func(r *layout.Result) {
			r.Root.Kids = append(r.Root.Kids, layout.Kid{Page: 3, Mark: 0})
		},
		"a mark without content":   func(r *layout.Result) { r.Pages[0].Items = r.Pages[0].Items[1:] },
		"content beyond the marks": func(r *layout.Result) { r.Pages[0].Items[0].Mark = 50 },
		"one mark in two places": func(r *layout.Result) {
			r.Pages[0].Items = append(r.Pages[0].Items, r.Pages[0].Items[0])
		},
		"a font that does not exist": func(r *layout.Result) { r.Pages[0].Items[0].Line.Runs[0].Font = 7 },
		"an unknown item":            func(r *layout.Result) { r.Pages[0].Items[0].Kind = 77 },
	} {
		t.Run(name, func(t *testing.T) {
			r, fonts := specimen()
			change(&r)
			var out bytes.Buffer
			if err := pdf.Write(&out, r, fonts, specimenInfo(pdf.PDFA2u)); err == nil {
				t.Error("no error")
			}
			if out.Len() > 0 {
				t.Error("bytes were written all the same")
			}
		})
	}
}

// No text of a paper may reach an error.
func TestErrorsHoldNoText(t *testing.T) {
	r, fonts := specimen()
	r.Pages[0].Items[0].Line.Runs[0].Font = 7
	err := pdf.Write(new(bytes.Buffer), r, fonts, specimenInfo(pdf.PDFA2u))
	if err == nil || strings.Contains(err.Error(), "Specimen") {
		t.Errorf("error is %v", err)
	}
}

// A string in an archival file has a greatest length; what cannot be cut is left to the page.
func TestLongTextsStayWithinTheLimits(t *testing.T) {
	r, fonts := specimen()
	long := strings.Repeat("\u0646", 40000)
	r.Root.Kids[0].Element.Actual = long
	r.Outline[0].Text = long
	r.Root.Kids[len(r.Root.Kids)-2].Element.Alt = long
	var out bytes.Buffer
	if err := pdf.Write(&out, r, fonts, specimenInfo(pdf.PDFA2u)); err != nil {
		t.Fatal(err)
	}
	if v := conform.Check(out.Bytes()); len(v) > 0 {
		t.Error(v)
	}
}

var errFull = errors.New("disk is full")

type full struct{}

func (full) Write([]byte) (int, error) { return 0, errFull }

func TestFailureOfTheWriterIsPassedOn(t *testing.T) {
	r, fonts := specimen()
	if err := pdf.Write(full{}, r, fonts, specimenInfo(pdf.PDFA2u)); !errors.Is(err, errFull) {
		t.Errorf("error is %v", err)
	}
}

func TestObjectStreamsMakeFilesSmaller(t *testing.T) {
	if a, b := len(write(t, pdf.PDFA2u)), len(write(t, pdf.PDFA1b)); a >= b {
		t.Errorf("%d bytes with, %d without", a, b)
	}
}

func TestOutlineKeepsItsLevels(t *testing.T) {
	r, fonts := specimen()
	entry := func(level int, text string) layout.OutlineEntry {
		return layout.OutlineEntry{Level: level, Text: text, Page: 1}
	}
	r.Outline = []layout.OutlineEntry{entry(2, "a"), entry(3, "b"), entry(4, "c"), entry(3, "d"), entry(1, "e"), entry(3, "f")}
	var out bytes.Buffer
	if err := pdf.Write(&out, r, fonts, specimenInfo(pdf.PDFA2u)); err != nil {
		t.Fatal(err)
	}
	f, err := read.Open(out.Bytes())
	if err != nil {
		t.Fatal(err)
	}
	var show func(o read.Object) string
	show = func(o read.Object) string {
		var b strings.Builder
		var last read.Object
		for ; o != nil; o = f.Dict(o)["Next"] {
			d := f.Dict(o)
			if d["Prev"] != last {
				t.Errorf("entry does not lead back")
			}
			last = o
			text, _ := f.Text(d["Title"])
			b.WriteString(text)
			if d["First"] != nil {
				b.WriteString("(" + show(d["First"]) + ")")
			}
		}
		return b.String()
	}
	if got, want := show(f.Dict(f.Catalog()["Outlines"])["First"]), "a(b(c)d)e(f)"; got != want {
		t.Errorf("outline is %s, want %s", got, want)
	}
}
