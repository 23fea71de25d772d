package folder

import (
	"errors"
	"os"
	"strings"
	"testing"
	"testing/fstest"
	"time"

	"philtrum/forms/journal"

	"github.com/google/go-cmp/cmp"
)

const visitFile = "visits/2026/v1/visit.yaml"

// issue is a batch as issuing two papers makes it.
func issue(f *Folder) *Batch {
	b := f.Batch(noon.Add(time.Hour))
	b.Create("visits/2026/v1/papers/d1.pdf", []byte("%PDF 1"))
	b.Create("visits/2026/v1/papers/d2.pdf", []byte("%PDF 2"))
	b.Update(visitFile, func(old []byte) ([]byte, error) { return append(old, "papers: [d1, d2]\n"...), nil })
	b.Enter("issued", "d1", digest([]byte("%PDF 1")))
	b.Enter("issued", "d2", digest([]byte("%PDF 2")))
	b.EnterFile("changed", "v1", visitFile)
	return b
}

// issued checks that the batch has happened, once.
func issued(t *testing.T, f *Folder) {
	t.Helper()
	got := map[string]string{}
	for _, name := range files(t, f) {
		if name != journalFile {
			got[name] = strings.TrimSpace(must(os.ReadFile(f.Join(name)))(t))
		}
	}
	want := map[string]string{clinicFile: "name: Example", "patients/p1.yaml": "id: p1", visitFile: "id: v1\npapers: [d1, d2]",
		"visits/2026/v1/papers/d1.pdf": "%PDF 1", "visits/2026/v1/papers/d2.pdf": "%PDF 2"}
	if diff := cmp.Diff(want, got); diff != "" {
		t.Error(diff)
	}
	entries, problems, err := f.Journal()
	if err != nil || len(problems) > 0 {
		t.Fatal(problems, err)
	}
	var said []string
	for _, e := range entries {
		said = append(said, e.What+" "+e.Subject)
	}
	if diff := cmp.Diff([]string{"opened v1", "issued d1", "issued d2", "changed v1"}, said); diff != "" {
		t.Error(diff)
	}
	if e := entries[len(entries)-1]; e.Digest != digest([]byte("id: v1\npapers: [d1, d2]\n")) {
		t.Error("the entry has another digest than the file")
	}
}

func must(data []byte, err error) func(*testing.T) string {
	return func(t *testing.T) string {
		t.Helper()
		if err != nil {
			t.Fatal(err)
		}
		return string(data)
	}
}

func TestBatch(t *testing.T) {
	f := made(t)
	if err := issue(f).Commit(); err != nil {
		t.Fatal(err)
	}
	issued(t, f)
}

func TestBatchIsAllOrNothing(t *testing.T) {
	mine := errors.New("mine")
	for name, spoil := range map[string]func(*Folder, *Batch){
		"a change fails": func(_ *Folder, b *Batch) {
			b.Update("patients/p1.yaml", func([]byte) ([]byte, error) { return nil, mine })
		},
		"a paper is there": func(f *Folder, b *Batch) { b.Create(clinicFile, nil) },
		"a file is missing": func(_ *Folder, b *Batch) {
			b.Update("patients/p9.yaml", func(old []byte) ([]byte, error) { return old, nil })
		},
		"the last file is missing": func(_ *Folder, b *Batch) {
			b.Update("visits/2027/v9/visit.yaml", func(old []byte) ([]byte, error) { return old, nil })
		},
		"a sentence for the journal": func(_ *Folder, b *Batch) { b.Enter("Was told", "v1", "") },
		"a name for the journal":     func(_ *Folder, b *Batch) { b.Enter("told", "Ada Example", "") },
	} {
		t.Run(name, func(t *testing.T) {
			f := made(t)
			before, said := files(t, f), read(t, f, journalFile)
			b := issue(f)
			spoil(f, b)
			if err := b.Commit(); err == nil {
				t.Error("committed")
			}
			if diff := cmp.Diff(before, files(t, f)); diff != "" {
				t.Error(diff)
			}
			if read(t, f, visitFile) != "id: v1\n" || read(t, f, journalFile) != said {
				t.Error("something was written")
			}
		})
	}
}

