package templates

import (
	"errors"
	"reflect"
	"slices"
	"strings"

	"philtrum/forms/clinic"
	"philtrum/forms/measure"
	"philtrum/forms/source"
	"philtrum/locales"
	"philtrum/templates/layout"
)

// Paper is everything that one document is made from.
type Paper struct {
	Kind     string
	Template *Template
	Printer  *locales.Printer // of the language that the reader reads
	Clinic   *locales.Printer // of the clinic's language; nil: the same
	Facts    Facts
	Sheet    string // a name of [SheetNames]; empty: the template's look on the clinic's page
}

// Compose makes the document of a paper. It is pure. Problems name messages that could not be rendered,
// windows and sheets that do not exist; the document then lacks them and must not be handed to anyone as
// it is, a record and an aftercare sheet excepted, which are never held up.
func Compose(p Paper) (layout.Document, source.Problems) {
	c := &composer{paper: p, facts: &p.Facts, args: map[string][]string{}}
	if p.Clinic == nil {
		c.paper.Clinic = p.Printer
	}
	lang := p.Printer.Language()
	c.facts.kind, c.facts.version, c.facts.language = p.Template.Kind, p.Template.Version, lang.Name
	doc := layout.Document{Lang: lang.Region}
	if lang.Direction == "rtl" {
		doc.Direction = layout.RightToLeft
	}
	name := p.Sheet
	if name == "" {
		name = SheetName(p.Template.Look, p.Facts.Clinic.Page)
	}
	sheet, ok := p.Template.sheets[name]
	if !ok {
		c.report("problem.unknown_sheet", map[string]any{"name": name})
	}
	doc.Sheet = sheet
	c.sheet = sheet
	s := &scope{c: c}
	doc.Title = plain(s.message("term.paper."+p.Template.Kind, nil, false))
	doc.Head = s.furniture(p.Template.head)
	doc.Foot = s.furniture(p.Template.foot)
	doc.Blocks = s.blocks(p.Template.blocks)
	return doc, c.problems
}

// composer holds what one run of [Compose] needs everywhere.
type composer struct {
	paper    Paper
	facts    *Facts
	sheet    layout.Sheet
	args     map[string][]string // placeholders of messages, as learned
	problems source.Problems
}

func (c *composer) report(id string, args map[string]any) {
	c.problems = append(c.problems, source.Problem{ID: id, Args: args})
}

// otherLanguage says whether the clinic's language is another than the paper's.
func (c *composer) otherLanguage() bool {
	return c.paper.Clinic.Language().Tag != c.paper.Printer.Language().Tag
}

// scope is where a name is looked up: the items of the lists around it, then the paper.
type scope struct {
	c    *composer
	up   *scope
	list string
	at   *item
}

func (s *scope) each(name string) []*scope {
	if name == "" {
		return []*scope{s}
	}
	var out []*scope
	for _, i := range lists[name].items(s.c.facts) {
		out = append(out, &scope{c: s.c, up: s, list: name, at: &i})
	}
	return out
}

// days is the scope of a row of days, counted from the day of the treatment.
func (s *scope) days(first, last int) *scope {
	on := s.c.facts.treatedOn()
	day := func(n int) locales.Value {
		if on.IsZero() {
			return locales.Blank()
		}
		return dateOr(on.AddDays(n))
	}
	return &scope{c: s.c, up: s, list: listDays, at: &item{
		values: map[string]locales.Value{
			"first": locales.Count(first), "last": locales.Count(last), "first_date": day(first), "last_date": day(last),
		},
		facts: map[string]bool{oneDay: first == last},
	}}
}

func (s *scope) fact(name string) bool {
	for at := s; at != nil; at = at.up {
		if at.at != nil {
			if v, ok := at.at.facts[name]; ok {
				return v
			}
		}
	}
	if name == otherLanguage {
		return s.c.otherLanguage()
	}
	if list, ok := strings.CutPrefix(name, anyOf); ok {
		return len(lists[list].items(s.c.facts)) > 0
	}
	if v, ok := strings.CutPrefix(name, hasOf); ok {
		if found, ok := s.value(v); ok {
			return !reflect.DeepEqual(found, locales.Blank())
		}
	}
	if holds, ok := truths[name]; ok {
		return holds(s.c.facts)
	}
	return false
}

