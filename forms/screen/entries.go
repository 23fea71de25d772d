package screen

import (
	"slices"

	"philtrum/forms"
	"philtrum/forms/measure"
	"philtrum/forms/visit"

	"cel.dev/cel-go/cel"
	"cel.dev/cel-go/common/types"
	"cel.dev/cel-go/common/types/ref"
)

// entry is one element of an entries answer while a rule judges it; it is a cel.Activation over the case.
type entry struct {
	*mind
	question *question
	fields   forms.Entry
	ours     bool // one of the clinic's own treatments
	course   bool // and of the course that the visit continues
	blank    bool // the whole answer is unknown
}

// ResolveName binds each_<field>, or a field by its bare name, or a variable of the case.
func (e *entry) ResolveName(name string) (any, bool) {
	const each = "each_"
	switch name {
	case each + "in_plan":
		return e.inPlan(), true
	case each + "ours":
		if e.blank {
			return unknown(e.question.ID), true
		}
		return types.Bool(e.ours), true
	case each + "same_course":
		return e.sameCourse(), true
	}
	field := name
	if len(name) > len(each) && name[:len(each)] == each {
		field = name[len(each):]
	}
	if f, ok := e.mind.rules.byID[e.question.ID+"."+field]; ok {
		return e.field(f), true
	}
	return e.mind.ResolveName(name)
}

// Parent is part of cel.Activation.
func (e *entry) Parent() cel.Activation { return nil }

func (e *entry) field(f *question) ref.Val {
	switch e.about(f) {
	case irrelevant:
		return value(f.Question, f.Irrelevant)
	case perhaps:
		return unknown(e.lacking(f))
	}
	a, ok := e.fields[f.FieldName()]
	if !ok || a.State != forms.Given {
		return unknown(f.ID)
	}
	if a.Value.NotApplicable {
		return value(f.Question, f.Irrelevant)
	}
	return value(f.Question, a.Value)
}

func (e *entry) about(f *question) relevance {
	if e.blank {
		return perhaps
	}
	if f.When == "" {
		return relevant
	}
	out, _, err := f.when.Eval(e)
	switch {
	case err == nil && out == types.True:
		return relevant
	case err == nil && out == types.False:
		return irrelevant
	}
	return perhaps
}

// lacking is the question or field for want of which nobody knows whether a field matters.
func (e *entry) lacking(f *question) string {
	if e.blank {
		return e.question.ID
	}
	for _, id := range f.upward {
		up := e.mind.rules.byID[id]
		if up.entry == "" {
			continue
		}
		if a, ok := e.fields[up.FieldName()]; !ok || a.State != forms.Given {
			return id
		}
	}
	return f.ID
}

// entries lists what a rule for each entry judges: the patient's list and, for fillers, the clinic's own
// treatments. An answer that is missing as a whole counts as one entry of which nothing is known.
func (m *mind) entries(q *question) []*entry {
	var all []*entry
	a, asked := m.Intake.Answers[q.ID]
	switch {
	case m.relevance(q) == irrelevant:
	case m.relevance(q) == perhaps || m.missing(q, a, asked) != "":
		all = append(all, &entry{mind: m, question: q, blank: true})
	default:
		for _, fields := range a.Value.Entries {
			all = append(all, &entry{mind: m, question: q, fields: fields})
		}
	}
	if q.ID == fillerQuestion {
		all = append(all, m.ownFillers(q)...)
	}
	return all
}

// fillerQuestion is the question whose list the clinic's own earlier treatments join.
const fillerQuestion = "fillers"

// ownFillers turns earlier treatments of the clinic into entries, one for each area of the lips. A course
// in which a complication was seen leaves the problem unknown until the patient's own list is read.
func (m *mind) ownFillers(q *question) []*entry {
	trouble := slices.ContainsFunc(m.Earlier, func(v visit.Visit) bool { return v.Kind == visit.Complication })
	var all []*entry
	for i := range m.Earlier {
		v := &m.Earlier[i]
		on := m.treatedOn(v)
		if on.IsZero() || on.After(m.day) {
			continue
		}
		products := map[string]string{}
		var areas []string
		for _, row := range v.Treatment.Rows {
			if !m.isFiller(v, row) {
				continue
			}
			area := areaOf(row.Zone)
			if !slices.Contains(areas, area) {
				areas = append(areas, area)
			}
			products[area] = worse(products[area], m.productOf(row.Product))
		}
		for _, area := range areas {
			all = append(all, &entry{mind: m, question: q, ours: true, course: m.inCourse(v), fields: ownEntry(area, products[area], on, trouble)})
		}
	}
	return all
}

