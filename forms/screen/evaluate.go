package screen

import (
	"slices"
	"sort"
	"strconv"
	"strings"

	"philtrum/forms"
	"philtrum/forms/medicine"
	"philtrum/forms/visit"

	"cel.dev/cel-go/cel"
	"cel.dev/cel-go/common/types"
)

// Evaluate judges a case as of its appointment. It is pure: equal cases give equal reports.
func (r *Rules) Evaluate(c Case) Report {
	m := r.mind(&c)
	report := Report{Appointment: m.day, Kind: c.Visit.Kind, Emergency: c.Visit.Emergency}
	for i := range r.rules {
		rule := &r.rules[i]
		if !slices.Contains(rule.Visits, m.kind) {
			continue
		}
		if rule.ForEach == "" {
			report.Findings = append(report.Findings, m.judge(rule, nil)...)
			continue
		}
		for _, e := range m.entries(r.byID[rule.ForEach]) {
			report.Findings = append(report.Findings, m.judge(rule, e)...)
		}
	}
	sort.SliceStable(report.Findings, func(i, k int) bool {
		return report.Findings[i].Level.weight() < report.Findings[k].Level.weight()
	})
	report.sum(m.kind)
	if report.Held && report.outlived() {
		report.project(r.mind(&c))
	}
	for _, a := range m.relevantQuestions() {
		report.Asked = append(report.Asked, a.Question)
	}
	return report
}

// sum says whether the visit is held and until when. Nothing holds emergency care.
func (r *Report) sum(kind string) {
	if slices.Contains(emergencies, kind) {
		return
	}
	for _, f := range r.Findings {
		if !f.Open() {
			continue
		}
		r.Held = true
		if f.Level == Wait && f.Until.After(r.Earliest) {
			r.Earliest, r.HeldBy = f.Until, f.Rule
		}
	}
}

// outlived says whether a finding waits for an answer that has to be asked anew on the day.
func (r *Report) outlived() bool {
	return slices.ContainsFunc(r.Findings, func(f Finding) bool {
		return slices.ContainsFunc(f.Missing, func(x Missing) bool { return x.Why == Outlived })
	})
}

// project takes the dates that outlived answers already tell into Earliest: an appointment that is moved to
// another day is still held by the dental work of last week, although its answers are asked anew on that day.
func (r *Report) project(m *mind) {
	m.lasting = true
	for i := range m.rules.rules {
		rule := &m.rules.rules[i]
		if !slices.Contains(rule.Visits, m.kind) || !rule.dated() {
			continue
		}
		found := []Finding{}
		if rule.ForEach == "" {
			found = m.judge(rule, nil)
		} else {
			for _, e := range m.entries(m.rules.byID[rule.ForEach]) {
				found = append(found, m.judge(rule, e)...)
			}
		}
		for _, f := range found {
			if f.Level == Wait && f.Open() && f.Until.After(r.Earliest) {
				r.Earliest, r.HeldBy = f.Until, f.Rule
			}
		}
	}
}

// dated says whether a rule has a wait that ends by a date.
func (r *Rule) dated() bool {
	return slices.ContainsFunc(r.Outcomes, func(o Outcome) bool { return o.Level == Wait && o.Test.Kind != NoTest })
}

// judge finds the first outcome that applies, and what the heavier ones still hang on. Once an outcome is
// decided or its condition met, the next one that applies is found as well: a healed cold sore does not hide
// that it healed only yesterday.
func (m *mind) judge(rule *Rule, e *entry) []Finding {
	var found []Finding
	var open []*Outcome
	var lacks []string
	for i := range rule.Outcomes {
		o := &rule.Outcomes[i]
		v := m.outcome(rule, o, e)
		if v.truth == maybe {
			open = append(open, o)
			lacks = append(lacks, v.lacks...)
		}
		if v.truth == yes {
			f := m.finding(rule, o, e)
			if f.Until = v.until; o.Level != Wait {
				f.Until.Year, f.Until.Month, f.Until.Day = 0, 0, 0
			}
			m.settle(&f)
			found = append(found, f)
			if f.Open() || o.Level == Inform {
				break
			}
		}
	}
	if len(open) > 0 {
		f := m.finding(rule, open[0], e)
		f.Unknown, f.CouldBe, f.Level, f.WaitKind = true, open[0].Level, Decide, ""
		f.Condition, f.Adds, f.Medicines = false, Adds{}, nil
		f.Missing = m.reasons(lacks)
		m.settle(&f)
		found = append(found, f)
	}
	return found
}

// outcome joins a condition and its test by three-valued logic.
func (m *mind) outcome(rule *Rule, o *Outcome, e *entry) verdict {
	var scope cel.Activation = m
	if e != nil {
		scope = e
	}
	out, _, err := o.program.Eval(scope)
	when := verdict{truth: maybe}
	switch u := out.(type) {
	case types.Bool:
		when.truth = truthOf(bool(u))
	case *types.Unknown:
		when.lacks = trails(u)
	}
	if err != nil || len(when.lacks) == 0 && when.truth == maybe {
		return verdict{truth: maybe, lacks: []string{defect}}
	}
	test := m.test(e, rule, o.Test)
	switch {
	case when.truth == no || test.truth == no:
		return verdict{truth: no}
	case when.truth == yes && test.truth == yes:
		return verdict{truth: yes, until: test.until}
	}
	return verdict{truth: maybe, lacks: append(when.lacks, test.lacks...)}
}

// defect stands in Missing for a rule that could not be evaluated.
const defect = "rule_defect"

