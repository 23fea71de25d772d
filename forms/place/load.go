package place

import (
	"embed"
	"fmt"
	"io/fs"
	"path"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"philtrum/forms"
	"philtrum/forms/measure"
	"philtrum/forms/source"
)

//go:embed places/*.yaml
var embedded embed.FS

// Default holds the places that ship.
var Default fs.FS = mustSub(embedded, "places")

func mustSub(f fs.FS, dir string) fs.FS {
	sub, err := fs.Sub(f, dir)
	if err != nil {
		panic(fmt.Sprintf("place: %v", err))
	}
	return sub
}

// Table is all places.
type Table struct{ rows map[string]row }

// row is a place with its facts of all times; the first that holds on a day counts.
type row struct {
	ageFloor, emergency, retain []Fact
	reflection                  []Reflection
	reporting, consent, notes   []Fact
}

// Load reads every *.yaml of fsys: one place per file, named by its code.
func Load(fsys fs.FS) (*Table, source.Problems) {
	names, err := fs.Glob(fsys, "*.yaml")
	if err != nil || len(names) == 0 {
		return nil, source.Problems{{ID: "problem.places_missing"}}
	}
	t := &Table{rows: map[string]row{}}
	problems := t.read(fsys, names)
	if problems.Sort(); len(problems) > 0 {
		return nil, problems
	}
	return t, nil
}

// Find gives the place as of a day as Load and On do. It reads no more than the place's own file where
// that answers for every fact.
func Find(fsys fs.FS, code string, day measure.Date) (Place, source.Problems) {
	if name := code + ".yaml"; codePattern.MatchString(code) {
		if _, err := fs.Stat(fsys, name); err == nil {
			t := &Table{rows: map[string]row{}}
			if problems := t.read(fsys, []string{name}); len(problems) > 0 {
				problems.Sort()
				return Place{}, problems
			}
			if t.rows[code].whole(day) {
				return t.On(code, day), nil
			}
		}
	}
	t, problems := Load(fsys)
	if len(problems) > 0 {
		return Place{}, problems
	}
	return t.On(code, day), nil
}

// whole says whether every fact that has a strictest value holds on a day.
func (r row) whole(day measure.Date) bool {
	reflects := slices.ContainsFunc(r.reflection, func(f Reflection) bool { return f.Holds(day) })
	return reflects && len(holding(r.ageFloor, day)) > 0 && len(holding(r.retain, day)) > 0
}

func (t *Table) read(fsys fs.FS, names []string) source.Problems {
	r := &source.Reader{}
	var problems source.Problems
	for _, name := range names {
		data, err := fs.ReadFile(fsys, name)
		if err != nil {
			problems = append(problems, source.Problem{ID: "problem.places_missing", Span: source.Span{File: name}})
			continue
		}
		root, found := source.Parse(name, data)
		if problems = append(problems, found...); len(found) > 0 {
			continue
		}
		l := loader{forms.Values{Reader: r}}
		code, row := l.row(root, strings.TrimSuffix(path.Base(name), ".yaml"))
		t.rows[code] = row
	}
	return append(problems, r.Problems()...)
}

type loader struct{ forms.Values }

var codePattern = regexp.MustCompile(`^[A-Z]{2}(-[A-Z0-9]{1,3})?$`) // ISO 3166-1 alpha-2, ISO 3166-2

func (l loader) row(n *source.Node, file string) (string, row) {
	f := l.Fields(n, "place", "age_floor", "reflection", "emergency", "reporting", "retain_years", "consent", "notes")
	code := l.Text(f.Need("place"))
	if code != file || !codePattern.MatchString(code) {
		l.Report(f.Get("place"), "problem.place_code", map[string]any{"file": file + ".yaml"})
	}
	p := row{
		ageFloor:  l.facts(f.Need("age_floor"), number(Floor, 25)),
		emergency: l.facts(f.Need("emergency"), dialled),
		retain:    l.facts(f.Need("retain_years"), number(1, 100)),
		reporting: l.facts(f.Need("reporting"), message),
		consent:   l.facts(f.Get("consent"), message),
		notes:     l.facts(f.Get("notes"), message),
	}
	for _, item := range l.List(f.Need("reflection")) {
		p.reflection = append(p.reflection, l.reflection(item))
	}
	return code, p
}

var factKeys = []string{"value", "standing", "source", "trust", "from", "to"}

func (l loader) facts(n *source.Node, fits func(string) bool) []Fact {
	var facts []Fact
	for _, item := range l.List(n) {
		f := l.Fields(item, factKeys...)
		fact := l.fact(f)
		fact.Value = l.Text(f.Need("value"))
		if !fits(fact.Value) {
			l.Report(f.Get("value"), "problem.place_value", nil)
		}
		facts = append(facts, fact)
	}
	return facts
}

