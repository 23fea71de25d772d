package folder

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"sync"
	"testing"
	"time"
)

func TestUpdatesAtOnceAreNotLost(t *testing.T) {
	f := made(t)
	const writers, times = 4, 25
	name := "visits/2026/v1/visit.yaml"
	var group sync.WaitGroup
	for range writers {
		group.Go(func() {
			other, err := Open(f.Path()) // as another process would
			if err != nil {
				t.Error(err)
				return
			}
			for range times {
				err := other.Update(name, noon, func(old []byte) ([]byte, error) {
					return fmt.Appendf(old, "line %d\n", strings.Count(string(old), "\n")), nil
				})
				if err != nil {
					t.Error(err)
				}
				if err := other.Enter(noon, "changed", "v1", ""); err != nil {
					t.Error(err)
				}
			}
		})
	}
	group.Wait()
	lines := strings.Split(strings.TrimSpace(read(t, f, name)), "\n")
	if len(lines) != 1+writers*times {
		t.Fatalf("%d lines", len(lines))
	}
	for i, line := range lines[1:] {
		if line != "line "+strconv.Itoa(i+1) {
			t.Fatalf("line %d is %q", i+1, line)
		}
	}
	entries, problems, err := f.Journal()
	if err != nil || len(problems) > 0 || len(entries) != 1+writers*times {
		t.Errorf("%d entries, %v %v", len(entries), problems, err)
	}
}

// Batches of one process at once, of different files: each happens as a whole, and the chain holds.
func TestBatchesAtOnceAreWhole(t *testing.T) {
	f := made(t)
	const visits = 24
	for i := range visits {
		if err := f.Create(fmt.Sprintf("visits/2026/b%d/visit.yaml", i), []byte("papers: ")); err != nil {
			t.Fatal(err)
		}
	}
	var group sync.WaitGroup
	for i := range visits {
		group.Go(func() {
			id := "b" + strconv.Itoa(i)
			b := f.Batch(noon)
			b.Create("visits/2026/"+id+"/papers/d.pdf", []byte(id))
			b.Update("visits/2026/"+id+"/visit.yaml", func(old []byte) ([]byte, error) { return append(old, 'd'), nil })
			b.Enter("issued", "d"+strconv.Itoa(i), digest([]byte(id)))
			b.EnterFile("changed", id, "visits/2026/"+id+"/visit.yaml")
			if err := b.Commit(); err != nil {
				t.Error(err)
			}
		})
	}
	group.Wait()
	for i := range visits {
		id := "b" + strconv.Itoa(i)
		if read(t, f, "visits/2026/"+id+"/papers/d.pdf") != id || read(t, f, "visits/2026/"+id+"/visit.yaml") != "papers: d" {
			t.Errorf("%s is not whole", id)
		}
	}
	entries, problems, err := f.Journal()
	if err != nil || len(problems) > 0 || len(entries) != 1+2*visits {
		t.Errorf("%d entries, %v %v", len(entries), problems, err)
	}
	for i := 1; i < len(entries); i += 2 {
		if entries[i].What != "issued" || entries[i+1].What != "changed" {
			t.Errorf("the entries of two batches are mixed at %d", i)
		}
	}
}

func TestUpdateLeavesAFileThatWasChangedMeanwhile(t *testing.T) {
	f := made(t)
	err := f.Update("patients/p1.yaml", noon, func([]byte) ([]byte, error) {
		if err := os.WriteFile(f.Join("patients/p1.yaml"), []byte("id: p1 # by an editor\n"), 0o600); err != nil {
			t.Fatal(err)
		}
		return []byte("id: mine\n"), nil
	})
	if !errors.Is(err, ErrChanged) {
		t.Error(err)
	}
	if got := read(t, f, "patients/p1.yaml"); got != "id: p1 # by an editor\n" {
		t.Error(got)
	}
	nothingStaged(t, f)
}

func nothingStaged(t *testing.T, f *Folder) {
	t.Helper()
	for _, name := range files(t, f) {
		if strings.HasPrefix(filepath.Base(name), ".") {
			t.Errorf("%s is left", name)
		}
	}
}

func TestUpdateGivesBackTheErrorOfTheChange(t *testing.T) {
	f := made(t)
	mine := errors.New("mine")
	if err := f.Update("patients/p1.yaml", noon, func([]byte) ([]byte, error) { return nil, mine }); err != mine {
		t.Error(err)
	}
	if err := f.Update("patients/p2.yaml", noon, func(old []byte) ([]byte, error) { return old, nil }); !errors.Is(err, ErrNoFile) {
		t.Error(err)
	}
	nothingStaged(t, f)
}

func TestCreateReplacesNothing(t *testing.T) {
	f := made(t)
	if err := f.Create("patients/p1.yaml", []byte("other")); !errors.Is(err, ErrExists) {
		t.Error(err)
	}
	if got := read(t, f, "patients/p1.yaml"); got != "id: p1\n" {
		t.Error(got)
	}
}

