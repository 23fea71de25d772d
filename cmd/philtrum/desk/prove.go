package desk

import (
	"philtrum/forms"
	"philtrum/forms/place"
	"philtrum/forms/screen"
	"philtrum/forms/source"
	"philtrum/locales"
	"philtrum/templates"
)

// Prove loads everything that a clinic may change, its overlay included, and gives every problem: the
// form, the rules against the form, the lexicon, the places, the messages in every language, the
// templates against the messages.
func (d *Desk) Prove() source.Problems {
	problems := locales.Prove(d.data("locales", locales.Default))
	whole := d.whole(problems)
	places, found := place.Load(d.data("place", place.Default))
	problems = append(problems, found...)
	found = d.load()
	problems = append(problems, found...)
	if len(found) == 0 {
		problems = append(problems, d.proveWords(places, whole)...)
	}
	_, unread := d.mark()
	problems = append(problems, unread...)
	for _, kind := range append(append(Kinds(), kindSeal), templates.Variants()...) {
		template, found := d.printer().template(kind)
		problems = append(problems, found...)
		if template != nil {
			problems = append(problems, proveTemplate(template, whole)...)
		}
	}
	return problems
}

// whole are the languages that have every message of the first one. What another lacks is told already, once; what
// uses it would only tell it again.
func (d *Desk) whole(problems source.Problems) []*locales.Printer {
	lacking := map[any]bool{}
	for _, p := range problems {
		if p.ID == "problem.message_missing" || p.ID == "problem.message_group_missing" {
			lacking[p.Args["language"]] = true
		}
	}
	var printers []*locales.Printer
	for _, language := range d.catalogue.Languages() {
		if printer, err := d.catalogue.Printer(language.Tag); err == nil && !lacking[language.Tag] {
			printers = append(printers, printer)
		}
	}
	return printers
}

// proveWords finds questions, rules, places and classes of medicines whose words are missing in a language.
func (d *Desk) proveWords(places *place.Table, whole []*locales.Printer) source.Problems {
	var problems source.Problems
	ids := append(formMessages(d.form), ruleMessages(d.rules)...)
	if places != nil {
		ids = append(ids, places.Messages()...)
	}
	if table, problems := templates.LoadClauses(d.data("templates", templates.Default)); len(problems) == 0 {
		ids = append(ids, table.Messages()...)
	}
	for _, class := range d.lexicon.Classes() {
		ids = append(ids, "medicine.class."+class)
	}
	for _, printer := range whole {
		for _, id := range ids {
			if !printer.Has(id) {
				problems = append(problems, source.Problem{ID: "problem.no_message",
					Args: map[string]any{"message": id, "language": printer.Language().Tag}})
			}
		}
	}
	return problems
}

func proveTemplate(t *templates.Template, whole []*locales.Printer) source.Problems {
	var problems source.Problems
	for _, printer := range whole {
		problems = append(problems, t.Prove(printer)...)
	}
	return problems
}

// formMessages are the words that a form needs.
func formMessages(f *forms.Form) []string {
	var ids []string
	for _, s := range f.Sections {
		ids = append(ids, "section."+s.ID)
		for _, q := range s.Questions {
			ids = append(ids, questionMessages(q)...)
		}
	}
	return ids
}

func questionMessages(q *forms.Question) []string {
	ids := []string{"question." + q.ID, "question." + q.ID + ".why"}
	for _, option := range q.Options {
		ids = append(ids, "question."+q.ID+".option."+option)
	}
	for _, f := range q.Fields {
		ids = append(ids, questionMessages(f)...)
	}
	return ids
}

// ruleMessages are the words that rules need.
func ruleMessages(rules *screen.Rules) []string {
	var ids []string
	for _, rule := range rules.All() {
		ids = append(ids, "rule."+rule.ID)
		if rule.Conflict != "" {
			ids = append(ids, "rule.conflict."+rule.Conflict)
		}
		for _, o := range rule.Outcomes {
			ids = append(ids, "rule."+rule.ID+"."+o.ID, "rule."+rule.ID+"."+o.ID+".do")
			if o.Level == screen.Stop || o.Level == screen.Wait {
				ids = append(ids, "rule."+rule.ID+"."+o.ID+".tell")
			}
			for _, key := range o.Adds.Consent {
				ids = append(ids, "rule.risk."+key)
			}
			for _, key := range o.Adds.Aftercare {
				ids = append(ids, "rule.care."+key)
			}
		}
	}
	return ids
}
