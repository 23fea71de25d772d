package main

import (
	"bytes"
	"io/fs"
	"os"
	"path/filepath"
	"runtime/debug"
	"testing"

	"philtrum/cmd/philtrum/desk"
	"philtrum/locales"
)

// demonstration builds the invented clinic in a folder of the test.
func demonstration(tb testing.TB) desk.Demonstration {
	tb.Helper()
	data, err := fs.Sub(demoData, "demo")
	if err != nil {
		tb.Fatal(err)
	}
	catalogue, err := locales.Load(locales.Default)
	if err != nil {
		tb.Fatal(err)
	}
	shown, problems, err := desk.Demonstrate(filepath.Join(tb.TempDir(), "clinic"), data, catalogue)
	if err != nil {
		tb.Fatal(err)
	}
	for _, p := range problems {
		tb.Fatal(p.Span, p.ID, p.Args)
	}
	return shown
}

// Two demonstrations are the same to the byte: every paper, every file of the clinic, the journal.
func TestDemonstrationsAreTheSameToTheByte(t *testing.T) {
	one, two := demonstration(t).Folder, demonstration(t).Folder
	files := 0
	err := fs.WalkDir(os.DirFS(one.Path()), ".", func(name string, entry fs.DirEntry, err error) error {
		if err != nil || entry.IsDir() {
			return err
		}
		files++
		a, err := one.Read(name)
		if err != nil {
			return err
		}
		b, err := two.Read(name)
		if err != nil {
			return err
		}
		if !bytes.Equal(a, b) {
			t.Errorf("%s differs", name)
		}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	if files < 40 {
		t.Errorf("only %d files: the demonstration is not whole", files)
	}
}

// benchDesk is a desk on the demonstration with the visit that was treated, everything warm.
func benchDesk(b *testing.B) (*desk.Desk, string) {
	b.Helper()
	before := debug.SetGCPercent(seldom) // as the command runs
	b.Cleanup(func() { debug.SetGCPercent(before) })
	shown := demonstration(b)
	catalogue, err := locales.Load(locales.Default)
	if err != nil {
		b.Fatal(err)
	}
	d, problems, err := desk.Open(shown.Folder, catalogue, shown.Visits[0].Checked.Case.Visit.Appointment, bytes.NewReader(nil))
	if err != nil || len(problems) > 0 {
		b.Fatal(err, problems)
	}
	return d, shown.Visits[0].Checked.Visit
}

// BenchmarkPacket makes the four papers of a treated visit, files included, from a checked visit to bytes.
func BenchmarkPacket(b *testing.B) {
	d, id := benchDesk(b)
	checked, err := d.Check(id)
	if err != nil {
		b.Fatal(err)
	}
	kinds := []string{"information", "consent", "record", "aftercare"}
	b.ReportAllocs()
	for b.Loop() {
		for _, kind := range kinds {
			if _, err := d.Make(checked, kind, desk.Request{}); err != nil {
				b.Fatal(err)
			}
		}
	}
}

// BenchmarkCheck loads and checks one visit with rules and form warm.
func BenchmarkCheck(b *testing.B) {
	d, id := benchDesk(b)
	b.ReportAllocs()
	for b.Loop() {
		if _, err := d.Check(id); err != nil {
			b.Fatal(err)
		}
	}
}