// cutOff carries a batch to its intent and then so many of its steps, as a power cut would leave it.
func cutOff(t *testing.T, f *Folder, steps, lines int) {
	t.Helper()
	b := issue(f)
	leases, err := b.claim()
	if err != nil {
		t.Fatal(err)
	}
	if err := b.stage(); err != nil {
		t.Fatal(err)
	}
	of, err := f.lease(journalFile)
	if err != nil {
		t.Fatal(err)
	}
	leases = append(leases, of)
	plan, err := b.plan()
	if err != nil {
		t.Fatal(err)
	}
	if err := f.intend(plan); err != nil {
		t.Fatal(err)
	}
	for _, step := range plan.Steps[:steps] {
		if err := f.carryOutStep(step); err != nil {
			t.Fatal(err)
		}
	}
	if err := f.appendLines(plan.Lines[:lines]); err != nil {
		t.Fatal(err)
	}
	for _, l := range leases { // as found some minutes later
		leftover(t, l.path, staleAfter+time.Second)
	}
}

func TestACutOffBatchIsCompleted(t *testing.T) {
	for _, c := range []struct{ steps, lines int }{{0, 0}, {1, 0}, {2, 0}, {3, 0}, {3, 1}, {3, 2}, {3, 3}} {
		f := made(t)
		cutOff(t, f, c.steps, c.lines)
		again, err := Open(f.Path())
		if err != nil {
			t.Fatal(err)
		}
		if err := again.Create("patients/p2.yaml", nil); err != nil { // sweeps nothing that is needed
			t.Fatal(err)
		}
		if err := os.Remove(again.Join("patients/p2.yaml")); err != nil {
			t.Fatal(err)
		}
		for _, name := range []string{visitFile, "visits/2026/v1/papers/d1.pdf", "visits/2026/v1/papers/d2.pdf"} {
			l, err := again.lease(name) // takes the stale leases away
			if err != nil {
				t.Fatal(err)
			}
			l.release()
		}
		issued(t, again)
	}
}

func TestAnUpdateCompletesWhatWasCutOffFirst(t *testing.T) {
	f := made(t)
	cutOff(t, f, 1, 0)
	err := f.Update(visitFile, noon, func(old []byte) ([]byte, error) { return append(old, "after: 1\n"...), nil })
	if err != nil {
		t.Fatal(err)
	}
	if got := read(t, f, visitFile); got != "id: v1\npapers: [d1, d2]\nafter: 1\n" {
		t.Error(got)
	}
}