// inCourse says whether an earlier visit belongs to the course that this one continues: by the course's id, or
// by the chain of visits that each continue the one before.
func (m *mind) inCourse(v *visit.Visit) bool {
	if m.Visit.Course != "" && v.Course == m.Visit.Course {
		return true
	}
	for id, steps := m.Visit.After, 0; id != "" && steps <= len(m.Earlier); steps++ {
		if id == v.ID {
			return true
		}
		at := slices.IndexFunc(m.Earlier, func(e visit.Visit) bool { return e.ID == id })
		if at < 0 {
			return false
		}
		id = m.Earlier[at].After
	}
	return false
}

// sameCourse says whether the entry is a treatment of the course that the visit continues: the clinic's own, or
// one of the patient's list whose date holds the day of such a treatment.
func (e *entry) sameCourse() ref.Val {
	if e.blank {
		return unknown(e.question.ID)
	}
	date := e.fields["date"]
	if e.ours || date.State != forms.Given || date.Value.Date.IsZero() {
		return types.Bool(e.course)
	}
	from, to := date.Value.Date.Earliest(), date.Value.Date.Latest()
	for i := range e.Earlier {
		v := &e.Earlier[i]
		on := e.treatedOn(v)
		if e.inCourse(v) && !on.IsZero() && !on.Before(from) && !on.After(to) {
			return types.True
		}
	}
	return types.False
}

func ownEntry(area, product string, on measure.Date, trouble bool) forms.Entry {
	given := func(v forms.Value) forms.Answer { return forms.Answer{State: forms.Given, Value: v} }
	e := forms.Entry{
		"area":    given(forms.Value{Kind: forms.OneOf, Choice: area}),
		"product": given(forms.Value{Kind: forms.OneOf, Choice: product}),
		"date":    given(forms.Value{Kind: forms.DateKind, Date: measure.PartialDate{Year: on.Year, Month: int(on.Month), Day: on.Day}}),
	}
	if !trouble {
		e["problem"] = given(forms.Value{Kind: forms.SomeOf})
	}
	return e
}

// productOf is what an earlier product was, in the form's words. What is no longer on the list is not known.
func (m *mind) productOf(id string) string {
	p, ok := m.Stock.Product(id)
	switch {
	case !ok:
		return "not_known"
	case p.Dissolves:
		return "hyaluronic"
	}
	return "long_lasting"
}

func worse(a, b string) string {
	order := []string{"", "hyaluronic", "not_known", "long_lasting"}
	if slices.Index(order, a) > slices.Index(order, b) {
		return a
	}
	return b
}

// areaOf is the area of a zone, in the form's words.
func areaOf(zone string) string {
	z, ok := visit.Lists().Zone(zone)
	if !ok {
		return "both_lips" // a zone that cannot be read may be anywhere on them
	}
	switch z.Lip {
	case "upper":
		return "upper_lip"
	case "lower":
		return "lower_lip"
	case "both":
		return "both_lips"
	}
	return "elsewhere"
}

// inPlan says whether the entry's area meets the planned zones. A plan without zones may come to any.
func (e *entry) inPlan() ref.Val {
	if e.blank {
		return unknown(e.question.ID)
	}
	a := e.fields["area"]
	if a.State != forms.Given {
		return unknown(e.question.ID + ".area")
	}
	zones := e.Visit.Plan.Zones
	if len(zones) == 0 {
		return types.True
	}
	for _, z := range zones {
		if meets(a.Value.Choice, z) {
			return types.True
		}
	}
	return types.False
}

func meets(area, planned string) bool {
	in := areaOf(planned)
	switch planned {
	case "LIPS":
		in = "both_lips"
	case "UL":
		in = "upper_lip"
	case "LL":
		in = "lower_lip"
	}
	lips := func(s string) bool { return s == "upper_lip" || s == "lower_lip" || s == "both_lips" }
	return area == in || lips(area) && lips(in) && (area == "both_lips" || in == "both_lips")
}
