package forms

import (
	"io/fs"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"philtrum/forms/source"
)

// Load reads and proves the form <id>.yaml of fsys. The form is nil if anything in it is wrong.
func Load(fsys fs.FS, id string) (*Form, source.Problems) {
	file := id + ".yaml"
	data, err := fs.ReadFile(fsys, file)
	if err != nil {
		return nil, source.Problems{{
			ID: "problem.form_missing", Args: map[string]any{"form": id}, Span: source.Span{File: file},
		}}
	}
	root, problems := packed().Parse(file, data)
	if len(problems) > 0 {
		return nil, problems
	}
	l := &loader{Reader: &source.Reader{}, spans: map[string]source.Span{}}
	form := l.form(root, id)
	if found := l.Problems(); len(found) > 0 {
		return nil, found
	}
	return form, nil
}

// Question finds a question of the form by its id; fields of entries are not questions of the form.
func (f *Form) Question(id string) (*Question, bool) {
	for _, s := range f.Sections {
		for _, q := range s.Questions {
			if q.ID == id {
				return q, true
			}
		}
	}
	return nil, false
}

// Questions lists the questions of all sections in order.
func (f *Form) Questions() []*Question {
	var all []*Question
	for _, s := range f.Sections {
		all = append(all, s.Questions...)
	}
	return all
}

// FieldName is the name of a field inside its entry: the part of its id behind the question's.
func (q *Question) FieldName() string {
	return q.ID[strings.LastIndexByte(q.ID, '.')+1:]
}

// Field finds a field of an Entries question by its name.
func (q *Question) Field(name string) (*Question, bool) {
	for _, f := range q.Fields {
		if f.FieldName() == name {
			return f, true
		}
	}
	return nil, false
}

// Asks says whether a visit of this kind asks the question.
func (q *Question) Asks(kind string) bool {
	if len(q.Visits) == 0 {
		return slices.Contains(cosmeticVisits, kind)
	}
	return slices.Contains(q.Visits, kind)
}

// VisitKinds are the kinds of visit that a question may name; cosmeticVisits those that ask a question
// which names none.
var (
	VisitKinds     = []string{"consultation", "treatment", "review", "dissolving", "complication", "call"}
	cosmeticVisits = []string{"consultation", "treatment"}
)

type loader struct {
	*source.Reader
	spans map[string]source.Span // ids of sections ("section.x"), questions and fields
}

func (l *loader) form(n *source.Node, id string) *Form {
	f := l.Fields(n, "id", "version", "sections")
	form := &Form{ID: l.Text(f.Need("id")), Version: l.Text(f.Need("version")), Span: n.Span}
	if form.ID != "" && form.ID != id {
		l.Report(f.Get("id"), "problem.form_id", map[string]any{"file": id + ".yaml"})
	}
	for _, s := range l.List(f.Need("sections")) {
		form.Sections = append(form.Sections, l.section(s))
	}
	return form
}

func (l *loader) section(n *source.Node) Section {
	f := l.Fields(n, "id", "questions")
	s := Section{ID: l.name(f.Need("id"), "section.")}
	for _, q := range l.List(f.Need("questions")) {
		s.Questions = append(s.Questions, l.question(q))
	}
	return s
}

var questionKeys = []string{"id", "kind", "options", "unit", "when", "irrelevant", "ahead", "not_applicable", "checks"}

func (l *loader) question(n *source.Node) *Question {
	f := l.Fields(n, append(questionKeys, "fields", "shelf_life", "visits")...)
	q := &Question{ID: l.name(f.Need("id"), ""), Span: n.Span}
	q.Kind = Kind(l.OneOf(f.Need("kind"), kindNames...))
	l.body(q, f)
	q.ShelfLife = l.shelfLife(f.Need("shelf_life"))
	for _, v := range l.List(f.Get("visits")) {
		q.Visits = append(q.Visits, l.OneOf(v, VisitKinds...))
	}
	if l.belongs(f, "fields", q, q.Kind == Entries) {
		for _, field := range l.List(f.Get("fields")) {
			q.Fields = append(q.Fields, l.field(field, q.ID))
		}
	}
	return q
}

// field reads a field of an entry: a question whose name counts inside its entry only.
func (l *loader) field(n *source.Node, question string) *Question {
	f := l.Fields(n, questionKeys...)
	q := &Question{Span: n.Span}
	q.ID = question + "." + l.name(f.Need("id"), question+".")
	q.Kind = Kind(l.OneOf(f.Need("kind"), simpleKindNames...))
	l.body(q, f)
	return q
}

// body reads what questions and fields have in common.
func (l *loader) body(q *Question, f source.Fields) {
	if l.belongs(f, "options", q, q.Kind == OneOf || q.Kind == SomeOf) {
		q.Options = l.options(f.Get("options"))
	}
	l.only(f, "unit", q, q.Kind == Number)
	l.only(f, "ahead", q, q.Kind == DateKind)
	q.Unit = l.Text(f.Get("unit"))
	q.When = strings.TrimSpace(l.Text(f.Get("when")))
	q.Ahead = l.yes(f.Get("ahead"))
	q.NotApplicable = l.yes(f.Get("not_applicable"))
	q.Checks = readChecks(f.Get("checks"), q.Kind, l.Reader)
	l.irrelevant(q, f)
}

