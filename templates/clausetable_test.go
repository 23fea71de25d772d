package templates_test

import (
	"fmt"
	"io/fs"
	"strings"
	"testing"
	"testing/fstest"

	"philtrum/templates"
)

func clauseTable(t testing.TB) *templates.ClauseTable {
	t.Helper()
	table, problems := templates.LoadClauses(templates.Default)
	for _, p := range problems {
		t.Fatalf("%v %s %v", p.Span, p.ID, p.Args)
	}
	return table
}

// Every clause of every paper is served, or left out with a reason, and no block names a clause that nobody knows.
func TestNoClauseIsOpen(t *testing.T) {
	table := clauseTable(t)
	for _, name := range shippedPapers(t) {
		tpl := load(t, name)
		for _, c := range table.Of(tpl) {
			if c.Open() {
				t.Errorf("%s: %s is neither served nor left out", name, c.ID)
			}
			if len(c.Sources) == 0 {
				t.Errorf("%s rests on nothing", c.ID)
			}
		}
		for _, id := range table.Unknown(tpl) {
			t.Errorf("%s names %s, which the table does not have", name, id)
		}
	}
}

// The whole of C is looked at for a consent, the whole of T for a record, the whole of A for an aftercare sheet; E,
// which nobody has read, is looked at for the consent.
func TestPapersLookAtAllTheirClauses(t *testing.T) {
	table := clauseTable(t)
	for _, c := range []struct {
		paper, letter string
		last          int
	}{{"consent", "C", 40}, {"consent", "E", 29}, {"consent", "L", 13}, {"information", "C", 40}, {"record", "T", 22}, {"record", "R", 17}, {"aftercare", "A", 13}} {
		seen := map[string]bool{}
		for _, x := range table.Of(load(t, c.paper)) {
			seen[x.ID] = true
		}
		for n := 1; n <= c.last; n++ {
			if id := fmt.Sprintf("%s-%02d", c.letter, n); !seen[id] {
				t.Errorf("%s does not look at %s", c.paper, id)
			}
		}
	}
}

// An edit that loses a clause shows: taking any clause of the consent from its files leaves it open.
func TestLostClauseIsFound(t *testing.T) {
	files := fstest.MapFS{}
	for _, name := range []string{"sheets.yaml", "clauses.yaml"} {
		files[name] = &fstest.MapFile{Data: shipped(t, name)}
	}
	for _, dir := range []string{"papers", "papers/parts"} {
		entries, err := fs.ReadDir(templates.Default, dir)
		if err != nil {
			t.Fatal(err)
		}
		for _, e := range entries {
			if !e.IsDir() {
				files[dir+"/"+e.Name()] = &fstest.MapFile{Data: shipped(t, dir+"/"+e.Name())}
			}
		}
	}
	for _, lost := range []string{"C-03", "C-22", "C-35", "E-22"} {
		edited := fstest.MapFS{}
		for name, f := range files {
			text := string(f.Data)
			if strings.HasPrefix(name, "papers") {
				text = strings.NewReplacer(lost+", ", "", ", "+lost, "", "["+lost+"]", "[C-40]").Replace(text)
			}
			edited[name] = &fstest.MapFile{Data: []byte(text)}
		}
		table, problems := templates.LoadClauses(edited)
		tpl, more := templates.Load(edited, "consent")
		if len(problems)+len(more) > 0 {
			t.Fatal(problems, more)
		}
		open := ""
		for _, c := range table.Of(tpl) {
			if c.Open() {
				open += c.ID
			}
		}
		if open != lost {
			t.Errorf("without %s, open are %q", lost, open)
		}
	}
}

// Every clause, source and reason has its words in every language.
func TestClausesHaveWords(t *testing.T) {
	for _, tag := range []string{"en", "es"} {
		p := printer(t, tag)
		for _, id := range clauseTable(t).Messages() {
			if !p.Has(id) {
				t.Errorf("%s: no message %s", tag, id)
			}
		}
	}
}

func TestClauseTableIsReadStrictly(t *testing.T) {
	for text, want := range map[string]string{
		"sources: {a: {standing: law, trust: hearsay}}\nclauses: {C-01: [a]}\npapers: {}":                               "problem.one_of",
		"sources: {a: {standing: law, trust: read}}\nclauses: {C-1: [a]}\npapers: {}":                                   "problem.clause",
		"sources: {a: {standing: law, trust: read}}\nclauses: {C-01: [b]}\npapers: {}":                                  "problem.clause_source",
		"sources: {a: {standing: law, trust: read}}\nclauses: {C-01: [a]}\npapers: {consent: {serves: [C-02]}}":         "problem.clause_unknown",
		"sources: {a: {standing: law, trust: read}}\nclauses: {C-01: [a]}\npapers: {consent: {serves: [C-01 to C-03]}}": "problem.clause_unknown",
	} {
		_, problems := templates.LoadClauses(fstest.MapFS{"clauses.yaml": {Data: []byte(text)}})
		if len(problems) == 0 {
			t.Errorf("read without a word: %s", text)
			continue
		}
		if problems[0].ID != want && want != "problem.one_of" {
			t.Errorf("%s: %s", text, problems[0].ID)
		}
	}
	if _, problems := templates.LoadClauses(fstest.MapFS{}); len(problems) == 0 {
		t.Error("a table that is not there was read")
	}
}

// A risk of the consent has its source and how that was seen beside it.
func TestRisksHaveTrustMarks(t *testing.T) {
	for n, line := range strings.Split(string(shipped(t, "papers/parts/explain.yaml")), "\n") {
		if strings.Contains(line, "source:") && !strings.Contains(line, "trust:") {
			t.Errorf("line %d has a source without a trust mark", n+1)
		}
	}
}

func shipped(t testing.TB, name string) []byte {
	t.Helper()
	data, err := fs.ReadFile(templates.Default, name)
	if err != nil {
		t.Fatal(err)
	}
	return data
}

// shippedPapers are all kinds that have a template.
func shippedPapers(t testing.TB) []string {
	t.Helper()
	entries, err := fs.ReadDir(templates.Default, "papers")
	if err != nil {
		t.Fatal(err)
	}
	var names []string
	for _, e := range entries {
		if !e.IsDir() {
			names = append(names, strings.TrimSuffix(e.Name(), ".yaml"))
		}
	}
	return names
}
