package screen_test

import (
	"fmt"
	"io/fs"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
	"testing/fstest"

	"philtrum/forms/clinic"
	"philtrum/forms/medicine"
	"philtrum/forms/screen"
	"philtrum/forms/source"
)

// A mutant is a rule with one fault put in on purpose. The rows of its outcome must notice it: a mutant that
// passes them is a condition, a threshold or a window that nothing tests.

// mutant is a condition with a fault, of one outcome of one rule.
type mutant struct{ rule, outcome, what, when string }

// mutants are the faults that a condition is given: negated as a whole and in each part, each "and" an "or"
// and the other way round, each comparison with its limit in or out, each number one more and one less.
func mutants(rule, outcome, when string) []mutant {
	var all []mutant
	add := func(what, text string) {
		if text != when {
			all = append(all, mutant{rule, outcome, what, text})
		}
	}
	add("negated", "!("+when+")")
	for _, part := range parts(when) {
		add("negated at "+strconv.Itoa(part[0]), when[:part[0]]+"!("+when[part[0]:part[1]]+")"+when[part[1]:])
	}
	for _, at := range connective.FindAllStringIndex(when, -1) {
		other := map[string]string{"&&": "||", "||": "&&"}[when[at[0]:at[1]]]
		add(fmt.Sprintf("%s at %d", other, at[0]), when[:at[0]]+other+when[at[1]:])
	}
	for _, at := range comparison.FindAllStringSubmatchIndex(when, -1) {
		sign := when[at[2]:at[3]]
		other := map[string]string{"<": "<=", "<=": "<", ">": ">=", ">=": ">"}[sign]
		add(fmt.Sprintf("%s at %d", other, at[2]), when[:at[2]]+other+when[at[3]:])
	}
	for _, at := range number.FindAllStringSubmatchIndex(when, -1) {
		n, _ := strconv.Atoi(when[at[2]:at[3]])
		for _, shifted := range []int{n - 1, n + 1} {
			add(fmt.Sprintf("%d for %d at %d", shifted, n, at[2]), when[:at[2]]+strconv.Itoa(shifted)+when[at[3]:])
		}
	}
	return all
}

var (
	comparison = regexp.MustCompile(` ([<>]=?) `)
	number     = regexp.MustCompile(`[<>]=? ([0-9]+)`)
	connective = regexp.MustCompile(`&&|\|\|`)
)

// parts are the spans between the connectives of a condition, without brackets that open or close elsewhere.
func parts(when string) [][2]int {
	var spans [][2]int
	from := 0
	for _, at := range append(connective.FindAllStringIndex(when, -1), []int{len(when), len(when)}) {
		lo, hi := from, at[0]
		from = at[1]
		for lo < hi && strings.ContainsRune(" \n", rune(when[lo])) {
			lo++
		}
		for lo < hi && strings.ContainsRune(" \n", rune(when[hi-1])) {
			hi--
		}
		for depth := balance(when[lo:hi]); depth != 0; depth = balance(when[lo:hi]) {
			if depth > 0 {
				lo += strings.IndexByte(when[lo:hi], '(') + 1
			} else {
				hi = lo + strings.LastIndexByte(when[lo:hi], ')')
			}
		}
		if hi-lo < len(strings.TrimSpace(when)) {
			spans = append(spans, [2]int{lo, hi})
		}
	}
	return spans
}

func balance(s string) int { return strings.Count(s, "(") - strings.Count(s, ")") }

// with are the shipped rules with one mutant in each of several rules.
func with(t *testing.T, faults map[string]mutant) *screen.Rules {
	t.Helper()
	fsys := fstest.MapFS{}
	files, _ := fs.Glob(screen.Default, "*/*.yaml")
	for _, file := range append(files, "sources.yaml") {
		data, err := fs.ReadFile(screen.Default, file)
		if err != nil {
			t.Fatal(err)
		}
		root, _ := source.Parse(file, data)
		if rules := entry(root, "rules"); rules != nil {
			for _, rule := range rules.Items {
				fault, ok := faults[entry(rule, "id").Text]
				for _, o := range entry(rule, "outcomes").Items {
					if ok && entry(o, "id").Text == fault.outcome {
						when := entry(o, "when")
						when.Text, when.Quoted = fault.when, true
					}
				}
			}
			data = source.Write(root)
		}
		fsys[file] = &fstest.MapFile{Data: data}
	}
	lex, _ := medicine.Load(medicine.Default)
	rules, problems := screen.Load(fsys, theForm(), lex)
	for _, p := range problems {
		t.Fatal(p.ID, p.Args, p.Span)
	}
	return rules
}

