package forms_test

import (
	"flag"
	"fmt"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"testing/fstest"
	"time"

	"philtrum/forms"
	"philtrum/forms/clinic"
	"philtrum/forms/intake"
	"philtrum/forms/place"
	"philtrum/forms/source"
	"philtrum/forms/visit"

	"github.com/google/go-cmp/cmp"
	"github.com/rogpeppe/go-internal/txtar"
)

var update = flag.Bool("update", false, "write golden files anew")

// Every archive says in a sentence what it shows, then holds the files and the problems expected of them:
// line and column, id, arguments. The treatment's marks, which block nothing, stand apart.
func TestProblemsOfFiles(t *testing.T) {
	files, err := filepath.Glob("testdata/problems/*.txtar")
	if err != nil || len(files) == 0 {
		t.Fatal("no archives in testdata/problems", err)
	}
	for _, file := range files {
		t.Run(strings.TrimSuffix(filepath.Base(file), ".txtar"), func(t *testing.T) {
			a, err := txtar.ParseFile(file)
			if err != nil {
				t.Fatal(err)
			}
			if len(strings.TrimSpace(string(a.Comment))) == 0 {
				t.Error("the archive does not say what it shows")
			}
			found, marks := readArchive(t, a)
			compare(t, file, a, "problems", describe(found))
			compare(t, file, a, "marks", describe(marks))
		})
	}
}

// readArchive reads the files of an archive and gives what blocks and what only marks.
func readArchive(t *testing.T, a *txtar.Archive) (problems, marks source.Problems) {
	t.Helper()
	r := &source.Reader{}
	nodes := map[string]*source.Node{}
	for _, f := range a.Files {
		switch {
		case f.Name == "problems", f.Name == "marks":
		case strings.HasPrefix(f.Name, "form/"):
			name := strings.TrimPrefix(f.Name, "form/")
			_, found := forms.Load(fstest.MapFS{name: {Data: f.Data}}, strings.TrimSuffix(name, ".yaml"))
			problems = append(problems, found...)
		case strings.HasPrefix(f.Name, "place/"):
			_, found := place.Load(fstest.MapFS{strings.TrimPrefix(f.Name, "place/"): {Data: f.Data}})
			problems = append(problems, found...)
		case f.Name == "patient.yaml", f.Name == "visit.yaml", f.Name == "clinic.yaml", f.Name == "staff.yaml",
			f.Name == "products.yaml":
			n, found := source.Parse(f.Name, f.Data)
			nodes[f.Name] = n
			problems = append(problems, found...)
		default:
			t.Errorf("the archive holds %s, which nothing reads", f.Name)
		}
	}
	if n := nodes["patient.yaml"]; n != nil {
		visit.ReadPatient(n, r)
	}
	if n := nodes["visit.yaml"]; n != nil {
		v := visit.Read(n, r, london(t))
		intake.Read(sample(t), v, r)
		if v.Treatment != nil {
			marks = v.Treatment.Marks
		}
	}
	if n := nodes["clinic.yaml"]; n != nil {
		clinic.Read(n, nodes["staff.yaml"], nodes["products.yaml"], r)
	}
	problems = append(problems, r.Problems()...)
	problems.Sort()
	return problems, marks
}

func london(t testing.TB) *time.Location {
	t.Helper()
	zone, err := time.LoadLocation("Europe/London")
	if err != nil {
		t.Fatal(err)
	}
	return zone
}

func sample(t testing.TB) *forms.Form {
	t.Helper()
	form, problems := forms.Load(os.DirFS("testdata"), "sample")
	if err := problems.Err(); err != nil {
		t.Fatal(err)
	}
	return form
}

func describe(problems source.Problems) string {
	var out strings.Builder
	for _, p := range problems {
		fmt.Fprintf(&out, "%s %s", p.Span, strings.TrimPrefix(p.ID, "problem."))
		for _, key := range slices.Sorted(maps.Keys(p.Args)) {
			if key == "allowed" {
				continue // long, and no part of the behaviour shown here
			}
			fmt.Fprintf(&out, " %s=%v", key, p.Args[key])
		}
		out.WriteByte('\n')
	}
	return out.String()
}

func compare(t *testing.T, file string, a *txtar.Archive, name, got string) {
	t.Helper()
	at := slices.IndexFunc(a.Files, func(f txtar.File) bool { return f.Name == name })
	want := ""
	if at >= 0 {
		want = string(a.Files[at].Data)
	}
	if got == want {
		return
	}
	if !*update {
		t.Errorf("%s (run with -update to write it anew):\n%s", name, cmp.Diff(want, got))
		return
	}
	if at < 0 {
		a.Files = append(a.Files, txtar.File{Name: name})
		at = len(a.Files) - 1
	}
	a.Files[at].Data = []byte(got)
	if err := os.WriteFile(file, txtar.Format(a), 0o644); err != nil {
		t.Fatal(err)
	}
}
