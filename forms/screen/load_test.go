package screen_test

import (
	"bytes"
	"io/fs"
	"os"
	"strings"
	"sync"
	"testing"
	"testing/fstest"

	"philtrum/forms"
	"philtrum/forms/medicine"
	"philtrum/forms/screen"
	"philtrum/forms/source"
)

type loaded struct {
	rules    *screen.Rules
	problems source.Problems
}

var once = sync.OnceValue(func() loaded {
	lex, problems := medicine.Load(medicine.Default)
	rules, more := screen.Load(screen.Default, theForm(), lex)
	return loaded{rules, append(problems, more...)}
})

func load(t testing.TB) *screen.Rules {
	t.Helper()
	l := once()
	for _, p := range l.problems {
		t.Error(p.ID, p.Args, p.Span)
	}
	if t.Failed() {
		t.FailNow()
	}
	return l.rules
}

// The stored rules are those of the files: after a change, run go generate.
func TestStoredRulesAreFresh(t *testing.T) {
	lex, _ := medicine.Load(medicine.Default)
	want, err := screen.Compile(screen.Default, theForm(), lex)
	if err != nil {
		t.Fatal(err)
	}
	have, err := os.ReadFile("compiled.json")
	if err != nil {
		t.Fatal(err)
	}
	if !bytes.Equal(have, want) {
		t.Error("compiled.json is stale")
	}
}

