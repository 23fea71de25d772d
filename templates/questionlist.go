package templates

import (
	"slices"
	"strconv"
	"strings"

	"philtrum/forms"
	"philtrum/forms/visit"
	"philtrum/locales"
)

// listed is a question of a questionnaire: which number it has, how deep it stands below the question that
// tells for whom it is meant, and the words that say so.
type listed struct {
	question *forms.Question
	section  string
	number   string
	level    int
	lead     *locales.Value // nil: it is meant for all
	means    []literal
}

// literal is a condition on one answer: yes, no, or a choice that was ticked.
type literal struct {
	question string
	option   string // of a list; empty: yes or no
	no       bool
}

// questionList is what a questionnaire asks at a kind of visit, each question behind the one that tells for whom
// it is meant, with numbers. The practitioner's own questions are left out.
func questionList(form *forms.Form, kind visit.Kind) []listed {
	var all []listed
	for _, s := range form.Sections {
		if s.ID == practitionerSection {
			continue
		}
		for _, q := range s.Questions {
			if q.Asks(string(kind)) {
				all = append(all, listed{question: q, section: s.ID})
			}
		}
	}
	for i := range all {
		all[i].means = literals(all[i].question.When, func(id string) bool { return position(all, id) >= 0 })
	}
	all = besideParents(all)
	number(all)
	for i := range all {
		all[i].lead = leadOf(all, i)
	}
	return all
}

func position(all []listed, id string) int {
	return slices.IndexFunc(all, func(l listed) bool { return l.question.ID == id })
}

// literals are the answers of which one is enough for a question to be meant. Of answers that have to come
// together the last is taken: the others lead to it. What is no answer of the questionnaire is left out.
func literals(when string, known func(string) bool) []literal {
	var out []literal
	for _, way := range strings.Split(when, "||") {
		parts := strings.Split(way, "&&")
		word := strings.TrimSpace(parts[len(parts)-1])
		var l literal
		if option, list, ok := strings.Cut(word, " in "); ok {
			l = literal{question: strings.TrimSpace(list), option: strings.Trim(strings.TrimSpace(option), `"`)}
		} else {
			l.question, l.no = strings.CutPrefix(word, "!")
		}
		if known(l.question) {
			out = append(out, l)
		}
	}
	return out
}

// besideParents moves a question behind the last of those that tell for whom it is meant, and what hangs on it.
func besideParents(all []listed) []listed {
	var out []listed
	for _, l := range all {
		at := len(out)
		for _, one := range l.means {
			if p := position(out, one.question); p >= 0 {
				at = under(out, p)
			} else {
				at = -1 // it comes later
				break
			}
		}
		if at < 0 {
			continue
		}
		if len(l.means) > 0 {
			l.level = out[position(out, l.means[len(l.means)-1].question)].level + 1
			l.section = out[position(out, l.means[len(l.means)-1].question)].section
		} else if l.question.When != "" {
			l.level = 1
		}
		out = slices.Insert(out, at, l)
	}
	left := missingFrom(all, out)
	if len(left) == 0 {
		return out
	}
	if slices.EqualFunc(left, all[len(all)-len(left):], func(a, b listed) bool { return a.question == b.question }) {
		for i := range left { // they wait for one another
			left[i].means, left[i].level = nil, 1
		}
		return append(out, left...)
	}
	return besideParents(append(out, left...))
}

func missingFrom(all, out []listed) []listed {
	var left []listed
	for _, l := range all {
		if position(out, l.question.ID) < 0 {
			left = append(left, l)
		}
	}
	return left
}

// under is the place behind a question and all that stands below it.
func under(all []listed, p int) int {
	end := p + 1
	for end < len(all) && all[end].level > all[p].level {
		end++
	}
	return end
}

// number counts the questions, and those below one of them with a point.
func number(all []listed) {
	counts := []int{}
	for i := range all {
		level := min(all[i].level, len(counts))
		if level == len(counts) {
			counts = append(counts, 0)
		}
		counts = counts[:level+1]
		counts[level]++
		words := make([]string, level+1)
		for k, n := range counts {
			words[k] = strconv.Itoa(n)
		}
		all[i].level, all[i].number = level, strings.Join(words, ".")
	}
}

// leadOf are the words that say for whom a question is meant.
func leadOf(all []listed, i int) *locales.Value {
	l := &all[i]
	switch {
	case l.question.When == "":
		return nil
	case len(l.means) == 0:
		words := locales.Ref("questionnaire.if_meant")
		return &words
	case len(l.means) == 1:
		words := oneLead(all, l.means[0], justAbove(all, position(all, l.means[0].question), i))
		return &words
	}
	lead := oneLead(all, l.means[0], false)
	for _, one := range l.means[1:] {
		lead = locales.RefWith("questionnaire.if_either", locales.Args{"one": lead, "other": oneLead(all, one, false)})
	}
	return &lead
}

// justAbove says whether "if yes" at one question can only mean another: no question that is answered with yes or no
// stands between them.
func justAbove(all []listed, above, here int) bool {
	for _, between := range all[above+1 : here] {
		if between.question.Kind == forms.YesNo {
			return false
		}
	}
	return true
}

// oneLead says one condition; above tells that the question it hangs on stands above.
func oneLead(all []listed, one literal, above bool) locales.Value {
	number := locales.Args{"number": locales.Text(all[position(all, one.question)].number)}
	switch {
	case one.option != "":
		return locales.RefWith("questionnaire.if_ticked", locales.Args{"option": option(one.question, one.option)})
	case above && one.no:
		return locales.Ref("questionnaire.if_no")
	case above:
		return locales.Ref("questionnaire.if_yes")
	case one.no:
		return locales.RefWith("questionnaire.if_no_to", number)
	}
	return locales.RefWith("questionnaire.if_yes_to", number)
}

// Questioned is a question of a questionnaire with the number that the page gives it.
type Questioned struct {
	*forms.Question
	Number string
}

// Questionnaire is what a questionnaire asks at a kind of visit, in the order of its pages.
func Questionnaire(form *forms.Form, kind visit.Kind) []Questioned {
	var out []Questioned
	for _, l := range questionList(form, kind) {
		out = append(out, Questioned{l.question, l.number})
	}
	return out
}
