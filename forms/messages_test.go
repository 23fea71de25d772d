package forms_test

import (
	"maps"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"testing"

	"philtrum/forms/source"

	"github.com/google/go-cmp/cmp"
	"github.com/rogpeppe/go-internal/txtar"
)

// messages gives the placeholders of every message of a group.
func messages(t *testing.T, group string) map[string][]string {
	t.Helper()
	data, err := os.ReadFile("../locales/en/" + group + ".yaml")
	if err != nil {
		t.Fatal(err)
	}
	n, problems := source.Parse(group+".yaml", data)
	if err := problems.Err(); err != nil {
		t.Fatal(describe(problems))
	}
	all := map[string][]string{}
	for _, k := range n.Keys {
		args := []string{}
		for _, f := range k.Value.Keys {
			if f.Name != "args" {
				continue
			}
			for _, a := range f.Value.Keys {
				args = append(args, a.Name)
			}
		}
		slices.Sort(args)
		all[k.Name] = args
	}
	return all
}

// Every problem of the archives has a message, and its arguments are the placeholders of that message.
func TestProblemsHaveTheirMessages(t *testing.T) {
	known := messages(t, "problem")
	files, _ := filepath.Glob("testdata/problems/*.txtar")
	for _, file := range files {
		a, err := txtar.ParseFile(file)
		if err != nil {
			t.Fatal(err)
		}
		problems, marks := readArchive(t, a)
		for _, p := range slices.Concat(problems, marks) {
			want, ok := known[p.ID]
			if !ok {
				t.Errorf("%s: no message %s", filepath.Base(file), p.ID)
				continue
			}
			got := slices.Sorted(maps.Keys(p.Args))
			if diff := cmp.Diff(want, append([]string{}, got...)); diff != "" {
				t.Errorf("%s: %s: placeholders differ from arguments: %s", filepath.Base(file), p.ID, diff)
			}
		}
	}
}

var idPattern = regexp.MustCompile(`"((problem|check)\.[a-z_]+)"`)

// Every message id that the code of these packages names exists, and every check word has its own.
func TestIdsInTheCodeExist(t *testing.T) {
	known := messages(t, "problem")
	maps.Copy(known, messages(t, "check"))
	var ids []string
	for _, dir := range []string{".", "visit", "clinic", "intake", "place"} {
		files, _ := filepath.Glob(filepath.Join(dir, "*.go"))
		for _, file := range files {
			if matched, _ := filepath.Match("*_test.go", filepath.Base(file)); matched {
				continue
			}
			data, err := os.ReadFile(file)
			if err != nil {
				t.Fatal(err)
			}
			for _, m := range idPattern.FindAllStringSubmatch(string(data), -1) {
				if m[1] != "problem.check_" {
					ids = append(ids, m[1])
				}
			}
		}
	}
	if len(ids) < 50 {
		t.Fatalf("only %d ids found", len(ids))
	}
	for _, word := range []string{"required", "least", "most", "whole", "decimals", "longest", "single_line", "email", "fewest", "most_of", "past", "future"} {
		ids = append(ids, "problem.check_"+word)
	}
	for _, id := range ids {
		if _, ok := known[id]; !ok {
			t.Errorf("no message %s", id)
		}
	}
}
