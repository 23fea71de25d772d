// Package intake reads what a patient answered against the form that asked: every answer is given, unsure,
// declined or blank, and what cannot be read is a problem and counts as blank, never as no.
package intake

import (
	"slices"
	"strings"

	"philtrum/forms"
	"philtrum/forms/source"
	"philtrum/forms/visit"
)

// Intake is the answers of a visit. A question that is no key of Answers was not asked.
type Intake struct {
	Form    *forms.Form
	Answers map[string]forms.Answer
}

// Answer is the answer to a question and whether it was asked.
func (i Intake) Answer(id string) (forms.Answer, bool) {
	a, ok := i.Answers[id]
	return a, ok
}

// Read reads the answers of v against form. Problems come through r, all of them in one run; none holds a
// value of the file.
func Read(form *forms.Form, v visit.Visit, r *source.Reader) Intake {
	i := Intake{Form: form, Answers: map[string]forms.Answer{}}
	rd := reader{
		Values: forms.Values{Reader: r, Private: true, Zone: v.Zone},
		by:     v.Answered, checks: newChecker(),
	}
	if v.Zone == nil && !v.Appointment.IsZero() {
		rd.Zone = v.Appointment.Location()
	}
	for _, k := range r.Entries(v.Answers) {
		q, known := form.Question(k.Name)
		if !known {
			rd.unknown(k, form)
			continue
		}
		i.Answers[q.ID] = rd.answer(q, k.Value)
	}
	if rd.undated != nil {
		r.Report(rd.undated, "problem.answered_missing", nil)
	}
	return i
}

type reader struct {
	forms.Values
	by      visit.Answered // who answered, for answers that do not say it themselves
	checks  checker
	undated *source.Node // the first answer of which nobody says who gave it and when
}

func (r *reader) unknown(k source.Key, form *forms.Form) {
	var ids []string
	for _, q := range form.Questions() {
		ids = append(ids, q.ID)
	}
	if near := source.Nearest(k.Name, ids); near != "" {
		r.ReportAt(k.Span, "problem.question_unknown_near", map[string]any{"near": near})
		return
	}
	r.ReportAt(k.Span, "problem.question_unknown", nil)
}

// answer reads an answer in short or in full. If anything in it is wrong it stands as blank.
func (r *reader) answer(q *forms.Question, n *source.Node) forms.Answer {
	sub := *r
	sub.Reader = &source.Reader{} // a list of problems of its own tells whether this answer has any
	a := sub.read(q, n)
	found := sub.Problems()
	if len(found) > 0 {
		a = forms.Answer{State: forms.Blank, By: a.By, At: a.At, Via: a.Via, Why: a.Why, Replaced: a.Replaced}
	}
	for _, p := range found {
		r.ReportAt(p.Span, p.ID, p.Args)
	}
	r.undated = sub.undated
	if n != nil {
		a.Span = n.Span
	}
	return a
}

func (r *reader) read(q *forms.Question, n *source.Node) forms.Answer {
	if n != nil && n.Kind == source.Mapping {
		return r.full(q, n)
	}
	a := forms.Answer{By: r.by.By, At: r.by.At, Via: r.by.Via}
	a.State = r.shortState(q, n)
	if a.State == forms.Given {
		a.Value = r.value(q, n)
		r.check(q, a, n)
	}
	r.signed(a, n)
	return a
}

// signed remembers the first answer that nobody signed for: shelf lives cannot be counted without.
func (r *reader) signed(a forms.Answer, n *source.Node) {
	if r.undated == nil && (a.By == "" || a.At.IsZero() || a.Via == "") {
		r.undated = n
	}
}

// shortState tells the words for states from values; in quotes they are text.
func (r *reader) shortState(q *forms.Question, n *source.Node) forms.State {
	switch {
	case n == nil, n.Kind == source.Empty:
		return forms.Blank
	case n.Kind != source.Scalar || n.Quoted:
		return forms.Given
	}
	switch n.Text {
	case "", string(forms.Blank):
		return forms.Blank
	case string(forms.Unsure):
		return forms.Unsure
	case string(forms.Declined):
		return forms.Declined
	}
	return forms.Given
}

var states = []string{string(forms.Given), string(forms.Unsure), string(forms.Declined), string(forms.Blank)}

// full reads {state, value, by, at, via, why, replaced}.
func (r *reader) full(q *forms.Question, n *source.Node) forms.Answer {
	f := r.Fields(n, "state", "value", "by", "at", "via", "why", "replaced")
	a := r.stated(q, f, n)
	signer := r.signer(a)
	a.By, a.Via, a.At = signer.By, signer.Via, signer.At
	r.check(q, a, n)
	r.signed(a, n)
	for _, item := range r.List(f.Get("replaced")) {
		g := r.Fields(item, "state", "value", "by", "at", "via", "why")
		old := r.stated(q, g, item)
		old.Span = item.Span
		switch {
		case old.By == "" || old.At.IsZero() || old.Via == "":
			r.Report(item, "problem.replaced_unsigned", nil)
		case old.At.After(previous(a).At):
			r.Report(item, "problem.replaced_order", nil)
		}
		a.Replaced = append(a.Replaced, old)
	}
	return a
}

