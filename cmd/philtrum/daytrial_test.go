package main

import (
	"bytes"
	"context"
	"fmt"
	mathrand "math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"runtime/debug"
	"strings"
	"testing"
	"time"

	"philtrum/cmd/philtrum/desk"
	"philtrum/cmd/philtrum/folder"
	"philtrum/forms/measure"
	"philtrum/locales"
	"philtrum/templates/pdf/read"
)

// The day of the trials, on which the demonstration has no visits of its own.
var trialDay = measure.Date{Year: 2026, Month: time.December, Day: 8}

// busyDay fills a copy of the demonstration with visits of one day, in all languages by turns: each like the
// visit that has a finding to decide, with another patient.
func busyDay(tb testing.TB, visits int) desk.Demonstration {
	tb.Helper()
	shown := demonstration(tb)
	var model string
	for _, v := range shown.Visits {
		if at := v.Checked.Case.Visit.Appointment; at.Hour() == 10 && at.Minute() == 30 {
			model = v.Checked.Visit
		}
	}
	text, err := os.ReadFile(shown.Folder.Join("visits/2026/" + model + "/visit.yaml"))
	if err != nil {
		tb.Fatal(err)
	}
	catalogue, err := locales.Load(locales.Default)
	if err != nil {
		tb.Fatal(err)
	}
	languages := catalogue.Languages()
	for i := range visits {
		language := languages[i%len(languages)]
		id := fmt.Sprintf("busy%012d", i)
		at := trialDay.In(time.UTC, 8, 0).Add(time.Duration(i) * 10 * time.Minute)
		write(tb, shown.Folder, "patients/p"+id+".yaml", fmt.Sprintf("id: p%s\nnumber: n%s\ndisplay: %s %d\nborn: %d-03-04\nspeaks: %s\nreads: %s\n",
			id, id, language.Name, i+1, 1960+i%40, language.Tag, language.Tag))
		write(tb, shown.Folder, "visits/2026/"+id+"/visit.yaml", likeModel(string(text), id, at))
	}
	return shown
}

func write(tb testing.TB, f *folder.Folder, name, text string) {
	tb.Helper()
	if err := folder.WriteFile(f.Join(name), []byte(text)); err != nil {
		tb.Fatal(err)
	}
}

// likeModel is a visit's text with another id, patient, time and salt, and without what was done at it.
func likeModel(text, id string, at time.Time) string {
	own := map[string]string{"id": id, "patient": "p" + id, "appointment": at.Format(time.RFC3339), "salt": "salt" + id}
	var out strings.Builder
	skip := false
	for line := range strings.Lines(text) {
		if line[0] != ' ' && line[0] != '\n' && line[0] != '-' {
			key, _, _ := strings.Cut(line, ":")
			skip = key == "papers" || key == "handed" || key == "shown" || key == "decisions" || key == "identity_seen"
			if value, ok := own[key]; ok {
				line = key + ": " + value + "\n"
			}
		}
		if !skip {
			out.WriteString(line)
		}
	}
	return out.String()
}

// BenchmarkDay is a day of 60 visits in every language, from the visits' files to the files for the printer.
func BenchmarkDay(b *testing.B) {
	before := debug.SetGCPercent(seldom)
	b.Cleanup(func() { debug.SetGCPercent(before) })
	for b.Loop() {
		b.StopTimer()
		shown := busyDay(b, 60)
		catalogue, err := locales.Load(locales.Default)
		if err != nil {
			b.Fatal(err)
		}
		b.StartTimer()
		d, problems, err := desk.Open(shown.Folder, catalogue, trialDay.In(time.UTC, 7, 0), bytes.NewReader(nil))
		if err != nil || len(problems) > 0 {
			b.Fatal(err, problems)
		}
		day, problems, err := d.Day(context.Background(), desk.DayRequest{On: trialDay, Separators: true}, nil)
		if err != nil || len(problems) > 0 || len(day.Visits) != 60 {
			b.Fatal(err, problems, len(day.Visits))
		}
	}
}

// A day that is killed half-way and run again has every paper once: none twice, none missing, none that no visit
// names.
func TestDayGoesOnWhereItWasKilled(t *testing.T) {
	if testing.Short() {
		t.Skip("starts and kills processes")
	}
	const visits = 12
	shown := busyDay(t, visits)
	random := mathrand.New(mathrand.NewPCG(11, 8))
	run := func(kill time.Duration) bool {
		cmd := exec.Command(os.Args[0])
		cmd.Args = []string{"philtrum", "day", trialDay.String()}
		cmd.Env = append(os.Environ(), "PHILTRUM_TEST_NOW=2026-12-08T07:00:00Z", "PHILTRUM_CLINIC="+shown.Folder.Path())
		if err := cmd.Start(); err != nil {
			t.Fatal(err)
		}
		if kill > 0 {
			timer := time.AfterFunc(kill, func() { _ = cmd.Process.Kill() })
			defer timer.Stop()
		}
		_ = cmd.Wait()
		return cmd.ProcessState.ExitCode() >= 0
	}
	c := &trialClinic{t: t, dir: shown.Folder.Path(), began: trialDay.In(time.UTC, 7, 0)}
	for range 6 {
		if run(time.Duration(20+random.IntN(300)) * time.Millisecond) {
			break // it came through
		}
		c.grow()
	}
	if !run(0) {
		t.Fatal("the last run did not end by itself")
	}
	made := 0
	for i := range visits {
		made += checkOnce(t, shown.Folder.Path(), fmt.Sprintf("busy%012d", i))
	}
	printed := pages(t, shown.Folder.Join("print/2026-12-08/patients.pdf")) + pages(t, shown.Folder.Join("print/2026-12-08/clinic.pdf"))
	if list := printed - visits - made; list < 1 || list > 3 {
		t.Errorf("%d pages for the printer: %d of papers, %d sheets between visits, and a list of %d pages", printed, made, visits, list)
	}
}

// pages counts the pages of a file.
func pages(t *testing.T, path string) int {
	t.Helper()
	data, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	f, err := read.Open(data)
	if err != nil {
		t.Fatal(err)
	}
	return len(f.Pages())
}

// checkOnce holds a visit's file against the papers that lie beside it, and counts their pages.
func checkOnce(t *testing.T, clinic, visit string) (all int) {
	t.Helper()
	dir := filepath.Join(clinic, "visits", "2026", visit)
	text, err := os.ReadFile(filepath.Join(dir, "visit.yaml"))
	if err != nil {
		t.Fatal(err)
	}
	for _, kind := range []string{"information", "consent", "record", "aftercare"} {
		if n := strings.Count(string(text), "kind: "+kind+"\n"); n != 1 {
			t.Errorf("%s: %s stands %d times in the visit's file", visit, kind, n)
		}
	}
	files, err := filepath.Glob(filepath.Join(dir, "papers", "[^.]*.pdf")) // leases of the killed begin with a dot
	if err != nil || len(files) != 4 {
		t.Errorf("%s: %d papers, %v", visit, len(files), err)
	}
	for _, file := range files {
		if document := strings.TrimSuffix(filepath.Base(file), ".pdf"); !strings.Contains(string(text), document) {
			t.Errorf("%s: a paper that the visit does not name", visit)
		}
		all += pages(t, file)
	}
	return all
}