// leftover is the lease of a writer that was killed so long ago.
func leftover(t *testing.T, path string, age time.Duration) {
	t.Helper()
	if err := os.WriteFile(path, []byte("elsewhere 1 1\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	at := time.Now().Add(-age)
	if err := os.Chtimes(path, at, at); err != nil {
		t.Fatal(err)
	}
}

func TestTheLeaseOfAKilledWriterIsTakenOver(t *testing.T) {
	f := made(t)
	path := leasePath(f.Join("patients/p1.yaml"))
	leftover(t, path, staleAfter+time.Second)
	leftover(t, path+"-break", staleAfter+time.Second)
	var group sync.WaitGroup
	for range 3 {
		group.Go(func() {
			err := f.Update("patients/p1.yaml", noon, func(old []byte) ([]byte, error) { return append(old, "more: 1\n"...), nil })
			if err != nil {
				t.Error(err)
			}
		})
	}
	group.Wait()
	if got := read(t, f, "patients/p1.yaml"); got != "id: p1\n"+strings.Repeat("more: 1\n", 3) {
		t.Error(got)
	}
	nothingStaged(t, f)
}

func TestAFreshLeaseIsWaitedForAndThenRefused(t *testing.T) {
	f := made(t)
	f.patience = 50 * time.Millisecond
	path := leasePath(f.Join("patients/p1.yaml"))
	leftover(t, path, time.Second)
	err := f.Update("patients/p1.yaml", noon, func(old []byte) ([]byte, error) { return append(old, "more: 1\n"...), nil })
	if !errors.Is(err, ErrBusy) {
		t.Error(err)
	}
	if data, err := os.ReadFile(path); err != nil || string(data) != "elsewhere 1 1\n" {
		t.Errorf("the lease is gone: %v", err)
	}
}

func TestAWriterThatLostItsLeaseWritesNothing(t *testing.T) {
	f := made(t)
	path := leasePath(f.Join("patients/p1.yaml"))
	err := f.Update("patients/p1.yaml", noon, func([]byte) ([]byte, error) {
		leftover(t, path, 0) // somebody took over while we slept
		return []byte("id: mine\n"), nil
	})
	if !errors.Is(err, ErrChanged) {
		t.Error(err)
	}
	if got := read(t, f, "patients/p1.yaml"); got != "id: p1\n" {
		t.Error(got)
	}
	if data, err := os.ReadFile(path); err != nil || string(data) != "elsewhere 1 1\n" {
		t.Errorf("the other's lease is gone: %v", err)
	}
}

func TestAFolderThatCannotBeWrittenStaysAsItIs(t *testing.T) {
	f := made(t)
	if err := os.WriteFile(f.Join("visits/2026/v1/papers"), []byte("in the way"), 0o600); err != nil {
		t.Fatal(err)
	}
	before := files(t, f)
	b := f.Batch(noon)
	b.Update("visits/2026/v1/visit.yaml", func(old []byte) ([]byte, error) { return append(old, "papers: []\n"...), nil })
	b.Create("visits/2026/v1/papers/d1.pdf", []byte("%PDF"))
	b.Enter("issued", "d1", "")
	if err := b.Commit(); err == nil {
		t.Error("written where nothing can be")
	}
	if got := read(t, f, "visits/2026/v1/visit.yaml"); got != "id: v1\n" {
		t.Error(got)
	}
	if after := files(t, f); len(after) != len(before) {
		t.Errorf("%v became %v", before, after)
	}
}

func TestAReadOnlyFolderCanBeRead(t *testing.T) {
	if os.Geteuid() == 0 {
		t.Skip("the administrator may write anywhere")
	}
	f := made(t)
	for _, dir := range []string{"patients", "."} {
		if err := os.Chmod(f.Join(dir), 0o500); err != nil {
			t.Fatal(err)
		}
		t.Cleanup(func() { _ = os.Chmod(f.Join(dir), 0o700) })
	}
	again, err := Open(f.Path())
	if err != nil {
		t.Fatal(err)
	}
	if got := read(t, again, "patients/p1.yaml"); got != "id: p1\n" {
		t.Error(got)
	}
	if err := again.Update("patients/p1.yaml", noon, func([]byte) ([]byte, error) { return []byte("x: 1\n"), nil }); !errors.Is(err, os.ErrPermission) {
		t.Error(err)
	}
}

func TestOldTemporaryFilesAreSweptUp(t *testing.T) {
	f := made(t)
	leftover(t, f.Join("patients/.philtrum-1.tmp"), staleAfter+time.Second)
	leftover(t, f.Join("patients/.philtrum-2.tmp"), time.Second)
	leftover(t, f.Join(".philtrum-3.tmp"), staleAfter+time.Second)
	leftover(t, f.Join("patients/.lease-p8.yaml"), staleAfter+time.Second)
	leftover(t, f.Join("patients/.lease-p9.yaml"), time.Second)
	if _, err := Open(f.Path()); err != nil {
		t.Fatal(err)
	}
	if err := f.Create("patients/p2.yaml", nil); err != nil {
		t.Fatal(err)
	}
	for name, there := range map[string]bool{"patients/.philtrum-1.tmp": false, "patients/.philtrum-2.tmp": true, ".philtrum-3.tmp": false,
		"patients/.lease-p8.yaml": false, "patients/.lease-p9.yaml": true} {
		if f.exists(name) != there {
			t.Errorf("%s there: %v", name, !there)
		}
	}
}

func TestWriteFileReplacesAsAWhole(t *testing.T) {
	path := filepath.Join(t.TempDir(), "out", "paper.pdf")
	for _, text := range []string{"one", "two"} {
		if err := WriteFile(path, []byte(text)); err != nil {
			t.Fatal(err)
		}
		if got, err := os.ReadFile(path); err != nil || string(got) != text {
			t.Errorf("%q %v", got, err)
		}
	}
	if entries, err := os.ReadDir(filepath.Dir(path)); err != nil || len(entries) != 1 {
		t.Errorf("%v %v", entries, err)
	}
}