// trails are the questions that an unknown result names, sorted.
func trails(u *types.Unknown) []string {
	var ids []string
	for _, at := range u.IDs() {
		list, _ := u.GetAttributeTrails(at)
		for _, t := range list {
			ids = append(ids, t.Variable())
		}
	}
	slices.Sort(ids)
	return slices.Compact(ids)
}

// reasons names the questions to ask: where a question's own relevance is unknown, those behind it.
func (m *mind) reasons(lacks []string) []Missing {
	var out []Missing
	seen := map[string]bool{}
	var add func(id string)
	add = func(id string) {
		if seen[id] {
			return
		}
		seen[id] = true
		q, ok := m.rules.byID[id]
		switch {
		case !ok && id == defect:
			out = append(out, Missing{id, Defect})
		case !ok:
			out = append(out, Missing{id, NotAsked})
		case q.entry != "":
			out = append(out, Missing{id, IsBlank})
		case m.relevance(q) == perhaps:
			for _, up := range q.upward {
				if m.uncertain(m.rules.byID[up]) {
					add(up)
				}
			}
		default:
			a, asked := m.Intake.Answers[id]
			out = append(out, Missing{id, m.missing(q, a, asked)})
		}
	}
	for _, id := range lacks {
		add(id)
	}
	sort.SliceStable(out, func(i, k int) bool { return out[i].Question < out[k].Question })
	return out
}

// uncertain says whether a question's answer is not known, for whatever reason.
func (m *mind) uncertain(q *question) bool {
	switch m.relevance(q) {
	case irrelevant:
		return false
	case perhaps:
		return true
	}
	a, asked := m.Intake.Answers[q.ID]
	return m.missing(q, a, asked) != ""
}

// finding is what an outcome says, before decisions are looked at.
func (m *mind) finding(rule *Rule, o *Outcome, e *entry) Finding {
	f := Finding{
		Rule: rule.ID, Outcome: o.ID, Level: o.Level, WaitKind: o.Kind, Scope: rule.Scope, Condition: o.Condition,
		Adds: o.Adds.messages(), Source: rule.Source, Trust: rule.Trust, Span: rule.Span, Role: rule.Role, Row: rule.Row,
		refusesInformation: rule.Information, Args: m.args(o),
	}
	f.Answers = append(m.rules.needs(rule, o), rule.Considers...)
	f.Medicines, f.Unrecognised = m.named(o)
	switch rule.ID {
	case improvedRule:
		f.Answers = m.improved()
	case contradictsRule:
		f.Answers = m.contradictions()
	}
	if e != nil && !e.blank && rule.Scope == Zone {
		f.Zone = e.fields["area"].Value.Choice
	}
	f.Digest = m.digest(rule, e, f.Answers)
	return f
}

// Rules whose answers are not those that their condition names.
const (
	improvedRule    = "answers.improved"
	contradictsRule = "answers.contradict"
	// planlessRule finds a review without a plan, to which no consent is given.
	planlessRule = "review.no_plan"
)

// args are the thresholds and the window that an outcome used.
func (m *mind) args(o *Outcome) map[string]string {
	args := map[string]string{}
	for _, name := range o.program.reads {
		if len(name) > 6 && name[:6] == "limit_" {
			args[name[6:]] = m.Clinic.Policy.Thresholds[name[6:]]
		}
	}
	for _, name := range o.program.reads {
		if what, ok := strings.CutPrefix(name, "earlier_"); ok {
			args["answered_on"] = m.earlierAllergy(what).String()
		}
	}
	if key := o.window(); key != "" {
		w := m.window(key)
		args["days"], args["months"] = strconv.Itoa(w.days), strconv.Itoa(w.months)
	}
	return args
}

// named are the medicines behind an outcome: INNs as matched, and the parts that no list knows.
func (m *mind) named(o *Outcome) (inns []string, unrecognised []medicine.Match) {
	for _, name := range o.program.reads {
		lists, class, ok := m.rules.classOf(name)
		if !ok {
			continue
		}
		for _, id := range lists {
			for _, match := range m.list(id).matches {
				switch {
				case match.Recognised && slices.Contains(match.Classes, class):
					inns = append(inns, match.INN)
				case !match.Recognised && class == "unrecognised":
					unrecognised = append(unrecognised, match)
				}
			}
		}
	}
	slices.Sort(inns)
	return slices.Compact(inns), unrecognised
}

// digest is of everything that the rule judged: answers, the entry, and facts that do not change by
// themselves.
func (m *mind) digest(rule *Rule, e *entry, more []string) string {
	ids, facts := m.rules.judged(rule)
	ids = append(slices.Clone(ids), more...)
	var also []string
	for _, name := range facts {
		v, _ := m.ResolveName(name)
		also = append(also, name, text(v))
	}
	answers := m.Intake.Answers
	if e != nil {
		answers = map[string]forms.Answer{}
		for id, a := range m.Intake.Answers {
			answers[id] = a
		}
		for _, f := range e.question.Fields {
			if a, ok := e.fields[f.FieldName()]; ok {
				answers["each."+f.FieldName()] = a
				ids = append(ids, "each."+f.FieldName())
			}
		}
	}
	return visit.Digest(m.Visit.Salt, answers, ids, also...)
}

func text(v any) string {
	switch v := v.(type) {
	case types.Bool:
		return strconv.FormatBool(bool(v))
	case types.Int:
		return strconv.FormatInt(int64(v), 10)
	case types.String:
		return string(v)
	}
	return "unknown"
}