// fact reads what all facts have. Common practice has no source, everything else names one.
func (l loader) fact(f source.Fields) Fact {
	fact := Fact{
		Standing: Standing(l.OneOf(f.Need("standing"), string(Law), string(Duty), string(Practice))),
		Source:   l.Text(f.Get("source")),
		Trust:    l.OneOf(f.Need("trust"), "read", "secondary", "memory", "practice"),
		From:     l.Date(f.Get("from")),
		To:       l.Date(f.Get("to")),
	}
	if fact.Source == "" && (fact.Standing == Law || fact.Trust == "read" || fact.Trust == "secondary") {
		l.Report(f.Get("standing"), "problem.place_source", nil)
	}
	return fact
}

func (l loader) reflection(n *source.Node) Reflection {
	f := l.Fields(n, append(slices.Clone(factKeys), "days", "before", "repeat_months")...)
	r := Reflection{
		Fact:         l.fact(f),
		Days:         l.Int(f.Need("days"), 0, 60),
		Before:       l.OneOf(f.Need("before"), "consent", "procedure"),
		RepeatMonths: l.Int(f.Get("repeat_months"), 0, 60),
	}
	r.Value = strconv.Itoa(r.Days)
	return r
}

func number(least, most int) func(string) bool {
	return func(s string) bool {
		n, err := strconv.Atoi(s)
		return err == nil && n >= least && n <= most
	}
}

var (
	dialPattern    = regexp.MustCompile(`^[0-9]{2,4}$`)
	messagePattern = regexp.MustCompile(`^place\.[a-z0-9_.]+$`)
)

func dialled(s string) bool { return dialPattern.MatchString(s) }
func message(s string) bool { return messagePattern.MatchString(s) }

// Codes lists the places, sorted.
func (t *Table) Codes() []string {
	codes := make([]string, 0, len(t.rows))
	for code := range t.rows {
		codes = append(codes, code)
	}
	slices.Sort(codes)
	return codes
}

// Messages lists the messages that the table's facts name, of all places and times, sorted.
func (t *Table) Messages() []string {
	var ids []string
	for _, r := range t.rows {
		for _, facts := range [][]Fact{r.reporting, r.consent, r.notes} {
			for _, f := range facts {
				ids = append(ids, f.Value)
			}
		}
	}
	slices.Sort(ids)
	return slices.Compact(ids)
}

// On gives the place as of a day. A place that is not in the table, and a fact of which none holds on that
// day, take the strictest value of the whole table; Known then is false for the place as such.
func (t *Table) On(code string, day measure.Date) Place {
	r, known := t.rows[code]
	p := Place{Code: code, Known: known}
	strict := t.strictest(day)
	p.AgeFloor = first(r.ageFloor, day, strict.AgeFloor)
	p.Emergency = first(r.emergency, day, Fact{})
	p.RetainYears = first(r.retain, day, strict.RetainYears)
	p.Reporting = holding(r.reporting, day)
	p.Consent = holding(r.consent, day)
	p.Notes = holding(r.notes, day)
	p.Reflection = strict.Reflection
	for _, have := range r.reflection {
		if have.Holds(day) {
			p.Reflection = have
			break
		}
	}
	return p
}

func first(facts []Fact, day measure.Date, otherwise Fact) Fact {
	if all := holding(facts, day); len(all) > 0 {
		return all[0]
	}
	return otherwise
}

func holding(facts []Fact, day measure.Date) []Fact {
	var all []Fact
	for _, f := range facts {
		if f.Holds(day) {
			all = append(all, f)
		}
	}
	return all
}

// strictest is the highest age floor, the longest retention and the longest reflection of any place on a
// day, as practice: no law is claimed for a place that nobody has looked up. A reflection period counts to
// the consent, which is the earlier act, and knows no repeat.
func (t *Table) strictest(day measure.Date) Place {
	age, years, days := Floor, 1, 0
	for _, r := range t.rows {
		age = max(age, highest(r.ageFloor, day))
		years = max(years, highest(r.retain, day))
		for _, have := range r.reflection {
			if have.Holds(day) {
				days = max(days, have.Days)
			}
		}
	}
	practice := func(n int) Fact {
		return Fact{Value: strconv.Itoa(n), Standing: Practice, Trust: "practice"}
	}
	return Place{
		AgeFloor:    practice(age),
		RetainYears: practice(years),
		Reflection:  Reflection{Fact: practice(days), Days: days, Before: "consent"},
	}
}

func highest(facts []Fact, day measure.Date) int {
	n, _ := strconv.Atoi(first(facts, day, Fact{}).Value)
	return n
}

// Years is a fact that counts years; 0 if it does not.
func (f Fact) Years() int {
	n, _ := strconv.Atoi(f.Value)
	return n
}
