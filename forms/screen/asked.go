package screen

import (
	"slices"
	"strings"
)

// Asked is a question of a visit and where its answer stands.
type Asked struct {
	Question string
	State    MissingWhy // "" if the answer counts
	// Perhaps says that answers are missing which decide whether the question matters.
	Perhaps bool
}

// Relevant lists the questions that matter for the visit now, in the order of the form. Fields of entries
// are asked with their entries.
func (r *Rules) Relevant(c Case) []Asked { return r.mind(&c).relevantQuestions() }

func (m *mind) relevantQuestions() []Asked {
	var out []Asked
	for _, q := range m.rules.asked {
		if q.entry != "" || !q.Asks(formVisit(m.kind)) {
			continue
		}
		about := m.relevance(q)
		if about == irrelevant {
			continue
		}
		a, asked := m.Intake.Answers[q.ID]
		out = append(out, Asked{Question: q.ID, State: m.missing(q, a, asked), Perhaps: about == perhaps})
	}
	return out
}

// judged are the questions and the lasting facts that a rule's outcomes look at.
func (r *Rules) judged(rule *Rule) (questions, lasting []string) {
	questions = append(questions, rule.Considers...)
	for i := range rule.Outcomes {
		o := &rule.Outcomes[i]
		questions = append(questions, r.needs(rule, o)...)
		for _, name := range o.program.reads {
			if _, ok := facts[name]; ok && !volatile[name] {
				lasting = append(lasting, name)
			}
		}
	}
	slices.Sort(questions)
	slices.Sort(lasting)
	return slices.Compact(questions), slices.Compact(lasting)
}

// classOf splits a medicine variable into the lists that it looks at and the class.
func (r *Rules) classOf(name string) (lists []string, class string, ok bool) {
	if _, question := r.byID[name]; question {
		return nil, "", false
	}
	for _, prefix := range []string{"takes_", "several_"} {
		if class, ok := strings.CutPrefix(name, prefix); ok {
			return r.meds, class, true
		}
	}
	for _, q := range r.meds {
		if class, ok := strings.CutPrefix(name, q+"_"); ok {
			return []string{q}, class, true
		}
	}
	return nil, "", false
}
