package templates

import (
	"slices"
	"strings"

	"philtrum/forms/screen"
	"philtrum/locales"
)

// byPen says that a finding may be left to a box above the signatures: an undated wait or an open decide.
func byPen(f screen.Finding) bool {
	return f.Open() && (f.Level == screen.Decide || f.Level == screen.Wait && f.Condition || f.Unknown && f.CouldBe != screen.Stop)
}

func known(f screen.Finding) bool { return !f.Unknown }

func settled(f screen.Finding) bool { return f.Decided != nil || f.Met != nil }

var findingFields = kinds{
	"about": locales.KindRef, "found": locales.KindRef, "action": locales.KindRef, "tell": locales.KindRef, "level": locales.KindRef,
	"until": locales.KindDate, "reason": locales.KindText, "decided_by": locales.KindText,
	"decided_at": locales.KindDateTime, "medicines": locales.KindList, "questions": locales.KindList,
	"asked_why": locales.KindList, "answers": locales.KindRef,
}

var findingFacts = []string{"open", "is_stop", "is_wait", "is_decide", "is_inform", "is_unknown", "is_dated", "is_decided", "is_met"}

func findings(f *Facts, take func(screen.Finding) bool) []item {
	var out []item
	for _, found := range f.Report.Findings {
		if take(found) {
			out = append(out, findingItem(f, found))
		}
	}
	return out
}

func findingItem(f *Facts, found screen.Finding) item {
	base := "rule." + found.Rule
	i := item{late: map[string]late{
		"about":  {base, found.Args},
		"found":  {base + "." + found.Outcome, found.Args},
		"action": {base + "." + found.Outcome + whatToDo, found.Args},
		"tell":   {base + "." + found.Outcome + toTell, found.Args},
	}, values: map[string]locales.Value{
		"level":  term("level", string(found.Level)),
		"until":  dateOr(found.Until),
		"reason": locales.Blank(), "decided_by": locales.Blank(), "decided_at": locales.Blank(),
		"medicines": listOr(fields(found.Medicines, "medicine")),
		"questions": locales.Blank(), "asked_why": locales.Blank(), "answers": f.answers(found.Answers),
	}, facts: map[string]bool{
		"open": found.Open(), "is_stop": found.Level == screen.Stop, "is_wait": found.Level == screen.Wait,
		"is_decide": found.Level == screen.Decide, "is_inform": found.Level == screen.Inform,
		"is_unknown": found.Unknown, "is_dated": !found.Until.IsZero(),
		"is_decided": found.Decided != nil, "is_met": found.Met != nil,
	}}
	if found.Unknown {
		i.values["level"] = term("level", string(found.CouldBe))
		delete(i.late, "found")
		i.values["found"] = locales.Ref("paper.unknown")
	}
	var questions, whys []locales.Value
	for _, m := range found.Missing {
		questions = append(questions, question(m.Question))
		whys = append(whys, locales.RefWith(questionWhy, locales.Args{"question": question(m.Question), "why": term("missing", string(m.Why))}))
	}
	i.values["questions"], i.values["asked_why"] = listOr(questions), listOr(whys)
	if d := found.Decided; d != nil {
		i.values["reason"] = textOr(d.Reason, "decision.reason")
		i.values["decided_by"] = textOr(f.person(d.By).Name, "decision.by")
		i.values["decided_at"] = momentOr(d.At, f)
	} else if m := found.Met; m != nil {
		i.values["reason"] = textOr(m.Note, "condition.note")
		i.values["decided_by"] = textOr(f.person(m.By).Name, "condition.by")
		i.values["decided_at"] = momentOr(m.At, f)
	}
	return i
}

// Endings of messages that a finding may do without: what a practitioner does, and what a patient is told.
const (
	whatToDo = ".do"
	toTell   = ".tell"
)

func optional(id string) bool {
	return strings.HasSuffix(id, whatToDo) || strings.HasSuffix(id, toTell)
}

// questionWhy is a question with the reason for which it has no answer that counts.
const questionWhy = "paper.question_why"

// question is a question's own words. A rule that could not be evaluated waits for no question.
func question(id string) locales.Value {
	if id == "rule_defect" {
		return locales.Ref("rule.defect")
	}
	return locales.Ref("question." + id)
}

func onTheDayItems(f *Facts) []item {
	var out []item
	for _, id := range f.OnTheDay {
		out = append(out, item{values: map[string]locales.Value{"question": question(id)}})
	}
	return out
}

// missing are the questions that open findings wait for, each once.
func missing(f *Facts) []item {
	var out []item
	var seen []string
	for _, found := range f.Report.Findings {
		for _, m := range found.Missing {
			if !found.Open() || slices.Contains(seen, m.Question) {
				continue
			}
			seen = append(seen, m.Question)
			out = append(out, item{values: map[string]locales.Value{
				"question": question(m.Question), "why": term("missing", string(m.Why)),
			}})
		}
	}
	return out
}