func TestAnEditorsChangeAfterTheCutIsKept(t *testing.T) {
	f := made(t)
	cutOff(t, f, 0, 0)
	if err := os.WriteFile(f.Join(visitFile), []byte("id: v1 # edited\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	again, err := Open(f.Path())
	if err != nil {
		t.Fatal(err)
	}
	if got := read(t, again, visitFile); got != "id: v1 # edited\n" {
		t.Error(got)
	}
	if got := read(t, again, visitFile+".aside"); got != "id: v1\npapers: [d1, d2]\n" {
		t.Error(got)
	}
	if got := again.Notices(); len(got) != 1 || got[0].ID != "problem.set_aside" {
		t.Errorf("%v", got)
	}
}

func TestTheMakingOfAClinicIsCompleted(t *testing.T) {
	f, err := Make(t.TempDir())
	if err != nil {
		t.Fatal(err)
	}
	b := f.Batch(noon)
	b.Create(clinicFile, []byte("name: Example\n"))
	b.Create("staff.yaml", []byte("staff: []\n"))
	b.Enter("clinic", "clinic", "")
	if _, err := b.claim(); err != nil {
		t.Fatal(err)
	}
	if err := b.stage(); err != nil {
		t.Fatal(err)
	}
	plan, err := b.plan()
	if err != nil {
		t.Fatal(err)
	}
	if err := f.intend(plan); err != nil {
		t.Fatal(err)
	}
	leftover(t, leasePath(f.Join(journalFile)), staleAfter+time.Second)
	again, err := Open(f.Path())
	if err != nil {
		t.Fatal(err)
	}
	if !again.Has("staff.yaml") || !again.Has(clinicFile) {
		t.Error("half a clinic")
	}
}

func TestATornLineIsSetAside(t *testing.T) {
	for name, c := range map[string]struct {
		tear    func(string) string
		entries int
		torn    string
	}{
		"half a line":        {func(s string) string { return s + `{"seq":2,"at":"2026` }, 2, "{\"seq\":2,\"at\":\"2026\n"},
		"no line end":        {func(s string) string { return strings.TrimSuffix(s, "\n") }, 2, ""},
		"nothing but a half": {func(string) string { return `{"seq` }, 1, "{\"seq\n"},
	} {
		t.Run(name, func(t *testing.T) {
			f := made(t)
			if err := os.WriteFile(f.Join(journalFile), []byte(c.tear(read(t, f, journalFile))), 0o600); err != nil {
				t.Fatal(err)
			}
			if err := f.Enter(noon, "handed", "v1", ""); err != nil {
				t.Fatal(err)
			}
			entries, problems, err := f.Journal()
			if err != nil || len(problems) > 0 || len(entries) != c.entries {
				t.Errorf("%d entries, %v %v", len(entries), problems, err)
			}
			if c.torn == "" {
				if f.Has(tornFile) || len(f.Notices()) > 0 {
					t.Error("a whole line was set aside")
				}
				return
			}
			if got := read(t, f, tornFile); got != c.torn {
				t.Errorf("%q", got)
			}
			if got := f.Notices(); len(got) != 1 || got[0].ID != "problem.journal_torn" {
				t.Errorf("%v", got)
			}
		})
	}
}

func TestAnAlteredEndIsNoticedAndStopsNothing(t *testing.T) {
	for name, alter := range map[string]func(string) string{
		"altered": func(s string) string { return strings.Replace(s, "opened", "voided", 1) },
		"garbage": func(s string) string { return s + "x\n" },
	} {
		t.Run(name, func(t *testing.T) {
			f := made(t)
			if err := os.WriteFile(f.Join(journalFile), []byte(alter(read(t, f, journalFile))), 0o600); err != nil {
				t.Fatal(err)
			}
			if err := issue(f).Commit(); err != nil {
				t.Fatal(err)
			}
			if got := f.Notices(); len(got) != 1 || got[0].ID != "problem.journal_end" {
				t.Errorf("%v", got)
			}
			if lines := strings.Count(read(t, f, journalFile), "\n"); lines < 4 {
				t.Errorf("%d lines", lines)
			}
			if _, problems, err := f.Journal(); err != nil || len(problems) != 1 {
				t.Errorf("the journal holds: %v %v", problems, err)
			}
		})
	}
}

func TestJournalNamesTheLine(t *testing.T) {
	f := made(t)
	for range 3 {
		if err := f.Enter(noon, "handed", "v1", ""); err != nil {
			t.Fatal(err)
		}
	}
	lines := strings.SplitAfter(read(t, f, journalFile), "\n")
	lines[2] = strings.Replace(lines[2], "handed", "issued", 1)
	if err := os.WriteFile(f.Join(journalFile), []byte(strings.Join(lines, "")), 0o600); err != nil {
		t.Fatal(err)
	}
	entries, problems, err := f.Journal()
	if err != nil || len(entries) != 2 || len(problems) != 1 || problems[0].ID != "problem.journal_"+journal.ReasonHash || problems[0].Span.Line != 3 {
		t.Errorf("%d %v %v", len(entries), problems, err)
	}
}

func TestOverlay(t *testing.T) {
	f := made(t)
	shipped := fstest.MapFS{"a.yaml": {Data: []byte("shipped")}, "sub/b.yaml": {Data: []byte("shipped")}, "sub/c.yaml": {Data: []byte("shipped")}}
	if diff := cmp.Diff(shipped, f.Overlay("forms", shipped)); diff != "" {
		t.Error("without files of its own an overlay is what is shipped")
	}
	for _, name := range []string{"sub/b.yaml", "d.yaml"} {
		if err := f.Create("overlay/forms/"+name, []byte("own")); err != nil {
			t.Fatal(err)
		}
	}
	if err := WriteFile(f.Join("overlay/forms/.philtrum-1.tmp"), nil); err != nil {
		t.Fatal(err)
	}
	both := f.Overlay("forms", shipped)
	if err := fstest.TestFS(both, "a.yaml", "d.yaml", "sub/b.yaml", "sub/c.yaml"); err != nil {
		t.Error(err)
	}
	for name, want := range map[string]string{"a.yaml": "shipped", "d.yaml": "own", "sub/b.yaml": "own", "sub/c.yaml": "shipped"} {
		file, err := both.Open(name)
		if err != nil {
			t.Fatal(err)
		}
		got := make([]byte, 10)
		n, _ := file.Read(got)
		if string(got[:n]) != want {
			t.Errorf("%s is %q", name, got[:n])
		}
		_ = file.Close()
	}
	if _, err := both.Open(".philtrum-1.tmp"); err == nil {
		t.Error("a temporary file is part of it")
	}
	if _, err := both.Open("../x"); err == nil {
		t.Error("a way out")
	}
}
