package folder

import (
	"bufio"
	"fmt"
	"io/fs"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"
)

// writerFolder tells the test binary to be the writer that is killed.
const writerFolder = "PHILTRUM_TEST_WRITER"

func TestMain(m *testing.M) {
	if path := os.Getenv(writerFolder); path != "" {
		writeUntilKilled(path)
	}
	os.Exit(m.Run())
}

// writeUntilKilled issues one paper after another and says so.
func writeUntilKilled(path string) {
	f, err := Open(path)
	for i := 0; err == nil; i++ {
		paper := fmt.Sprintf("d%d-%d", os.Getpid(), i)
		b := f.Batch(noon)
		b.Create("visits/2026/v1/papers/"+paper+".pdf", []byte("%PDF "+paper))
		b.Update(visitFile, func(old []byte) ([]byte, error) { return append(old, "# "+paper+"\n"...), nil })
		b.Enter("issued", paper, "")
		err = b.Commit()
		fmt.Println(paper)
	}
	fmt.Fprintln(os.Stderr, err)
	os.Exit(1)
}

// However a writer is killed, the next command finds every paper in the folder, in the visit and in the
// journal, or in none of them.
func TestAKilledWriterLeavesNoHalfBatch(t *testing.T) {
	if testing.Short() {
		t.Skip("starts and kills processes")
	}
	f := made(t)
	for i := range 8 {
		w := exec.Command(os.Args[0])
		w.Env = append(os.Environ(), writerFolder+"="+f.Path())
		out, err := w.StdoutPipe()
		if err != nil {
			t.Fatal(err)
		}
		if err := w.Start(); err != nil {
			t.Fatal(err)
		}
		for lines := bufio.NewScanner(out); lines.Scan(); { // it has begun
			break
		}
		time.Sleep(time.Duration(i) * 3 * time.Millisecond)
		if err := w.Process.Kill(); err != nil {
			t.Fatal(err)
		}
		_ = w.Wait()
		grow(t, f)
		again, err := Open(f.Path())
		if err != nil {
			t.Fatal(err)
		}
		whole(t, again)
	}
}

// grow makes everything that a command leaves behind as old as a stale lease.
func grow(t *testing.T, f *Folder) {
	t.Helper()
	at := time.Now().Add(-2 * staleAfter)
	for _, name := range files(t, f) {
		if strings.HasPrefix(filepath.Base(name), ".") {
			if err := os.Chtimes(f.Join(name), at, at); err != nil {
				t.Fatal(err)
			}
		}
	}
}

// whole checks that papers, visit and journal agree.
func whole(t *testing.T, f *Folder) {
	t.Helper()
	var there []string
	entries, err := fs.ReadDir(os.DirFS(f.Path()), "visits/2026/v1/papers")
	if err != nil {
		t.Fatal(err)
	}
	for _, e := range entries {
		if paper, ok := strings.CutSuffix(e.Name(), ".pdf"); ok && !strings.HasPrefix(paper, ".") {
			there = append(there, paper)
		}
	}
	visit := read(t, f, visitFile)
	said, problems, err := f.Journal()
	if err != nil || len(problems) > 0 {
		t.Fatal(problems, err)
	}
	journal := map[string]int{}
	for _, e := range said {
		journal[e.Subject]++
	}
	for _, paper := range there {
		if strings.Count(visit, "# "+paper+"\n") != 1 || journal[paper] != 1 {
			t.Errorf("%s: %d times in the visit, %d in the journal", paper, strings.Count(visit, "# "+paper+"\n"), journal[paper])
		}
	}
	if n := strings.Count(visit, "# "); n != len(there) || len(said) != 1+len(there) || n == 0 {
		t.Errorf("%d papers, %d in the visit, %d entries", len(there), n, len(said))
	}
}
