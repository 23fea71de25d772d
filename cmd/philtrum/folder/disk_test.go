package folder

import (
	"errors"
	"os"
	"strings"
	"syscall"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
)

var errCut = errors.New("the power is gone")

// cut is a disk that works for so many steps. From then on nothing happens any more, as after a power cut; of a
// write that is cut, some bytes are on the disk.
func cut(after, bytes int) disk {
	n := 0
	return disk{before: func(string) (int, error) {
		if n++; n <= after {
			return 0, nil
		}
		if n == after+1 {
			return bytes, errCut
		}
		return 0, errCut
	}}
}

// Wherever the power goes, the batch has happened as a whole or not at all, and the next command finds a whole
// folder and can go on.
func TestABatchThatIsCutAnywhere(t *testing.T) {
	for _, bytes := range []int{0, 1, 40, 1 << 20} {
		happened, steps := 0, 0
		for after := 0; ; after++ {
			f := made(t)
			before := contents(t, f)
			f.disk = cut(after, bytes)
			err := issue(f).Commit()
			if err == nil {
				steps = after
				issued(t, f)
				break
			}
			if !errors.Is(err, errCut) {
				t.Fatal(after, err)
			}
			grow(t, f)
			again, err := Open(f.Path())
			if err != nil {
				t.Fatal(after, err)
			}
			if read(t, again, visitFile) == "id: v1\n" {
				if diff := cmp.Diff(before, contents(t, again)); diff != "" {
					t.Errorf("cut after %d steps, %d bytes: half of it happened\n%s", after, bytes, diff)
				}
				if err := issue(again).Commit(); err != nil {
					t.Errorf("cut after %d steps: the next command cannot go on: %v", after, err)
				}
			} else {
				happened++
			}
			mendTorn(t, again)
			issued(t, again)
		}
		if happened == 0 || happened == steps {
			t.Errorf("%d of %d cuts came after the batch was decided on", happened, steps)
		}
	}
}

// mendTorn removes what a cut line of the journal left, which is kept for people to look at.
func mendTorn(t *testing.T, f *Folder) {
	t.Helper()
	if err := os.Remove(f.Join(tornFile)); err != nil && !errors.Is(err, os.ErrNotExist) {
		t.Fatal(err)
	}
}

// A disk that is full refuses, and when there is room again everything is there once.
func TestAFullDisk(t *testing.T) {
	for after := range 8 {
		f := made(t)
		n, full := 0, true
		f.disk.before = func(step string) (int, error) {
			if step != "write" && step != "create" {
				return 0, nil
			}
			if n++; n > after && full {
				return 7, syscall.ENOSPC
			}
			return 0, nil
		}
		err := issue(f).Commit()
		if err == nil {
			issued(t, f)
			continue
		}
		if !errors.Is(err, syscall.ENOSPC) {
			t.Fatal(err)
		}
		full = false
		again, err := Open(f.Path())
		if err != nil {
			t.Fatal(err)
		}
		if read(t, again, visitFile) == "id: v1\n" {
			if err := issue(again).Commit(); err != nil {
				t.Fatal(after, err)
			}
		}
		mendTorn(t, again)
		issued(t, again)
	}
}

// In a folder that only may be read, every command that writes says so, and nothing changes.
func TestAFolderThatMayOnlyBeRead(t *testing.T) {
	f := made(t)
	before := contents(t, f)
	f.disk.before = func(string) (int, error) { return 0, syscall.EROFS }
	if err := issue(f).Commit(); !errors.Is(err, syscall.EROFS) {
		t.Error(err)
	}
	if diff := cmp.Diff(before, contents(t, f)); diff != "" {
		t.Error(diff)
	}
}

// A clock that was set back is told, and the chain goes on.
func TestAClockThatWasSetBack(t *testing.T) {
	f := made(t)
	if err := f.Enter(noon.Add(time.Hour), "told", "v1", ""); err != nil {
		t.Fatal(err)
	}
	if err := f.Enter(noon.Add(58*time.Minute), "told", "v1", ""); err != nil || len(f.Notices()) > 0 {
		t.Error("two desks may differ a little:", f.Notices(), err)
	}
	if err := f.Enter(noon.AddDate(-1, 0, 0), "told", "v1", ""); err != nil {
		t.Fatal(err)
	}
	if n := f.Notices(); len(n) != 1 || !strings.HasSuffix(n[0].ID, "clock_back") {
		t.Error(n)
	}
	if _, problems, err := f.Journal(); err != nil || len(problems) > 0 {
		t.Error(problems, err)
	}
}

// An edit by hand between two commands is in the chain, with what the file was then.
func TestAnEditByHandIsEntered(t *testing.T) {
	f := made(t)
	change := func(what string) {
		b := f.Batch(noon)
		b.Update(visitFile, func(old []byte) ([]byte, error) { return append(old, "# "+what+"\n"...), nil })
		b.EnterFile(what, "v1", visitFile)
		if err := b.Commit(); err != nil {
			t.Fatal(err)
		}
	}
	change("first")
	change("second")
	edited := read(t, f, visitFile) + "note: by hand\n"
	if err := os.WriteFile(f.Join(visitFile), []byte(edited), 0o600); err != nil {
		t.Fatal(err)
	}
	change("third")
	change("fourth")
	entries, _, err := f.Journal()
	if err != nil {
		t.Fatal(err)
	}
	var said []string
	for _, e := range entries[1:] {
		said = append(said, e.What)
		if e.What == "edited" && e.Digest != digest([]byte(edited)) {
			t.Error("the entry has another digest than the file that was found")
		}
	}
	if diff := cmp.Diff([]string{"first", "second", "edited", "third", "fourth"}, said); diff != "" {
		t.Error(diff)
	}
}
