package folder

import (
	"bytes"
	"errors"
	"io/fs"
	"math/rand/v2"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"testing"
	"time"

	"philtrum/forms/source"

	"github.com/google/go-cmp/cmp"
)

var noon = time.Date(2026, 12, 4, 12, 0, 0, 0, time.UTC)

// made makes a clinic folder with one patient and one visit.
func made(t testing.TB) *Folder {
	t.Helper()
	f, err := Make(filepath.Join(t.TempDir(), "clinic"))
	if err != nil {
		t.Fatal(err)
	}
	b := f.Batch(noon)
	b.Create(clinicFile, []byte("name: Example\n"))
	b.Create("patients/p1.yaml", []byte("id: p1\n"))
	b.Create("visits/2026/v1/visit.yaml", []byte("id: v1\n"))
	b.EnterFile("opened", "v1", "visits/2026/v1/visit.yaml")
	if err := b.Commit(); err != nil {
		t.Fatal(err)
	}
	return f
}

func read(t testing.TB, f *Folder, name string) string {
	t.Helper()
	data, err := f.Read(name)
	if err != nil {
		t.Fatal(err)
	}
	return string(data)
}

// files lists every file below the folder, hidden ones too.
func files(t testing.TB, f *Folder) []string {
	t.Helper()
	var out []string
	err := fs.WalkDir(os.DirFS(f.Path()), ".", func(name string, e fs.DirEntry, err error) error {
		if err == nil && !e.IsDir() {
			out = append(out, name)
		}
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	return out
}

func TestFolderIsFoundFromBelow(t *testing.T) {
	f := made(t)
	for _, dir := range []string{".", "visits/2026/v1", "patients"} {
		got, err := Find(f.Join(dir))
		if err != nil || got.Path() != f.Path() {
			t.Errorf("from %s: %v", dir, err)
		}
	}
	if _, err := Find(t.TempDir()); !errors.Is(err, ErrNoClinic) {
		t.Errorf("outside: %v", err)
	}
	if _, err := Open(f.Join("patients")); !errors.Is(err, ErrNoClinic) {
		t.Errorf("a folder inside is no clinic: %v", err)
	}
	if _, err := Make(f.Path()); !errors.Is(err, ErrExists) {
		t.Errorf("made twice: %v", err)
	}
}

func TestFilesAreForTheirOwner(t *testing.T) {
	if runtime.GOOS == "windows" {
		t.Skip("no such modes there")
	}
	f := made(t)
	err := filepath.WalkDir(f.Path(), func(path string, e fs.DirEntry, walked error) error {
		if walked != nil {
			return walked
		}
		info, err := e.Info()
		if want := map[bool]fs.FileMode{true: 0o700, false: 0o600}[e.IsDir()]; err == nil && info.Mode().Perm() != want {
			t.Errorf("%s is %v", path, info.Mode())
		}
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
}

func TestNothingIsLeftBesideTheFiles(t *testing.T) {
	f := made(t)
	want := []string{clinicFile, journalFile, "patients/p1.yaml", "visits/2026/v1/visit.yaml"}
	if diff := cmp.Diff(want, files(t, f)); diff != "" {
		t.Error(diff)
	}
}

func TestNamesOutsideAreRefused(t *testing.T) {
	f := made(t)
	for _, name := range []string{"../x", "/etc/x", "patients/../../x", "", ".", "a//b", ".lease-x", "patients/.philtrum-1.tmp", "..", intentFile} {
		if _, err := f.Read(name); !errors.Is(err, ErrName) {
			t.Errorf("read %q: %v", name, err)
		}
		if err := f.Create(name, nil); !errors.Is(err, ErrName) {
			t.Errorf("create %q: %v", name, err)
		}
		if f.Has(name) {
			t.Errorf("has %q", name)
		}
	}
	for _, id := range []string{"", "../v1", "a/b", `a\b`, "A", "a.b", "a b", "-a", "ä", strings.Repeat("a", 129), "a\n", "..", "con:"} {
		_, patient := f.PatientFile(id)
		_, visit := f.NewVisitFile(id, 2026)
		_, there := f.VisitFile(id)
		_, paper := f.PaperFile("v1", id)
		for _, err := range []error{patient, visit, there, paper} {
			if !errors.Is(err, ErrName) {
				t.Errorf("%q: %v", id, err)
			}
			if err != nil && len(id) > 3 && strings.Contains(err.Error(), id) {
				t.Errorf("the error repeats the name: %v", err)
			}
		}
	}
}

func TestNamesAndLists(t *testing.T) {
	f := made(t)
	for _, name := range []string{"patients/.lease-p9.yaml", "patients/note.txt", "patients/B.yaml", "visits/2026/v0/other.yaml", "visits/old/v7/visit.yaml"} {
		if err := WriteFile(f.Join(name), nil); err != nil {
			t.Fatal(err)
		}
	}
	for _, name := range []string{"patients/a2.yaml", "visits/2025/z1/visit.yaml"} {
		if err := f.Create(name, []byte("x: 1\n")); err != nil {
			t.Fatal(err)
		}
	}
	patients, err := f.Patients()
	if diff := cmp.Diff([]string{"a2", "p1"}, patients); diff != "" || err != nil {
		t.Error(diff, err)
	}
	visits, err := f.Visits()
	if diff := cmp.Diff([]string{"z1", "v1"}, visits); diff != "" || err != nil {
		t.Error(diff, err)
	}
	if name, err := f.PaperFile("z1", "0a1b"); err != nil || name != "visits/2025/z1/papers/0a1b.pdf" {
		t.Errorf("%s %v", name, err)
	}
	if f.HasVisit("v0") || !f.HasVisit("z1") {
		t.Error("visits are not those that have a file")
	}
	if _, err := f.VisitFile("v9"); !errors.Is(err, ErrNoFile) {
		t.Error(err)
	}
}

func TestNewIDs(t *testing.T) {
	source := rand.NewChaCha8([32]byte{7})
	seen := map[string]bool{}
	for range 1000 {
		id, err := NewID(source)
		if err != nil || len(id) != 16 || checkID(id) != nil || strings.ContainsAny(id, "ilou") || seen[id] {
			t.Fatalf("%q %v", id, err)
		}
		seen[id] = true
	}
	if id, _ := NewID(bytes.NewReader(make([]byte, 10))); id != "0000000000000000" {
		t.Error(id)
	}
	if _, err := NewID(strings.NewReader("short")); err == nil {
		t.Error("an id without enough randomness")
	}
}

func TestRefusalsHaveWords(t *testing.T) {
	f := made(t)
	_, err := f.Read("visits/2026/v1/other.yaml")
	var refusal *Refusal
	if !errors.As(err, &refusal) || refusal.Problem.ID != "problem.no_such_file" {
		t.Errorf("%v", err)
	}
	if err.Error() != "visits/2026/v1/other.yaml: no such file" {
		t.Error(err)
	}
	if diff := cmp.Diff(source.Problems(nil), f.Notices()); diff != "" {
		t.Error(diff)
	}
}
