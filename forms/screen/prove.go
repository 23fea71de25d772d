package screen

import (
	"slices"
	"strings"

	"philtrum/forms"
	"philtrum/forms/clinic"
	"philtrum/forms/source"

	"cel.dev/cel-go/cel"
)

// prove compiles every condition of the form and the rules and reports what cannot be true of them.
func (l *loader) prove() {
	base, err := newEnv()
	if err != nil {
		l.ReportAt(source.Span{}, "problem.rule_condition", map[string]any{"why": err.Error()})
		return
	}
	c := &compiler{rules: l.rules, base: base, envs: map[string]*cel.Env{}}
	for _, q := range l.rules.asked {
		if q.When == "" {
			continue
		}
		q.when = l.condition(c, q.When, fieldScope(q), q.Span)
		q.upward = l.rules.upward(q)
	}
	l.circles()
	for i := range l.rules.rules {
		l.proveRule(c, &l.rules.rules[i])
	}
}

// upward are the questions on which a question's own relevance hangs.
func (r *Rules) upward(q *question) []string {
	var up []string
	for _, name := range q.when.reads {
		if q.entry != "" {
			if f, ok := r.byID[q.entry].Field(name); ok {
				up = append(up, f.ID)
				continue
			}
		}
		up = append(up, r.questionsOf(name, "")...)
	}
	return up
}

// circles reports questions that wait for each other.
func (l *loader) circles() {
	done := map[string]bool{}
	var walk func(id string, path []string) bool
	walk = func(id string, path []string) bool {
		if slices.Contains(path, id) {
			l.ReportAt(l.rules.byID[id].Span, "problem.question_circle", map[string]any{"question": id})
			return false
		}
		if done[id] {
			return true
		}
		for _, up := range l.rules.byID[id].upward {
			if !walk(up, append(path, id)) {
				return false
			}
		}
		done[id] = true
		return true
	}
	for _, q := range l.rules.asked {
		if !walk(q.ID, nil) {
			return
		}
	}
}

func (l *loader) proveRule(c *compiler, r *Rule) {
	scope := eachScope(r)
	if r.ForEach != "" {
		if q, ok := l.rules.byID[r.ForEach]; !ok || q.Kind != forms.Entries {
			l.ReportAt(r.Span, "problem.rule_for_each", map[string]any{"question": r.ForEach})
			return
		}
	}
	for _, id := range r.Considers {
		if q, ok := l.rules.byID[id]; !ok || q.entry != "" {
			l.ReportAt(r.Span, "problem.rule_considers", map[string]any{"question": id})
		}
	}
	ids := map[string]bool{}
	for i := range r.Outcomes {
		o := &r.Outcomes[i]
		if ids[o.ID] {
			l.ReportAt(o.Span, "problem.id_twice", map[string]any{"id": o.ID, "line": r.Span.Line})
		}
		ids[o.ID] = true
		o.program = l.condition(c, o.When, scope, o.whenSpan)
		l.proveTest(r, o)
		l.proveAsked(r, o)
		if i > 0 && o.Level.weight() < r.Outcomes[i-1].Level.weight() {
			l.ReportAt(o.Span, "problem.rule_order", map[string]any{"outcome": o.ID})
		}
		if o.Level != Inform && slices.ContainsFunc(r.Visits, func(v string) bool { return slices.Contains(emergencies, v) }) {
			l.ReportAt(o.Span, "problem.rule_emergency", map[string]any{"outcome": o.ID})
		}
	}
}

func (l *loader) proveTest(r *Rule, o *Outcome) {
	key := o.window()
	known := slices.ContainsFunc(clinic.Settings(), func(s clinic.Setting) bool { return s.Kind == clinic.AWindow && s.Key == key })
	switch {
	case key == "":
	case !known && o.Test.Kind == NoTest:
		l.ReportAt(o.Span, "problem.rule_window", map[string]any{"window": key})
	case !known:
		l.ReportAt(o.Test.Span, "problem.rule_window", map[string]any{"window": key})
	}
	if o.Test.Kind == NoTest {
		return
	}
	ahead, ok := l.rules.dateOf(r, o.Test.Date)
	if !ok {
		l.ReportAt(o.Test.Span, "problem.rule_date", map[string]any{"question": o.Test.Date})
	} else if ahead != (o.Test.Kind == Ahead) {
		l.ReportAt(o.Test.Span, "problem.rule_date_side", map[string]any{"question": o.Test.Date})
	}
}

// Dates that no question gives: the day on which the information was handed over, and the day on which the
// clinic itself last dissolved filler.
const (
	informationOn   = "information_on"
	dissolvedHereOn = "dissolved_here_on"
)

func isFactDate(name string) bool { return name == informationOn || name == dissolvedHereOn }

// dateOf says whether name is a date that a rule may test and whether it lies ahead.
func (r *Rules) dateOf(rule *Rule, name string) (ahead, ok bool) {
	if isFactDate(name) {
		return false, true
	}
	if f, each := strings.CutPrefix(name, "each_"); each && rule.ForEach != "" {
		name = rule.ForEach + "." + f
	}
	q, found := r.byID[name]
	if !found || q.Kind != forms.DateKind {
		return false, false
	}
	return q.Ahead, true
}

// proveAsked holds a rule to visits that ask what it needs: otherwise it would be unknown for ever.
func (l *loader) proveAsked(r *Rule, o *Outcome) {
	for _, id := range l.rules.needs(r, o) {
		q := l.rules.byID[id]
		for _, v := range r.Visits {
			if !q.Asks(formVisit(v)) {
				l.ReportAt(o.Span, "problem.rule_not_asked", map[string]any{"question": id, "visit": v})
			}
		}
	}
}

// formVisit is the kind of visit by which the form asks.
func formVisit(v string) string {
	if v == "emergency" {
		return "dissolving"
	}
	return v
}

// needs are the questions that an outcome hangs on, and those that decide whether they are asked.
func (r *Rules) needs(rule *Rule, o *Outcome) []string {
	var ids []string
	for _, name := range o.program.reads {
		ids = append(ids, r.questionsOf(name, rule.ForEach)...)
	}
	if d := o.Test.Date; d != "" && !isFactDate(d) {
		if strings.HasPrefix(d, "each_") {
			d = rule.ForEach
		}
		if _, ok := r.byID[d]; ok {
			ids = append(ids, d)
		}
	}
	for i := 0; i < len(ids); i++ {
		for _, up := range r.byID[ids[i]].upward {
			if !slices.Contains(ids, up) {
				ids = append(ids, up)
			}
		}
	}
	slices.Sort(ids)
	return slices.Compact(ids)
}

// fieldScope and eachScope name the environments of a question's and of a rule's conditions.
func fieldScope(q *question) string {
	if q.entry == "" {
		return formScope
	}
	return "field:" + q.entry
}

func eachScope(r *Rule) string {
	if r.ForEach == "" {
		return formScope
	}
	return "each:" + r.ForEach
}
