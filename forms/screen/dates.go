package screen

import (
	"strings"

	"philtrum/forms"
	"philtrum/forms/clinic"
	"philtrum/forms/measure"
)

// truth is the three-valued result of a condition or test.
type truth uint8

const (
	no truth = iota
	yes
	maybe
)

// verdict is a truth with the questions that it lacks and, of a dated test, the day from which it no
// longer holds.
type verdict struct {
	truth truth
	lacks []string
	until measure.Date
}

// test judges a window as of the appointment, each date at its least favourable end.
func (m *mind) test(e *entry, rule *Rule, t Test) verdict {
	if t.Kind == NoTest {
		return verdict{truth: yes}
	}
	date, id, state := m.date(e, rule, t.Date)
	switch state {
	case maybe:
		return verdict{truth: maybe, lacks: []string{id}}
	case no:
		return verdict{truth: no}
	}
	window := m.window(t.Window)
	switch t.Kind {
	case Since:
		// What lies in the past cannot have been later than the day of the appointment.
		last := earlier(date.Latest(), later(m.day, date.Earliest()))
		until := window.after(last)
		return verdict{truth: truthOf(m.day.Before(until)), until: until}
	case Ahead:
		near := window.after(m.day).After(date.Earliest()) && m.day.Before(window.after(date.Latest()))
		return verdict{truth: truthOf(near), until: window.after(date.Latest())}
	}
	return verdict{truth: truthOf(m.day.After(window.after(date.Earliest())))}
}

func truthOf(b bool) truth {
	if b {
		return yes
	}
	return no
}

func earlier(a, b measure.Date) measure.Date {
	if b.Before(a) {
		return b
	}
	return a
}

func later(a, b measure.Date) measure.Date {
	if b.After(a) {
		return b
	}
	return a
}

// span is a window in whole calendar days and months; hours count as the days that they begin.
type span struct{ days, months int }

func (m *mind) window(key string) span {
	if key == "reflection" {
		return span{days: m.reflectionDays()}
	}
	w := m.Clinic.Policy.Windows[key]
	return spanOf(w)
}

func spanOf(w clinic.Window) span {
	return span{days: (w.Hours+23)/24 + w.Days + 7*w.Weeks, months: w.Months}
}

func (s span) after(d measure.Date) measure.Date {
	if s.months > 0 {
		d = d.AddMonths(s.months)
	}
	return d.AddDays(s.days)
}

// date finds a date: yes with the date, maybe with the question that it lacks, no where there is none.
func (m *mind) date(e *entry, rule *Rule, name string) (measure.PartialDate, string, truth) {
	if isFactDate(name) {
		on := m.factDate(name)
		if on.IsZero() {
			return measure.PartialDate{}, "", no
		}
		return measure.PartialDate{Year: on.Year, Month: int(on.Month), Day: on.Day}, "", yes
	}
	if f, each := strings.CutPrefix(name, "each_"); each && e != nil {
		return e.date(m.rules.byID[rule.ForEach+"."+f])
	}
	q := m.rules.byID[name]
	a, asked := m.Intake.Answers[name]
	switch m.relevance(q) {
	case irrelevant:
		return measure.PartialDate{}, "", no
	case perhaps:
		return measure.PartialDate{}, name, maybe
	}
	if m.missing(q, a, asked) != "" {
		return measure.PartialDate{}, name, maybe
	}
	return dateValue(a.Value, name)
}

func (e *entry) date(f *question) (measure.PartialDate, string, truth) {
	switch e.about(f) {
	case irrelevant:
		return measure.PartialDate{}, "", no
	case perhaps:
		return measure.PartialDate{}, e.lacking(f), maybe
	}
	a, ok := e.fields[f.FieldName()]
	if !ok || a.State != forms.Given {
		return measure.PartialDate{}, f.ID, maybe
	}
	return dateValue(a.Value, f.ID)
}

func dateValue(v forms.Value, id string) (measure.PartialDate, string, truth) {
	switch {
	case v.NotApplicable || v.None:
		return measure.PartialDate{}, "", no
	case v.Date.IsZero():
		return measure.PartialDate{}, id, maybe
	}
	return v.Date, "", yes
}