func (s *scope) value(name string) (locales.Value, bool) {
	for at := s; at != nil; at = at.up {
		if at.at == nil {
			continue
		}
		if v, ok := at.at.values[name]; ok {
			return v, true
		}
		if l, ok := at.at.late[name]; ok {
			if strings.HasSuffix(l.id, whatToDo) && !s.c.paper.Printer.Has(l.id) {
				return locales.Blank(), true
			}
			return locales.RefWith(l.id, s.fit(l)), true
		}
	}
	if v, ok := values[name]; ok {
		return v.of(s.c.facts), true
	}
	return locales.Value{}, false
}

// blocks composes the blocks of a template that stand.
func (s *scope) blocks(all []*block) []layout.Block {
	var out []layout.Block
	for _, b := range all {
		for _, at := range s.each(b.each) {
			if b.when.holds(at) {
				out = append(out, b.body.build(at, layout.Meta{ID: b.id, Clauses: b.clauses, Keep: b.keep})...)
			}
		}
	}
	return out
}

func (s *scope) furniture(f furniture) layout.Furniture {
	return layout.Furniture{
		Start: s.joined(f.start), End: s.joined(f.end),
		FirstStart: s.joined(f.firstStart), FirstEnd: s.joined(f.firstEnd), Rule: f.rule,
	}
}

// joined puts a middle dot between the texts that stand.
func (s *scope) joined(all []words) []layout.Span {
	var out []layout.Span
	for _, w := range all {
		spans := s.spans(w)
		if len(spans) == 0 {
			continue
		}
		if len(out) > 0 {
			out = append(out, layout.Span{Text: "\u00a0· "})
		}
		out = append(out, spans...)
	}
	return out
}

// window is a length of time by the clinic's policy, or as it is unless a clinic says otherwise.
func (s *scope) window(name string) clinic.Window {
	if w, ok := s.c.facts.Clinic.Policy.Windows[name]; ok {
		return w
	}
	return clinic.DefaultPolicy().Windows[name]
}

// spans renders a text: the first of its sayings that holds.
func (s *scope) spans(w words) []layout.Span {
	for _, say := range w {
		if !say.when.holds(s) {
			continue
		}
		if say.message != "" {
			return s.message(say.message, nil, say.clinic)
		}
		v, ok := s.value(say.value)
		if !ok {
			return nil
		}
		return s.message(perKind+string(s.kind(say.value)), locales.Args{"value": v}, say.clinic)
	}
	return nil
}

// kind is the kind of a value that [scope.value] finds.
func (s *scope) kind(name string) locales.Kind {
	for at := s; at != nil; at = at.up {
		if k, ok := lists[at.list].fields[name]; ok {
			return k
		}
	}
	return values[name].kind
}

// alternative renders a text in the clinic's language where that is another.
func (s *scope) alternative(w words) []layout.Span {
	if !s.c.otherLanguage() {
		return nil
	}
	inClinic := slices.Clone(w)
	for i := range inClinic {
		inClinic[i].clinic = true
	}
	return s.spans(inClinic)
}

// both renders a text in the paper's language and, where that is another, in the clinic's.
func (s *scope) both(w words) []layout.Span {
	out := s.spans(w)
	if alt := s.alternative(w); len(alt) > 0 {
		out = append(out, layout.Span{Text: " · ", Ink: layout.InkQuiet})
		for _, a := range alt {
			if a.Ink == layout.InkText {
				a.Ink = layout.InkQuiet
			}
			out = append(out, a)
		}
	}
	return out
}