func (l *loader) yes(n *source.Node) bool { return n != nil && l.YesNo(n) }

// belongs says whether a key is there to be read: its kind needs it, or must not have it.
func (l *loader) belongs(f source.Fields, key string, q *Question, needs bool) bool {
	l.only(f, key, q, needs)
	return needs && f.Need(key) != nil
}

// only reports a key that the question's kind must not have.
func (l *loader) only(f source.Fields, key string, q *Question, may bool) {
	if n := f.Get(key); n != nil && !may && q.Kind != "" {
		l.Report(n, "problem.key_not_for_kind", map[string]any{"key": key, "kind": string(q.Kind)})
	}
}

// irrelevant is needed wherever a question can prove irrelevant, and nowhere else.
func (l *loader) irrelevant(q *Question, f source.Fields) {
	can := q.When != "" || q.NotApplicable
	n := f.Get("irrelevant")
	switch {
	case can && n == nil:
		l.ReportAt(q.Span, "problem.irrelevant_missing", map[string]any{"question": q.ID})
	case !can && n != nil:
		l.Report(n, "problem.irrelevant_needless", map[string]any{"question": q.ID})
	case can:
		q.Irrelevant = l.irrelevantValue(n, q)
	}
}

func (l *loader) irrelevantValue(n *source.Node, q *Question) Value {
	v := Value{Kind: q.Kind}
	none := n.Kind == source.Scalar && n.Text == "none" && !n.Quoted
	empty := n.Kind == source.Sequence && len(n.Items) == 0
	switch q.Kind {
	case YesNo:
		v.Yes = l.YesNo(n)
	case OneOf:
		v.Choice = l.OneOf(n, q.Options...)
	case DateKind, Number, Text:
		if v.None = none; !none {
			l.Report(n, "problem.irrelevant_kind", map[string]any{"kind": string(q.Kind), "value": "none"})
		}
	case SomeOf, Medicines, Entries:
		if !empty {
			l.Report(n, "problem.irrelevant_kind", map[string]any{"kind": string(q.Kind), "value": "[]"})
		}
	}
	return v
}

// shelfLife reads "always", "on_the_day" or "N days" (one day to ten years).
func (l *loader) shelfLife(n *source.Node) ShelfLife {
	text := l.Text(n)
	switch text {
	case "":
		return ShelfLife{}
	case "always":
		return ShelfLife{Always: true}
	case "on_the_day":
		return ShelfLife{OnTheDay: true}
	}
	count, unit, _ := strings.Cut(text, " ")
	days, err := strconv.Atoi(count)
	if err != nil || days < 1 || days > 3650 || unit != "days" && !(unit == "day" && days == 1) {
		l.Report(n, "problem.shelf_life", nil)
	}
	return ShelfLife{Days: days}
}

func (l *loader) options(n *source.Node) []string {
	var options []string
	for _, item := range l.List(n) {
		option := l.Text(item)
		switch {
		case !wordPattern.MatchString(option):
			l.Report(item, "problem.form_word", nil)
		case slices.Contains(StateWords, option):
			l.Report(item, "problem.option_reserved", map[string]any{"option": option})
		case slices.Contains(options, option):
			l.Report(item, "problem.option_twice", map[string]any{"option": option})
		default:
			options = append(options, option)
		}
	}
	return options
}

// name reads an id that no other of the same scope has.
func (l *loader) name(n *source.Node, scope string) string {
	name := l.Text(n)
	switch first, twice := l.spans[scope+name]; {
	case name == "":
	case !wordPattern.MatchString(name) || slices.Contains(celWords, name):
		l.Report(n, "problem.form_word", nil)
	case twice:
		l.Report(n, "problem.id_twice", map[string]any{"id": name, "line": first.Line})
	default:
		l.spans[scope+name] = n.Span
	}
	return name
}

// StateWords stand for a state, or for "does not apply", where an answer is written in short.
var StateWords = []string{"unsure", "declined", "blank", "n/a"}

var (
	wordPattern     = regexp.MustCompile(`^[a-z][a-z0-9]*(_[a-z0-9]+)*$`)
	simpleKindNames = []string{string(YesNo), string(OneOf), string(SomeOf), string(DateKind), string(Number), string(Text)}
	kindNames       = append(append([]string(nil), simpleKindNames...), string(Medicines), string(Entries))
)

// celWords cannot be identifiers of the language that conditions are written in
// (Common Expression Language, syntax: IDENT and RESERVED).
var celWords = []string{
	"as", "break", "const", "continue", "else", "false", "for", "function", "if", "import", "in", "let",
	"loop", "namespace", "null", "package", "return", "true", "var", "void", "while",
}
