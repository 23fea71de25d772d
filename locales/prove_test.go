package locales

import (
	"flag"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/rogpeppe/go-internal/txtar"

	"philtrum/forms/source"
)

var update = flag.Bool("update", false, "write the goldens anew")

const english = "en:\n  name: English\n  direction: ltr\n  digits: latn\n  formula: flesch-kincaid\n" +
	"  regions: {en-GB: long, en-US: long}\n"

const polish = "pl:\n  name: polski\n  direction: ltr\n  digits: latn\n  formula: fog-pl\n  regions: {pl-PL: long}\n"

// archive is the files of an archive; one without a list of languages has English and Polish.
func archive(a *txtar.Archive) fstest.MapFS {
	fsys := fstest.MapFS{LanguagesFile: {Data: []byte(english + polish)}}
	for _, f := range a.Files {
		fsys[f.Name] = &fstest.MapFile{Data: f.Data}
	}
	delete(fsys, "problems")
	if len(fsys[LanguagesFile].Data) == 0 {
		delete(fsys, LanguagesFile)
	}
	return fsys
}

// lines writes problems one a line, arguments sorted (fmt sorts maps).
func lines(problems source.Problems) string {
	var b strings.Builder
	for _, p := range problems {
		fmt.Fprintf(&b, "%s %s %v\n", p.Span, p.ID, p.Args)
	}
	return b.String()
}

func TestProve(t *testing.T) {
	files, err := filepath.Glob("testdata/prove/*.txtar")
	if err != nil || len(files) == 0 {
		t.Fatal("no cases", err)
	}
	for _, file := range files {
		t.Run(strings.TrimSuffix(filepath.Base(file), ".txtar"), func(t *testing.T) {
			a, err := txtar.ParseFile(file)
			if err != nil {
				t.Fatal(err)
			}
			got := lines(Prove(archive(a)))
			golden(t, file, a, got)
		})
	}
}

func golden(t *testing.T, file string, a *txtar.Archive, got string) {
	t.Helper()
	last := len(a.Files) - 1
	if last < 0 || a.Files[last].Name != "problems" {
		a.Files = append(a.Files, txtar.File{Name: "problems"})
		last++
	}
	if *update {
		a.Files[last].Data = []byte(got)
		if err := os.WriteFile(file, txtar.Format(a), 0o644); err != nil {
			t.Fatal(err)
		}
		return
	}
	if want := string(a.Files[last].Data); got != want {
		t.Errorf("got\n%swant\n%s", got, want)
	}
}

func TestDefaultIsProved(t *testing.T) {
	if got := lines(Prove(Default)); got != "" {
		t.Error(got)
	}
}

// Every problem that this package reports has a case above.
func TestEveryProblemHasACase(t *testing.T) {
	var cases strings.Builder
	files, _ := filepath.Glob("testdata/prove/*.txtar")
	for _, file := range files {
		data, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		cases.Write(data)
	}
	sources, _ := fs.Glob(os.DirFS("."), "*.go")
	for _, name := range sources {
		if strings.HasSuffix(name, "_test.go") {
			continue
		}
		code, err := os.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		for _, part := range strings.Split(string(code), `"problem.`)[1:] {
			id, _, _ := strings.Cut(part, `"`)
			if !strings.Contains(cases.String(), " problem."+id+" ") {
				t.Errorf("%s reports problem.%s, which no case shows", name, id)
			}
		}
	}
}