// overlay is the shipped rules with one file changed or added.
func overlay(t testing.TB, file, text string) fstest.MapFS {
	t.Helper()
	out := fstest.MapFS{}
	err := fs.WalkDir(screen.Default, ".", func(path string, d fs.DirEntry, err error) error {
		if err == nil && !d.IsDir() {
			data, _ := fs.ReadFile(screen.Default, path)
			out[path] = &fstest.MapFile{Data: data}
		}
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	out[file] = &fstest.MapFile{Data: []byte(text)}
	return out
}

// Rules read live judge as the stored ones do.
func TestAnOverlayIsReadLive(t *testing.T) {
	lex, _ := medicine.Load(medicine.Default)
	extra := "version: \"2\"\nrules:\n  - id: own.rule\n    source: practice\n    trust: practice\n    outcomes:\n      - {id: x, level: decide, when: lip_biting}\n"
	rules, problems := screen.Load(overlay(t, "rules/9_own.yaml", extra), theForm(), lex)
	if len(problems) > 0 {
		t.Fatal(problems)
	}
	f := healthy(t)
	f.set("lip_biting", source.Text("yes"))
	report := rules.Evaluate(f.ready(t))
	if find(report, "own.rule", "x", false) == nil || find(report, "lips.biting", "known", false) == nil {
		t.Error("a rule is silent")
	}
	if rules.Version != "2" {
		t.Errorf("version %s", rules.Version)
	}
}

func TestFaultsOfRulesAreProblemsWithAPlace(t *testing.T) {
	lex, _ := medicine.Load(medicine.Default)
	rule := func(outcomes string) string {
		return "version: \"1\"\nrules:\n  - id: a.b\n    source: practice\n    trust: practice\n    outcomes:\n" + outcomes
	}
	o := func(s string) string { return rule("      - {id: x, " + s + "}\n") }
	for name, c := range map[string]struct{ text, want string }{
		"missing question":   {o("level: decide, when: smoknig"), "problem.rule_condition"},
		"unlike kinds":       {o("level: decide, when: 'smoking == \"yes\"'"), "problem.rule_condition"},
		"no truth":           {o("level: decide, when: age"), "problem.rule_not_yes_no"},
		"has":                {o("level: decide, when: 'has(smoking.x)'"), "problem.rule_condition"},
		"a map":              {o("level: decide, when: '{\"a\": smoking}[\"a\"]'"), "problem.rule_no_maps"},
		"no option":          {o("level: decide, when: 'pregnant == \"perhaps\"'"), "problem.rule_option"},
		"no option in list":  {o("level: decide, when: '\"hart\" in conditions'"), "problem.rule_option"},
		"unknown window":     {o("level: decide, when: vaccine, since: {date: vaccine_date, window: vacine}"), "problem.rule_window"},
		"no date":            {o("level: decide, when: vaccine, since: {date: vaccine, window: vaccine_past}"), "problem.rule_date"},
		"date on wrong side": {o("level: decide, when: vaccine, ahead: {date: vaccine_date, window: vaccine_past}"), "problem.rule_date_side"},
		"wait without end":   {o("level: wait, kind: medical, when: smoking"), "problem.rule_wait"},
		"wait without kind":  {o("level: wait, condition: yes, when: smoking"), "problem.rule_wait"},
		"decide with kind":   {o("level: decide, kind: law, when: smoking"), "problem.rule_no_wait"},
		"unknown level":      {o("level: maybe, when: smoking"), "problem."},
		"order": {rule("      - {id: x, level: inform, when: smoking}\n      - {id: y, level: stop, when: smoking}\n"),
			"problem.rule_order"},
		"no source": {"version: \"1\"\nrules:\n  - id: a.b\n    trust: read\n    outcomes:\n      - {id: x, level: decide, when: smoking}\n",
			"problem."},
		"unknown source": {strings.Replace(o("level: decide, when: smoking"), "source: practice", "source: hearsay", 1), "problem.rule_source"},
		"no trust":       {strings.Replace(o("level: decide, when: smoking"), "    trust: practice\n", "", 1), "problem."},
		"not asked":      {strings.Replace(o("level: decide, when: smoking"), "    outcomes", "    visits: [dissolving]\n    outcomes", 1), "problem.rule_not_asked"},
		"emergency":      {strings.Replace(o("level: decide, when: severe_allergy"), "    outcomes", "    visits: [call]\n    outcomes", 1), "problem.rule_emergency"},
		"for each":       {strings.Replace(o("level: decide, when: smoking"), "    outcomes", "    for_each: smoking\n    outcomes", 1), "problem.rule_for_each"},
		"considers":      {strings.Replace(o("level: decide, when: smoking"), "    outcomes", "    considers: [smokes]\n    outcomes", 1), "problem.rule_considers"},
		"doubled id":     {strings.Replace(o("level: decide, when: smoking"), "a.b", "smoking", 1), "problem.id_twice"},
	} {
		_, problems := screen.Load(overlay(t, "rules/9_own.yaml", c.text), theForm(), lex)
		if len(problems) == 0 {
			t.Errorf("%s: no problem", name)
			continue
		}
		for _, p := range problems {
			if !strings.HasPrefix(p.ID, c.want) || p.Span.File != "rules/9_own.yaml" || p.Span.Line < 1 {
				t.Errorf("%s: %s %v at %v, want %s", name, p.ID, p.Args, p.Span, c.want)
			}
		}
	}
}

// Every message that a finding may need is there, and nothing says that anybody is clear or safe.
func TestEveryFindingHasItsWords(t *testing.T) {
	words := map[string]string{}
	for _, file := range []string{"rule", "question", "medicine", "section"} {
		data, err := os.ReadFile("../../locales/en/" + file + ".yaml")
		if err != nil {
			t.Fatal(err)
		}
		root, problems := source.Parse(file, data)
		if len(problems) > 0 {
			t.Fatal(problems)
		}
		for _, k := range root.Keys {
			words[k.Name] = k.Value.Text
			if long := entry(k.Value, "text"); long != nil {
				words[k.Name] = long.Text
			}
		}
	}
	used := map[string]bool{"rule.unknown": true, "rule.unknown.do": true, "rule.defect": true, "rule.defect.do": true, "rule.standing": true}
	need := func(id string) {
		used[id] = true
		if words[id] == "" {
			t.Errorf("no words for %s", id)
		}
	}
	for _, r := range load(t).All() {
		need("rule." + r.ID)
		used["rule."+r.ID+".why"] = true
		if r.Conflict != "" {
			need("rule.conflict." + r.Conflict)
		}
		for _, o := range r.Outcomes {
			need("rule." + r.ID + "." + o.ID)
			need("rule." + r.ID + "." + o.ID + ".do")
			if o.Level == screen.Stop || o.Level == screen.Wait {
				need("rule." + r.ID + "." + o.ID + ".tell")
			}
			for _, k := range o.Adds.Consent {
				need("rule.risk." + k)
			}
			for _, k := range o.Adds.Aftercare {
				need("rule.care." + k)
			}
		}
	}
	for _, s := range theForm().Sections {
		need("section." + s.ID)
	}
	for _, q := range theForm().Questions() {
		for _, f := range append([]*forms.Question{q}, q.Fields...) {
			need("question." + f.ID)
			need("question." + f.ID + ".why")
			for _, o := range f.Options {
				need("question." + f.ID + ".option." + o)
			}
		}
	}
	lex, _ := medicine.Load(medicine.Default)
	for _, c := range lex.Classes() {
		need("medicine.class." + c)
	}
	for id, text := range words {
		if strings.HasPrefix(id, "rule.") && !used[id] {
			t.Errorf("%s is used by nothing", id)
		}
		for _, never := range []string{" safe", "clear to", "may go ahead", "cleared"} {
			if strings.Contains(strings.ToLower(text), never) {
				t.Errorf("%s says %q", id, never)
			}
		}
	}
}

func BenchmarkLoad(b *testing.B) {
	form, _ := forms.Load(forms.Default, "lips")
	lex, _ := medicine.Load(medicine.Default)
	for b.Loop() {
		screen.Load(screen.Default, form, lex)
	}
}
