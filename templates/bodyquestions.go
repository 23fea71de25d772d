package templates

import (
	"philtrum/forms"
	"philtrum/forms/source"
	"philtrum/locales"
	"philtrum/templates/layout"
)

// questionsBody is the questions of the visit's form, or what a person says of each page of them.
type questionsBody struct {
	leaf
	page bool
}

func (l *loader) questionsBody(n *source.Node) body {
	return &questionsBody{page: l.r.OneOf(n, "form", "page") == "page"}
}

// texts names one message of each group that the block draws on; the rest hangs on the form.
func (b *questionsBody) texts(visit func(words, string)) {
	visit(words{{message: "questionnaire.lead"}}, "")
	visit(words{{message: "section.today"}}, "")
}

func (b *questionsBody) build(s *scope, m layout.Meta) []layout.Block {
	form := s.c.facts.Intake.Form
	if form == nil {
		return nil
	}
	if b.page {
		return s.pageStatement(m)
	}
	var out []layout.Block
	var open *layout.Questions
	section := ""
	for _, l := range questionList(form, s.c.facts.Visit.Kind) {
		if l.section != section || open == nil {
			section, open = l.section, &layout.Questions{Meta: m}
			out = append(out, &layout.Heading{Meta: m, Level: 2, Text: s.message("section."+section, nil, false)}, open)
		}
		open.Items = append(open.Items, s.asked(l)...)
	}
	if s.c.facts.Issue.Screen {
		out = append(out, s.filledOn(m))
	}
	return out
}

// FilledOn is the name of the field that says on which day a form was filled in.
const FilledOn = "filled_on"

// filledOn asks for the day: some answers hold on their day only.
func (s *scope) filledOn(m layout.Meta) layout.Block {
	words := s.message("questionnaire.filled_on", nil, false)
	p := placed{scope: s, question: &forms.Question{ID: FilledOn, Kind: forms.DateKind}, name: FilledOn, words: plain(words)}
	a := layout.Asked{Text: words}
	p.date(&a)
	a.Boxes = nil
	return &layout.Questions{Meta: m, Items: []layout.Asked{a}}
}

// pageStatement stands at the foot of every page: so it can be proved page by page what was ticked.
func (s *scope) pageStatement(m layout.Meta) []layout.Block {
	tick := func(name, message string) layout.TickBox {
		label := s.message(message, nil, false)
		return layout.TickBox{Label: label, Field: &layout.Field{Name: name, Kind: layout.FieldTick, State: "yes", Tip: plain(label), Paged: true}}
	}
	said := &layout.Questions{Meta: m, Items: []layout.Asked{
		{Level: 1, Listed: true, Boxes: []layout.TickBox{tick("page-read-", "questionnaire.page_read")}},
		{Level: 1, Listed: true, Boxes: []layout.TickBox{tick("page-no-", "questionnaire.all_no")}},
	}}
	if s.c.facts.Issue.Screen {
		return []layout.Block{said}
	}
	initials := &layout.Questions{Meta: m, Items: []layout.Asked{{Lines: 1, Note: s.message("questionnaire.initials", nil, false)}}}
	return []layout.Block{&layout.Columns{Meta: m, Shares: []int{5, 1}, Columns: [][]layout.Block{{said}, {initials}}}}
}

// EntriesAsked is how many entries of a list a questionnaire has room for; common practice, no source.
const EntriesAsked = 3

// asked is a question as the page shows it; a list of entries is several.
func (s *scope) asked(l listed) []layout.Asked {
	q := l.question
	given, _ := s.c.facts.Intake.Answer(q.ID)
	if !s.c.facts.Issue.Filled {
		given = forms.Answer{}
	}
	p := placed{scope: s, question: q, name: q.ID, number: l.number, answer: given}
	head := layout.Asked{Number: s.message("questionnaire.number", locales.Args{"n": locales.Text(l.number)}, false), Level: l.level,
		Text: s.questionText(q, l.lead)}
	if q.Kind != forms.Entries {
		p.fill(&head)
		return []layout.Asked{head}
	}
	out := []layout.Asked{head}
	for n := 1; n <= EntriesAsked; n++ {
		out = append(out, s.entry(l, n, given)...)
	}
	more := layout.Asked{Level: l.level + 1, Listed: true}
	more.Boxes = []layout.TickBox{
		p.box(layout.FieldTick, q.ID+"-more", "yes", "questionnaire.more", len(given.Value.Entries) > EntriesAsked),
		p.box(layout.FieldTick, q.ID+"-unsure", "yes", "paper.not_sure", given.State == forms.Unsure),
	}
	return append(out, more)
}

// entry is the fields of one entry of a list.
func (s *scope) entry(l listed, n int, given forms.Answer) []layout.Asked {
	var out []layout.Asked
	count := locales.Text(string(rune('0' + n)))
	for i, f := range l.question.Fields {
		answer := forms.Answer{}
		if n <= len(given.Value.Entries) {
			answer = given.Value.Entries[n-1][f.FieldName()]
		}
		var lead *locales.Value
		level := l.level + 1
		if means := literals(f.When, func(id string) bool { _, ok := l.question.Field(id); return ok }); len(means) == 1 {
			words := locales.Ref("questionnaire.if_yes")
			if means[0].no {
				words = locales.Ref("questionnaire.if_no")
			}
			lead, level = &words, level+1
		}
		p := placed{scope: s, question: f, name: EntryField(l.question.ID, n, f.FieldName()), number: l.number, entry: &count, answer: answer}
		a := layout.Asked{Level: level, Text: s.questionText(f, lead)}
		if number := s.message("questionnaire.entry", locales.Args{"n": count}, false); i == 0 {
			a.Number = number
		} else {
			a.Within = append(number, layout.Span{Text: " …"})
		}
		p.fill(&a)
		out = append(out, a)
	}
	return out
}

// EntryField is the name of a field of an entry, counted from 1.
func EntryField(question string, n int, field string) string {
	return question + "-" + string(rune('0'+n)) + "-" + field
}

func (s *scope) questionText(q *forms.Question, lead *locales.Value) []layout.Span {
	if lead == nil {
		return s.message("question."+q.ID, nil, false)
	}
	return s.message("questionnaire.followup", locales.Args{"lead": *lead, "question": question(q.ID)}, false)
}
