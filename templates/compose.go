package templates

import (
	"reflect"
	"strings"

	"philtrum/forms/clinic"
	"philtrum/forms/source"
	"philtrum/locales"
	"philtrum/templates/layout"
)

// Paper is everything that one document is made from.
type Paper struct {
	Mark     *layout.Drawing // the clinic's, beside the title; nil: none
	Kind     string
	Template *Template
	Printer  *locales.Printer // of the language that the reader reads
	Clinic   *locales.Printer // of the clinic's language; nil: the same
	With     *locales.Printer // of a second language beside the reader's; nil: none
	Facts    Facts
	Sheet    string // a name of [Template.SheetNames]; empty: the look that the reader needs on the clinic's page
}

// look is the template's, or large for a patient who needs large print.
func (p Paper) look() string {
	if p.Template.ForPatient() && p.Template.Look != lookCard && contains(p.Facts.Patient.Needs, "large_print") {
		return "large"
	}
	return p.Template.Look
}

// lookCard is of a size that nothing changes: what stands on a card has to fit it.
const lookCard = "card"

// FixedSize says whether the paper has one size of letters only, as a card has.
func (t *Template) FixedSize() bool { return t.Look == lookCard }

// Compose makes the document of a paper. It is pure. Problems name messages that could not be rendered,
// windows and sheets that do not exist; the document then lacks them and must not be handed to anyone as
// it is, a record and an aftercare sheet excepted, which are never held up.
func Compose(p Paper) (layout.Document, source.Problems) {
	c := &composer{paper: p, facts: &p.Facts, args: map[string][]string{}}
	if p.Clinic == nil {
		c.paper.Clinic = p.Printer
	}
	lang := p.Printer.Language()
	c.language = lang
	c.facts.kind, c.facts.version, c.facts.language = p.Template.Kind, p.Template.Version, lang.Name
	if c.paper.With = otherThan(p.Printer, p.With); c.paper.With != nil {
		c.facts.second = c.paper.With.Language().Name
	}
	doc := layout.Document{Lang: lang.Region}
	if lang.Direction == "rtl" {
		doc.Direction = layout.RightToLeft
	}
	name := p.Sheet
	if name == "" {
		name = SheetName(p.look(), p.Facts.Clinic.Page)
	}
	sheet, ok := p.Template.sheets[name]
	if !ok {
		c.report("problem.unknown_sheet", map[string]any{"name": name})
	}
	if look := p.Facts.Clinic.Look; look.Own {
		sheet.Accent = look.Accent
	}
	doc.Sheet = sheet
	c.sheet = sheet
	doc.Fillable = c.facts.Issue.Screen
	s := &scope{c: c}
	title := "term.paper." + p.Template.Kind
	if own := titleOf(p.Template.Kind, p.Facts.Visit.Kind); own != "" {
		title = own
	}
	doc.Title = plain(s.message(title, nil, false))
	doc.Head = s.furniture(p.Template.head)
	doc.Foot = s.furniture(p.Template.foot)
	if c.paper.With != nil {
		return composeBoth(c, doc)
	}
	doc.Blocks, doc.Closing = s.blocks(p.Template.blocks), s.blocks(p.Template.closing)
	return doc, c.problems
}

// composer holds what one run of [Compose] needs everywhere.
type composer struct {
	paper    Paper
	language locales.Language // of the paper, also while its second language is composed
	facts    *Facts
	sheet    layout.Sheet
	args     map[string][]string // placeholders of messages, as learned
	problems source.Problems
	pair     bool // the paper is in two languages, so that no text brings the clinic's along by itself
	marking  bool // the language of a typed text is being named
}

func (c *composer) report(id string, args map[string]any) {
	c.problems = append(c.problems, source.Problem{ID: id, Args: args})
}

// otherLanguage says whether the clinic's language is another than the paper's.
func (c *composer) otherLanguage() bool {
	return c.paper.Clinic.Language().Tag != c.language.Tag
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
	switch name {
	case otherLanguage:
		return s.c.otherLanguage()
	case bothLanguages:
		return s.c.pair
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
			if optional(l.id) && !s.c.paper.Printer.Has(l.id) {
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
		Start: s.lines(f.over, f.start, f.under), End: s.joined(f.end),
		FirstStart: s.joined(f.firstStart), FirstEnd: s.joined(f.firstEnd), Rule: f.rule,
	}
}

// lines sets running texts one line below another.
func (s *scope) lines(all ...[]words) []layout.Span {
	var out []layout.Span
	for _, line := range all {
		spans := s.joined(line)
		if len(out) > 0 && len(spans) > 0 {
			out = append(out, layout.NewLine)
		}
		out = append(out, spans...)
	}
	return out
}

// joined puts a middle dot between the texts that stand. Two languages may have the same word for one thing: it
// stands once.
func (s *scope) joined(all []words) []layout.Span {
	var out, last []layout.Span
	for _, w := range all {
		spans := s.spans(w)
		if len(spans) == 0 || len(out) > 0 && plain(spans) != "" && plain(spans) == plain(last) {
			continue
		}
		last = spans
		if len(out) > 0 {
			out = append(out, layout.Joint)
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