// entry is the value of a key, nil without it.
func entry(n *source.Node, key string) *source.Node {
	for _, k := range n.Keys {
		if k.Name == key {
			return k.Value
		}
	}
	return nil
}

// notices says whether the rows of an outcome tell rules or a policy from the ones that ship.
func notices(t *testing.T, rules *screen.Rules, c row, rule, outcome string, bend func(*fixture)) bool {
	t.Helper()
	for _, one := range append([]row{c}, c.also...) {
		inside, outside := one.fixtures(t, c.with)
		bend(inside)
		bend(outside)
		f := find(rules.Evaluate(inside.ready(t)), rule, outcome, false)
		switch {
		case f == nil:
			return true
		case one.until != nil && f.Until != date(t, one.until.Text):
			return true
		case find(rules.Evaluate(outside.ready(t)), rule, outcome, false) != nil:
			return true
		}
	}
	return false
}

func TestRowsNoticeAFaultInEveryCondition(t *testing.T) {
	if testing.Short() {
		t.Skip("judges thousands of visits")
	}
	rules, table := load(t), rows(t)
	batches := map[int]map[string]mutant{}
	total := 0
	for _, rule := range rules.All() {
		var all []mutant
		for _, o := range rule.Outcomes {
			all = append(all, mutants(rule.ID, o.ID, o.When)...)
		}
		for i, one := range all {
			if batches[i] == nil {
				batches[i] = map[string]mutant{}
			}
			batches[i][rule.ID] = one
			total++
		}
	}
	for i := range len(batches) {
		faulty := with(t, batches[i])
		for _, rule := range rules.All() {
			fault, ok := batches[i][rule.ID]
			if !ok {
				continue
			}
			if !notices(t, faulty, table[rule.ID+"."+fault.outcome], rule.ID, fault.outcome, func(*fixture) {}) {
				t.Errorf("%s.%s: nothing notices %s: %s", rule.ID, fault.outcome, fault.what, fault.when)
			}
		}
	}
	if total < 400 {
		t.Errorf("only %d mutants", total)
	}
}

func TestRowsNoticeAShiftOfEveryWindowAndThreshold(t *testing.T) {
	rules, table := load(t), rows(t)
	for _, rule := range rules.Explain(clinic.DefaultPolicy()) {
		for _, o := range rule.Outcomes {
			for _, s := range o.Settings {
				for _, by := range []int{-1, 1} {
					bend := func(f *fixture) { shift(f, s, by) }
					if o.Test.Kind == screen.NoTest && s.Kind == clinic.AWindow {
						told(t, rules, table[rule.ID+"."+o.ID], rule.ID, o.ID, bend)
						continue
					}
					if !notices(t, rules, table[rule.ID+"."+o.ID], rule.ID, o.ID, bend) {
						t.Errorf("%s.%s: nothing notices %s shifted by %d", rule.ID, o.ID, s.Key, by)
					}
				}
			}
		}
	}
}

// told proves that a window that only the words name reaches them.
func told(t *testing.T, rules *screen.Rules, c row, rule, outcome string, bend func(*fixture)) {
	t.Helper()
	inside, _ := c.fixtures(t, c.with)
	before := find(rules.Evaluate(inside.ready(t)), rule, outcome, false).Args["days"]
	bend(inside)
	if after := find(rules.Evaluate(inside.ready(t)), rule, outcome, false).Args["days"]; after == before {
		t.Errorf("%s.%s: the words do not change with the window", rule, outcome)
	}
}

// shift moves a setting by a day, by one in its last place, or to its other choice.
func shift(f *fixture, s screen.InForce, by int) {
	switch s.Kind {
	case clinic.AWindow:
		if s.Key == "reflection" {
			f.Place.Reflection.Days += by
		}
		w := f.Clinic.Policy.Windows[s.Key]
		w.Days += by
		f.Clinic.Policy.Windows[s.Key] = w
	case clinic.AThreshold:
		whole, tenths, _ := strings.Cut(f.Clinic.Policy.Thresholds[s.Key], ".")
		n, _ := strconv.Atoi(whole + tenths)
		text := strconv.Itoa(n + by)
		f.Clinic.Policy.Thresholds[s.Key] = text[:len(text)-len(tenths)] + "." + text[len(text)-len(tenths):]
	case clinic.AChoice:
		for _, setting := range clinic.Settings() {
			if setting.Key == s.Key {
				i := slices.Index(setting.Allowed, f.Clinic.Policy.Custom[s.Key])
				f.Clinic.Policy.Custom[s.Key] = setting.Allowed[(i+1)%len(setting.Allowed)]
			}
		}
	}
}
