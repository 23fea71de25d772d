package screen

import (
	"embed"
	"io/fs"
	"slices"
	"strings"

	"philtrum/forms"
	"philtrum/forms/clinic"
	"philtrum/forms/medicine"
	"philtrum/forms/source"

	"cel.dev/cel-go/cel"
)

// Default holds the rules that ship.
//
//go:embed rules/*.yaml sources.yaml
var Default embed.FS

// Load reads rules/*.yaml and sources.yaml of fsys and proves them against the form, the lexicon's classes
// and the keys of the clinic's policy. Rules are nil if anything is wrong.
func Load(fsys fs.FS, form *forms.Form, lex *medicine.Lexicon) (*Rules, source.Problems) {
	l := newLoader(form, lex)
	if l.rules.fromStored(key(fsys, form, lex)) {
		return l.rules, nil
	}
	if problems := l.load(fsys); len(problems) > 0 {
		return nil, problems
	}
	return l.rules, nil
}

func newLoader(form *forms.Form, lex *medicine.Lexicon) *loader {
	l := &loader{Reader: &source.Reader{}, ids: map[string]source.Span{}, made: map[[2]string]program{}}
	l.rules = &Rules{form: form, lexicon: lex, sources: map[string]string{}, classes: lex.Classes()}
	l.rules.index()
	return l
}

func (l *loader) load(fsys fs.FS) source.Problems {
	l.sources(fsys)
	files, _ := fs.Glob(fsys, "rules/*.yaml")
	if len(files) == 0 {
		l.ReportAt(source.Span{File: "rules"}, "problem.rules_missing", nil)
	}
	for _, file := range files {
		if root := l.parse(fsys, file); root != nil {
			l.file(root, strings.TrimSuffix(file[strings.LastIndexByte(file, '/')+1:], ".yaml"))
		}
	}
	l.prove()
	problems := append(l.unread, l.Problems()...)
	problems.Sort()
	return problems
}

type loader struct {
	*source.Reader
	rules  *Rules
	ids    map[string]source.Span
	unread source.Problems
	// Equal conditions are compiled once.
	made    map[[2]string]program
	checked []checked
}

type checked struct {
	scope, text string
	ast         *cel.Ast
}

func (l *loader) parse(fsys fs.FS, file string) *source.Node {
	data, err := fs.ReadFile(fsys, file)
	if err != nil {
		l.ReportAt(source.Span{File: file}, "problem.rules_missing", nil)
		return nil
	}
	root, problems := source.Parse(file, data)
	l.unread = append(l.unread, problems...)
	return root
}

func (l *loader) sources(fsys fs.FS) {
	root := l.parse(fsys, "sources.yaml")
	for _, k := range l.Entries(root) {
		l.rules.sources[k.Name] = l.Text(k.Value)
	}
}

func (l *loader) file(root *source.Node, group string) {
	f := l.Fields(root, "version", "rules")
	if v := l.Text(f.Need("version")); l.rules.Version < v {
		l.rules.Version = v
	}
	for _, n := range l.List(f.Need("rules")) {
		l.rules.rules = append(l.rules.rules, l.rule(n, group))
	}
}

func (l *loader) rule(n *source.Node, group string) Rule {
	f := l.Fields(n, "id", "row", "source", "trust", "conflict", "role", "visits", "scope", "for_each", "considers", "information", "outcomes")
	r := Rule{
		ID: l.Text(f.Need("id")), Group: group, Row: l.Text(f.Get("row")), Source: l.Text(f.Need("source")), Span: n.Span,
		Trust:    l.OneOf(f.Need("trust"), "read", "secondary", "memory", "practice"),
		Conflict: l.Text(f.Get("conflict")),
		Role:     clinic.RoleInjector, Scope: Session, Visits: cosmetic,
		ForEach:     l.Text(f.Get("for_each")),
		Considers:   l.Texts(f.Get("considers")),
		Information: f.Get("information") != nil && l.YesNo(f.Get("information")),
	}
	if first, twice := l.ids[r.ID]; twice {
		l.Report(f.Get("id"), "problem.id_twice", map[string]any{"id": r.ID, "line": first.Line})
	}
	l.ids[r.ID] = n.Span
	if _, known := l.rules.sources[r.Source]; !known && r.Source != "" {
		l.Report(f.Get("source"), "problem.rule_source", map[string]any{"source": r.Source})
	}
	if f.Get("role") != nil {
		r.Role = clinic.Role(l.OneOf(f.Get("role"), string(clinic.RoleInjector), string(clinic.RolePrescriber)))
	}
	if f.Get("scope") != nil {
		r.Scope = Scope(l.OneOf(f.Get("scope"), string(Session), string(Zone), string(Product)))
	}
	if f.Get("visits") != nil {
		r.Visits = nil
		for _, v := range l.List(f.Get("visits")) {
			r.Visits = append(r.Visits, l.OneOf(v, ruleVisits...))
		}
	}
	for _, o := range l.List(f.Need("outcomes")) {
		r.Outcomes = append(r.Outcomes, l.outcome(o))
	}
	return r
}

func (l *loader) outcome(n *source.Node) Outcome {
	f := l.Fields(n, "id", "level", "kind", "when", "since", "ahead", "older", "condition", "window", "consent", "aftercare")
	o := Outcome{
		ID: l.Text(f.Need("id")), Span: n.Span,
		Level: Level(l.OneOf(f.Need("level"), string(Stop), string(Wait), string(Decide), string(Inform))),
		When:  strings.TrimSpace(l.Text(f.Need("when"))),
		Adds:  Adds{l.Texts(f.Get("consent")), l.Texts(f.Get("aftercare"))},
	}
	o.Window = l.Text(f.Get("window"))
	if w := f.Get("when"); w != nil {
		o.whenSpan = w.Span
	}
	if k := f.Get("kind"); k != nil {
		o.Kind = WaitKind(l.OneOf(k, string(WaitLaw), string(WaitMedical), string(WaitCustom)))
	}
	o.Condition = f.Get("condition") != nil && l.YesNo(f.Get("condition"))
	for _, kind := range []TestKind{Since, Ahead, Older} {
		if t := f.Get(string(kind)); t != nil {
			if o.Test.Kind != NoTest {
				l.Report(t, "problem.rule_two_tests", nil)
			}
			o.Test = l.test(t, kind)
		}
	}
	l.shape(o)
	return o
}

func (l *loader) test(n *source.Node, kind TestKind) Test {
	f := l.Fields(n, "date", "window")
	return Test{Kind: kind, Date: l.Text(f.Need("date")), Window: l.Text(f.Need("window")), Span: n.Span}
}

// shape holds waits to what a wait is: it has a kind, and ends by a date or by a condition.
func (l *loader) shape(o Outcome) {
	dated := o.Test.Kind == Since || o.Test.Kind == Ahead
	switch {
	case o.Level == Wait && (o.Kind == "" || dated == o.Condition):
		l.ReportAt(o.Span, "problem.rule_wait", map[string]any{"outcome": o.ID})
	case o.Level != Wait && (o.Kind != "" || o.Condition):
		l.ReportAt(o.Span, "problem.rule_no_wait", map[string]any{"outcome": o.ID})
	}
}

var levels = []Level{Stop, Wait, Decide, Inform}

// weight is 0 for the heaviest level.
func (l Level) weight() int { return slices.Index(levels, l) }
