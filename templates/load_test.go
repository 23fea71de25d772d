package templates_test

import (
	"io/fs"
	"testing"
	"testing/fstest"

	"philtrum/templates"
)

// overlay is the shipped file system with one paper in the place of its own.
func overlay(t testing.TB, paper string) fs.FS {
	t.Helper()
	fsys := fstest.MapFS{"papers/card.yaml": {Data: []byte(paper)}}
	for _, name := range []string{"sheets.yaml", "papers/parts/furniture.yaml"} {
		data, err := fs.ReadFile(templates.Default, name)
		if err != nil {
			t.Fatal(err)
		}
		fsys[name] = &fstest.MapFile{Data: data}
	}
	fsys["papers/parts/round.yaml"] = &fstest.MapFile{Data: []byte("- include: round\n")}
	return fsys
}

const begin = "paper: card\nversion: \"1\"\nlook: patient\nfor: patient\nfurniture: furniture\nblocks:\n"

// Every mistake in a template is reported with its place, and the template is not used.
func TestLoadReports(t *testing.T) {
	for name, c := range map[string]struct {
		blocks string
		id     string
		line   int
	}{
		"unknown kind of block":        {"  - poster: paper.yes\n", "problem.unknown_key", 7},
		"no kind":                      {"  - when: draft\n", "problem.no_kind", 7},
		"two kinds":                    {"  - paragraph: paper.yes\n    title: paper.no\n", "problem.two_kinds", 7},
		"unknown fact":                 {"  - paragraph: paper.yes\n    when: demonstraton\n", "problem.unknown_fact_near", 8},
		"fact of another list":         {"  - paragraph: paper.yes\n    when: is_wait\n", "problem.unknown_fact", 8},
		"broken condition":             {"  - paragraph: paper.yes\n    when: draft and\n", "problem.condition", 8},
		"open bracket":                 {"  - paragraph: paper.yes\n    when: (draft or treated\n", "problem.condition", 8},
		"two facts without a word":     {"  - paragraph: paper.yes\n    when: draft treated\n", "problem.condition", 8},
		"unknown value":                {"  - paragraph: patient_nam\n", "problem.unknown_value_near", 7},
		"value of a list outside it":   {"  - paragraph: decided_by\n", "problem.unknown_value", 7},
		"unknown list":                 {"  - each: row\n    paragraph: paper.yes\n", "problem.unknown_list_near", 7},
		"unknown window":               {"  - dated:\n      - {window: aftercare_makeup, text: paper.yes}\n", "problem.unknown_window_near", 8},
		"neither window nor until":     {"  - dated:\n      - {text: paper.yes}\n", "problem.window_or_until", 8},
		"more cells than columns":      {"  - table:\n      columns: [{share: 1}]\n      rows:\n        - {cells: [paper.yes, paper.no]}\n", "problem.cells", 10},
		"part that includes itself":    {"  - include: round\n", "problem.parts_too_deep", 1},
		"part that is not there":       {"  - include: nowhere\n", "problem.no_template", 0},
		"part outside its folder":      {"  - include: ../sheets\n", "problem.part_name", 7},
		"clause of another form":       {"  - paragraph: paper.yes\n    clauses: [C7]\n", "problem.clause", 8},
		"one day where two are needed": {"  - table:\n      columns: [{share: 1}]\n      rows:\n        - {days: [1], cells: []}\n", "problem.days", 10},
	} {
		tpl, problems := templates.Load(overlay(t, begin+c.blocks), "card")
		found := false
		for _, p := range problems {
			found = found || p.ID == c.id && p.Span.Line == c.line
		}
		if !found || tpl != nil {
			t.Errorf("%s: want %s in line %d, got %v", name, c.id, c.line, problems)
		}
	}
}

// A message that a language lacks, or that asks for a value that is not there, is found before any paper
// is made.
func TestProveReports(t *testing.T) {
	p := printer(t, "en")
	for name, block := range map[string]string{
		"no such message":          "  - paragraph: paper.no_such_thing\n",
		"value of a list outside":  "  - paragraph: paper.by_at\n",
		"value in a message's row": "  - list:\n      - {each: zone_list, text: paper.by_at}\n",
	} {
		tpl, problems := templates.Load(overlay(t, begin+block), "card")
		if len(problems) > 0 {
			t.Fatalf("%s: %v", name, problems)
		}
		if found := tpl.Prove(p); len(found) != 1 || found[0].ID != "problem.message" || found[0].Span.Line == 0 {
			t.Errorf("%s: %v", name, found)
		}
	}
	tpl, _ := templates.Load(overlay(t, begin+"  - list:\n      - {each: decided, text: paper.by_at}\n"), "card")
	if found := tpl.Prove(p); len(found) > 0 {
		t.Errorf("a value of the list around: %v", found)
	}
}

// Whatever is written in a template, loading ends and a template comes without problems or not at all.
func FuzzLoad(f *testing.F) {
	f.Add("  - paragraph: paper.yes\n    when: not (draft and treated) or held\n")
	f.Add("  - table: {columns: [{share: 1}], rows: [{each: rows, cells: [volume]}]}\n")
	f.Fuzz(func(t *testing.T, blocks string) {
		tpl, problems := templates.Load(overlay(t, begin+blocks), "card")
		if (tpl == nil) == (len(problems) == 0) {
			t.Errorf("template %t with %d problems", tpl != nil, len(problems))
		}
	})
}