// message renders a message with the values that its placeholders name, besides those given.
func (s *scope) message(id string, given locales.Args, inClinic bool) []layout.Span {
	p := s.c.paper.Printer
	if inClinic {
		p = s.c.paper.Clinic
	}
	args := locales.Args{}
	for name, v := range given {
		args[name] = v
	}
	for _, name := range s.c.args[id] {
		if v, ok := s.value(name); ok {
			args[name] = v
		}
	}
	for {
		spans, err := p.Spans(id, args)
		if err == nil {
			return s.c.convert(spans)
		}
		name := missingArgument(err, args)
		v, ok := s.value(name)
		if name == "" || !ok {
			s.c.report("problem.message", map[string]any{"message": id, "reason": err.Error()})
			return nil
		}
		args[name] = v
		s.c.args[id] = append(s.c.args[id], name)
	}
}

// missingArgument names the placeholder that an error misses; empty where something else is wrong.
func missingArgument(err error, args locales.Args) string {
	var e *locales.MessageError
	if !errors.As(err, &e) || e.Placeholder == "" || e.Err != nil {
		return ""
	}
	if _, given := args[e.Placeholder]; given {
		return ""
	}
	return e.Placeholder
}

// fit gives a rule's texts the kinds that its message declares.
func (s *scope) fit(l late) locales.Args {
	args := locales.Args{}
	tried := map[string]int{}
	for {
		_, err := s.c.paper.Printer.Spans(l.id, args)
		var e *locales.MessageError
		if err == nil || !errors.As(err, &e) || e.Placeholder == "" {
			return args
		}
		text, ok := l.args[e.Placeholder]
		forms := readings(text)
		if !ok || tried[e.Placeholder] >= len(forms) {
			return args
		}
		args[e.Placeholder] = forms[tried[e.Placeholder]]
		tried[e.Placeholder]++
	}
}

// readings are the values that a text may stand for.
func readings(text string) []locales.Value {
	out := []locales.Value{locales.Text(text)}
	if n, ok := wholeNumber(text); ok {
		out = append(out, locales.Count(n))
	}
	out = append(out, locales.Number(text))
	if d, err := measure.ParseDate(text); err == nil {
		out = append(out, dateOr(d))
	}
	if v, err := measure.ParseVolume(text); err == nil {
		out = append(out, locales.Volume(v.String()))
	}
	if d, err := measure.ParseDose(text); err == nil {
		out = append(out, locales.Dose(d.String()))
	}
	return append(out, locales.List(locales.Text(text)), locales.Ref(text))
}

func wholeNumber(s string) (int, bool) {
	n := 0
	for _, r := range s {
		if r < '0' || r > '9' || n > 1_000_000 {
			return 0, false
		}
		n = n*10 + int(r-'0')
	}
	return n, s != ""
}

// Fields that stand for the number of a page and the count of pages.
const (
	fieldPage  = "page.number"
	fieldPages = "page.count"
)

// blankWidth is room for a short entry by pen.
const blankWidth = 35

// convert makes spans of a page from spans of a message.
func (c *composer) convert(spans []locales.Span) []layout.Span {
	out := make([]layout.Span, 0, len(spans))
	for _, s := range spans {
		l := layout.Span{Text: s.Text, Strong: s.Strong, Field: s.Field, Value: s.Kind == locales.SpanValue}
		if s.Lang != c.paper.Printer.Language().Region {
			l.Lang = s.Lang
		}
		switch {
		case s.Field == fieldPage:
			l = layout.Span{Page: true}
		case s.Field == fieldPages:
			l = layout.Span{Pages: true}
		case s.Kind == locales.SpanBlank:
			label, err := c.paper.Printer.Text("paper.to_complete", nil)
			if err != nil {
				c.report("problem.message", map[string]any{"message": "paper.to_complete", "reason": err.Error()})
			}
			l = layout.Span{Text: label, Blank: layout.MM(blankWidth)}
		}
		out = append(out, l)
	}
	return out
}

// plain is the text of spans.
func plain(spans []layout.Span) string {
	var b strings.Builder
	for _, s := range spans {
		if s.Blank == 0 {
			b.WriteString(s.Text)
		}
	}
	return b.String()
}