// signer is who answered, when and how: as the answer says, and otherwise as the visit does.
func (r *reader) signer(a forms.Answer) visit.Answered {
	s := visit.Answered{By: a.By, Via: a.Via, At: a.At}
	if s.By == "" {
		s.By = r.by.By
	}
	if s.At.IsZero() {
		s.At = r.by.At
	}
	if s.Via == "" {
		s.Via = r.by.Via
	}
	return s
}

func previous(a forms.Answer) forms.Answer {
	if n := len(a.Replaced); n > 0 {
		return a.Replaced[n-1]
	}
	return a
}

// stated reads what a full answer and a replaced one have in common.
func (r *reader) stated(q *forms.Question, f source.Fields, n *source.Node) forms.Answer {
	state := f.Need("state")
	a := forms.Answer{
		State: forms.State(r.OneOf(state, states...)),
		By:    r.Text(f.Get("by")),
		At:    r.Time(f.Get("at")),
		Via:   r.OneOf(f.Get("via"), visit.Vias...),
		Why:   r.Text(f.Get("why")),
	}
	value := f.Get("value")
	switch {
	case a.State == forms.Given && (value == nil || value.Kind == source.Empty):
		r.Report(n, "problem.answer_without_value", nil)
	case a.State == forms.Given:
		sub := *r
		sub.by = r.signer(a) // fields of entries are signed like the whole answer
		a.Value = sub.value(q, value)
		r.undated = sub.undated
	case a.State == "" && state != nil && state.Kind == source.Empty:
		r.Report(state, "problem.empty_value", map[string]any{"key": "state"})
	case a.State != "" && value != nil && value.Kind != source.Empty:
		r.Report(value, "problem.answer_value_needless", map[string]any{"state": string(a.State)})
	}
	return a
}

// value reads the value of a given answer by the kind of its question.
func (r *reader) value(q *forms.Question, n *source.Node) forms.Value {
	v := forms.Value{Kind: q.Kind}
	if n.Kind == source.Scalar && !n.Quoted && n.Text == "n/a" {
		if !q.NotApplicable {
			r.Report(n, "problem.not_applicable", map[string]any{"question": q.ID})
		}
		v.NotApplicable = true
		return v
	}
	switch q.Kind {
	case forms.YesNo:
		v.Yes = r.YesNo(n)
	case forms.OneOf:
		v.Choice = r.OneOf(n, q.Options...)
	case forms.SomeOf:
		v.Choices = r.choices(q, n)
	case forms.DateKind:
		v.Date = r.Partial(n)
	case forms.Number:
		v.Number = r.Number(n)
	case forms.Text:
		v.Text = r.Text(n)
	case forms.Medicines:
		v.Names = r.names(n)
	case forms.Entries:
		v.Entries = r.entries(q, n)
	}
	return v
}

func (r *reader) choices(q *forms.Question, n *source.Node) []string {
	choices := []string{}
	for _, item := range r.List(n) {
		switch c := r.OneOf(item, q.Options...); {
		case item.Kind == source.Empty:
			r.Report(item, "problem.list_gap", nil)
		case c == "":
		case slices.Contains(choices, c):
			r.Report(item, "problem.choice_twice", nil)
		default:
			choices = append(choices, c)
		}
	}
	return choices
}

func (r *reader) names(n *source.Node) []string {
	names := []string{}
	for _, item := range r.List(n) {
		name := strings.TrimSpace(r.Text(item))
		if name == "" && (item.Kind == source.Empty || item.Kind == source.Scalar) {
			r.Report(item, "problem.list_gap", nil)
			continue
		}
		names = append(names, name)
	}
	return names
}

func (r *reader) entries(q *forms.Question, n *source.Node) []forms.Entry {
	entries := []forms.Entry{}
	for _, item := range r.List(n) {
		entries = append(entries, r.entry(q, item))
	}
	return entries
}

func (r *reader) entry(q *forms.Question, n *source.Node) forms.Entry {
	names := make([]string, len(q.Fields))
	for i, field := range q.Fields {
		names[i] = field.FieldName()
	}
	e := forms.Entry{}
	if n.Kind == source.Empty {
		r.Report(n, "problem.list_gap", nil)
		return e
	}
	f := r.Fields(n, names...)
	for i, field := range q.Fields {
		v := f.Get(names[i])
		if v == nil {
			if r.checks.needs(field) && n.Kind == source.Mapping {
				r.Report(n, "problem.missing_key", map[string]any{"key": names[i]})
			}
			continue
		}
		e[names[i]] = r.answer(field, v)
	}
	return e
}
