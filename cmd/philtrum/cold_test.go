package main

import (
	"bytes"
	"testing"
	"time"

	"philtrum/cmd/philtrum/desk"
	"philtrum/cmd/philtrum/folder"
	"philtrum/locales"
)

// BenchmarkColdCheck opens the clinic and checks one visit with nothing read before, as one run of the
// command does, but for the start of the process.
func BenchmarkColdCheck(b *testing.B) {
	cold(b, func(d *desk.Desk, id string) error { _, err := d.Check(id); return err })
}

// BenchmarkColdIssue is the same for the papers of a visit.
func BenchmarkColdIssue(b *testing.B) {
	cold(b, func(d *desk.Desk, id string) error {
		checked, err := d.Check(id)
		if err != nil {
			return err
		}
		for _, kind := range []string{"information", "consent", "record", "aftercare"} {
			if _, err := d.Make(checked, kind, desk.Request{}); err != nil {
				return err
			}
		}
		return nil
	})
}

func cold(b *testing.B, do func(*desk.Desk, string) error) {
	b.Helper()
	shown := demonstration(b)
	b.ReportAllocs()
	for b.Loop() {
		catalogue, err := locales.Load(locales.Default)
		if err != nil {
			b.Fatal(err)
		}
		f, err := folder.Open(shown.Folder.Path())
		if err != nil {
			b.Fatal(err)
		}
		d, problems, err := desk.Open(f, catalogue, time.Unix(0, 0), bytes.NewReader(nil))
		if err != nil || len(problems) > 0 {
			b.Fatal(err, problems)
		}
		if err := do(d, shown.Visits[0].Checked.Visit); err != nil {
			b.Fatal(err)
		}
	}
}
