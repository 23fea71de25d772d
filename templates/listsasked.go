package templates

import (
	"slices"
	"strings"

	"philtrum/forms"
	"philtrum/forms/screen"
	"philtrum/locales"
)

// askFields are of a question that is still to be asked. level stands for the heaviest that its answer may
// bring; why says what is wrong with the answer there is.
var askFields = kinds{"question": locales.KindRef, "level": locales.KindRef, "why": locales.KindRef}

var askFacts = []string{"starts", "answered_before", "for_the_day", "is_stop", "is_wait", "is_decide", "is_inform"}

var levels = []screen.Level{screen.Stop, screen.Wait, screen.Decide, screen.Inform}

// manyAsks is more than reads well below one another in one place.
const manyAsks = 8

// columnAsks are the questions for two columns on one page: those that hold something up.
func columnAsks(f *Facts) []item {
	return slices.DeleteFunc(asks(f), func(i item) bool { return i.facts["is_inform"] })
}

// talk are the questions that hold nothing up.
func talk(f *Facts) []item {
	return slices.DeleteFunc(asks(f), func(i item) bool { return !i.facts["is_inform"] })
}

// asks are the questions that wait for an answer, each once, the heaviest first, and then those that are
// answered but have to be asked again on the day. The first question of a level starts it.
func asks(f *Facts) []item {
	waiting := f.Report.Unanswered()
	var out []item
	for _, level := range levels {
		starts := true
		for _, w := range waiting {
			if w.CouldBe == level {
				out = append(out, askItem(w.Question, w.Why, level, starts))
				starts = false
			}
		}
	}
	starts := true
	for _, id := range f.OnTheDay {
		if a, ok := f.Intake.Answer(id); !ok || a.State != forms.Given ||
			slices.ContainsFunc(waiting, func(w screen.Unanswered) bool { return w.Question == id }) {
			continue
		}
		out = append(out, askItem(id, "", "", starts))
		starts = false
	}
	return out
}

func askItem(id string, why screen.MissingWhy, level screen.Level, starts bool) item {
	return item{values: map[string]locales.Value{
		"question": question(id), "level": term("level", string(level)), "why": term("missing", string(why)),
	}, facts: map[string]bool{
		"starts": starts, "for_the_day": level == "", "answered_before": why != "" && why != screen.NotAsked && why != screen.IsBlank,
		"is_stop": level == screen.Stop, "is_wait": level == screen.Wait, "is_decide": level == screen.Decide, "is_inform": level == screen.Inform,
	}}
}

// halves cuts a list for two columns, the first the longer.
func halves(all []item) (first, second []item) {
	n := (len(all) + 1) / 2
	return all[:n], all[n:]
}

// practitionerSection is the part of a form that the practitioner answers.
const practitionerSection = "practitioner"

// unanswered are the questions that open findings wait for.
func unanswered(f *Facts) []item {
	var out []item
	for _, w := range f.Report.Unanswered() {
		out = append(out, item{values: map[string]locales.Value{"question": question(w.Question)}})
	}
	return out
}

// patientAsks are the questions without an answer that the patient can answer.
func patientAsks(f *Facts) []item {
	var out []item
	for _, w := range f.Report.Unanswered() {
		if f.forPatient(w.Question) {
			out = append(out, item{values: map[string]locales.Value{"question": question(w.Question)}})
		}
	}
	return out
}

func (f *Facts) forPatient(id string) bool {
	if w := id; strings.HasPrefix(w, "fact_") || w == "rule_defect" {
		return false
	}
	if f.Intake.Form == nil {
		return true
	}
	for _, s := range f.Intake.Form.Sections {
		if s.ID != practitionerSection {
			continue
		}
		for _, q := range s.Questions {
			if q.ID == id {
				return false
			}
		}
	}
	return true
}

// openStop says that a finding forbids the treatment. No day is named then, whatever dated waits stand beside it.
func openStop(f screen.Finding) bool { return f.Open() && !f.Unknown && f.Level == screen.Stop }

func openDecide(f screen.Finding) bool { return f.Open() && !f.Unknown && f.Level == screen.Decide }

// questionAnswer is a question with what was answered.
const questionAnswer = "paper.question_answer"

// beside sets one text after another.
const beside = "paper.beside"

// answers are questions with their given answers, in words, one after another.
func (f *Facts) answers(ids []string) locales.Value {
	var out []locales.Value
	for _, id := range ids {
		if f.Intake.Form == nil {
			break
		}
		q, ok := f.Intake.Form.Question(id)
		a, answered := f.Intake.Answer(id)
		if !ok || !answered || a.State != forms.Given {
			continue
		}
		if said := saidWords(q, a.Value); len(said) > 0 {
			out = append(out, locales.RefWith(questionAnswer, locales.Args{"question": question(id), "answer": locales.List(said...)}))
		}
	}
	return inRow(out)
}

// inRow sets texts one after another, in halves of halves: messages may not lie deep in one another.
func inRow(all []locales.Value) locales.Value {
	switch n := len(all); n {
	case 0:
		return locales.Blank()
	case 1:
		return all[0]
	default:
		return locales.RefWith(beside, locales.Args{"one": inRow(all[:n/2]), "other": inRow(all[n/2:])})
	}
}

// saidWords are the words of a given answer.
func saidWords(q *forms.Question, v forms.Value) []locales.Value {
	one := func(v locales.Value) []locales.Value { return []locales.Value{v} }
	switch {
	case v.NotApplicable, v.None:
		return one(locales.Ref("paper.not_applicable"))
	case q.Kind == forms.YesNo && v.Yes:
		return one(locales.Ref("paper.yes"))
	case q.Kind == forms.YesNo:
		return one(locales.Ref("paper.no"))
	case q.Kind == forms.OneOf:
		return one(option(q.ID, v.Choice))
	case q.Kind == forms.SomeOf:
		return someWords(q.ID, v.Choices)
	case q.Kind == forms.Medicines:
		return fields(v.Names, "answers."+q.ID)
	case q.Kind == forms.DateKind:
		return one(locales.Partial(v.Date.Year, int(v.Date.Month), v.Date.Day))
	case q.Kind == forms.Number:
		return one(locales.Field(strings.TrimSpace(v.Number.String()+" "+q.Unit), "answers."+q.ID))
	case q.Kind == forms.Entries:
		return entryWords(q, v.Entries)
	case v.Text != "":
		return one(locales.Field(v.Text, "answers."+q.ID))
	}
	return nil
}

func option(id, choice string) locales.Value {
	return locales.Ref("question." + id + ".option." + choice)
}

func someWords(id string, choices []string) []locales.Value {
	var out []locales.Value
	for _, c := range choices {
		out = append(out, option(id, c))
	}
	if len(out) == 0 {
		return []locales.Value{locales.Ref("paper.none")}
	}
	return out
}

// entryWords are the given fields of all entries, one after another; what was answered with no is left out.
func entryWords(q *forms.Question, entries []forms.Entry) []locales.Value {
	var out []locales.Value
	for _, e := range entries {
		for _, field := range q.Fields {
			a, ok := e[field.FieldName()]
			if !ok || a.State != forms.Given || field.Kind == forms.YesNo || field.Kind == forms.SomeOf && len(a.Value.Choices) == 0 {
				continue
			}
			out = append(out, saidWords(field, a.Value)...)
		}
	}
	if len(out) == 0 {
		return []locales.Value{locales.Ref("paper.none")}
	}
	return out
}
