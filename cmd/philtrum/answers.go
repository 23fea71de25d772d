package main

import (
	"slices"

	"github.com/spf13/cobra"

	"philtrum/cmd/philtrum/desk"
	"philtrum/forms"
	"philtrum/forms/measure"
	"philtrum/forms/source"
	"philtrum/locales"
)

// newAsk asks the questions that matter for a visit, one after another, saving each answer; or those that
// are named, whether they have an answer or not.
func (s *session) newAsk() *cobra.Command {
	var by, via, typist string
	var fromPaper, readBack bool
	c := s.command("ask VISIT [QUESTION...]", func(_ *cobra.Command, args []string) error {
		s.keeps = true
		d, id, named, err := s.deskAndVisit(args, len(args))
		if err != nil {
			return err
		}
		a := &asking{session: s, desk: d, visit: id, by: by, via: via}
		s.patientWords = d.PatientLanguage(id)
		if fromPaper || readBack {
			if typist, err = s.anybody(d, typist); err != nil {
				return err
			}
		}
		switch {
		case fromPaper:
			return a.fromPaper(typist)
		case readBack:
			return a.readBack(typist)
		case len(named) > 0:
			return a.these(named)
		}
		return a.all()
	})
	c.Flags().StringVar(&by, "by", "patient", s.voice.text("cmd.flag.answered_by", nil))
	c.Flags().StringVar(&via, "via", "speech", s.voice.text("cmd.flag.via", nil))
	c.Flags().BoolVar(&s.plain, "plain", false, s.voice.text("asking.flag.plain", nil))
	c.Flags().BoolVar(&fromPaper, "from-paper", false, s.voice.text("asking.flag.from_paper", nil))
	c.Flags().StringVar(&typist, "typed-by", "", s.voice.text("asking.flag.typed_by", nil))
	c.Flags().BoolVar(&readBack, "read-back", false, s.voice.text("asking.flag.read_back", nil))
	return c
}

// askOne asks one question and saves the answer. An earlier answer is shown first; whoever changes one behind
// a finding that was shown is asked why.
func (s *session) askOne(d *desk.Desk, id string, question *forms.Question, left int, by, via string) error {
	before, answered, err := d.Before(id, question.ID)
	if err != nil {
		return err
	}
	if text := s.answerWordsOf(question, before); answered && text != "" {
		s.asker().Note(s.voice.text("cmd.ask.before", locales.Args{
			"at": locales.DateTime(before.At.In(d.Clinic().Zone)), "answer": locales.Text(text)}))
	}
	for {
		problems, err := s.tryAnswer(d, id, question, left, by, via)
		if err != nil || len(problems) == 0 {
			return err
		}
		if slices.ContainsFunc(problems, func(p source.Problem) bool { return p.Span.File != "" || p.ID == changeWithoutWhy }) {
			return s.refuse(d, problems) // of the file or of the act, not of what was just said
		}
		_ = s.refuse(d, problems)
	}
}

// changeWithoutWhy ends asking: the person had the question and gave no reason.
const changeWithoutWhy = "problem.change_without_why"

// tryAnswer asks once and saves the answer, unless the form's checks do not take it.
func (s *session) tryAnswer(d *desk.Desk, id string, question *forms.Question, left int, by, via string) (source.Problems, error) {
	answer, err := s.askQuestion(question, left)
	if err != nil {
		return nil, err
	}
	changes, problems, err := d.ChangesShown(id, question.ID, answer)
	if err == nil && changes {
		answer.Why, err = s.asker().Text(s.voice.text("cmd.ask.why", nil))
	}
	if err != nil || len(problems) > 0 {
		return problems, err
	}
	answer.By, answer.Via, answer.At = by, via, s.now()
	return d.Answer(id, question.ID, answer)
}

// nextQuestion is the first question that matters, has no answer that counts, and was not asked in this
// run; left counts those that are open.
func (s *session) nextQuestion(d *desk.Desk, id string, asked map[string]bool) (next *forms.Question, left int, err error) {
	open, problems, err := d.Unanswered(id)
	if err != nil {
		return nil, 0, err
	}
	if len(problems) > 0 {
		return nil, 0, s.refuse(d, problems)
	}
	for _, one := range open {
		if asked[one.ID] {
			continue
		}
		left++
		if next == nil {
			next = one
		}
	}
	return next, left, nil
}

// askQuestion puts one question into words, with why it is asked, and reads its answer. "Don't know" and "rather
// not say" are always among the choices.
func (s *session) askQuestion(q *forms.Question, left int) (forms.Answer, error) {
	p := s.asker()
	label := s.voice.text("question."+q.ID, nil)
	if why := "question." + q.ID + ".why"; s.voice.printer.Has(why) {
		label += "\n    " + s.voice.text(why, nil)
	}
	label = s.beside(label, "question."+q.ID)
	if left > 1 {
		p.Note(s.voice.text("cmd.ask.left", locales.Args{"n": locales.Count(left)}))
	}
	for {
		answer, again, err := s.readAnswer(q, label)
		if err != nil || again == "" {
			return answer, err
		}
		p.Tell(s.voice.text(again, nil))
	}
}

// states are the answers that say that there is none.
var states = []forms.State{forms.Unsure, forms.Declined}

// readAnswer reads one try; again names the message that says why the try did not count.
func (s *session) readAnswer(q *forms.Question, label string) (answer forms.Answer, again string, err error) {
	switch q.Kind {
	case forms.YesNo:
		return s.readChoice(q, label, []string{"yes", "no"})
	case forms.OneOf:
		return s.readChoice(q, label, q.Options)
	case forms.SomeOf:
		return s.readSome(q, label)
	case forms.Medicines:
		return s.readMedicines(q, label)
	case forms.Entries:
		return s.readEntries(q, label)
	}
	return s.readLine(q, label)
}

func given(v forms.Value) forms.Answer { return forms.Answer{State: forms.Given, Value: v} }

// readChoice reads one of options, "don't know", "rather not say" or, where the question has it, "does not
// apply".
func (s *session) readChoice(q *forms.Question, label string, options []string) (forms.Answer, string, error) {
	var words []string
	for _, option := range options {
		words = append(words, s.answerWords(q, option))
	}
	for _, state := range states {
		words = append(words, s.voice.text("cmd.ask."+string(state), nil))
	}
	if q.NotApplicable {
		words = append(words, s.voice.text("cmd.ask.not_applicable", nil))
	}
	blank := len(words)
	if s.fromSheet {
		words = append(words, s.voice.text("asking.blank_here", nil))
	} else if s.onScreen() {
		words = append(words, s.voice.text("asking.leave", nil))
	}
	n, err := s.asker().Choose(label, words)
	switch {
	case err == nil && n == blank && s.fromSheet && q.When == "":
		return forms.Answer{State: forms.Blank}, "", nil
	case err == nil && n == blank:
		return forms.Answer{}, "", errLeft
	case err != nil:
		return forms.Answer{}, "", err
	case n >= len(options)+len(states):
		return given(forms.Value{Kind: q.Kind, NotApplicable: true}), "", nil
	case n >= len(options):
		return forms.Answer{State: states[n-len(options)]}, "", nil
	}
	value := forms.Value{Kind: q.Kind, Choice: options[n]}
	if q.Kind == forms.YesNo {
		value = forms.Value{Kind: q.Kind, Yes: options[n] == "yes"}
	}
	return given(value), "", nil
}

// answerWords are the words of an option.
func (s *session) answerWords(q *forms.Question, option string) string {
	if q.Kind == forms.YesNo {
		return s.voice.text("cmd.ask."+option, nil)
	}
	return s.voice.text("question."+q.ID+".option."+option, nil)
}

// readSome reads any of the options; "none of these" and "don't know" stand among them.
func (s *session) readSome(q *forms.Question, label string) (forms.Answer, string, error) {
	var words []string
	for _, option := range q.Options {
		words = append(words, s.answerWords(q, option))
	}
	words = append(words, s.voice.text("cmd.ask.none", nil), s.voice.text("cmd.ask.unsure", nil))
	chosen, err := s.asker().Some(label, words)
	if err != nil {
		return forms.Answer{}, "", err
	}
	if len(chosen) == 0 {
		return forms.Answer{State: forms.Blank}, "", nil
	}
	var options []string
	for _, n := range chosen {
		switch {
		case n == len(q.Options)+1:
			return forms.Answer{State: forms.Unsure}, "", nil
		case n == len(q.Options) && len(chosen) > 1:
			return forms.Answer{}, "cmd.ask.none_alone", nil
		case n < len(q.Options):
			options = append(options, q.Options[n])
		}
	}
	return given(forms.Value{Kind: q.Kind, Choices: options}), "", nil
}

// readMedicines reads names, one a line. No line at all is a blank, never "none": whoever takes nothing says so.
func (s *session) readMedicines(q *forms.Question, label string) (forms.Answer, string, error) {
	names, err := s.asker().Lines(label + "\n" + s.voice.text(s.howToList(), nil))
	switch {
	case err != nil:
		return forms.Answer{}, "", err
	case len(names) == 0:
		return forms.Answer{State: forms.Blank}, "", nil
	case len(names) == 1 && names[0] == "?":
		return forms.Answer{State: forms.Unsure}, "", nil
	}
	return given(forms.Value{Kind: q.Kind, Names: names}), "", nil
}

// readLine reads a date, number or text; an empty line is a blank, "?" is "don't know".
func (s *session) readLine(q *forms.Question, label string) (forms.Answer, string, error) {
	line, err := s.asker().Text(label + "\n" + s.voice.text("cmd.ask.how."+string(q.Kind), nil))
	switch {
	case err != nil:
		return forms.Answer{}, "", err
	case line == "":
		return forms.Answer{State: forms.Blank}, "", nil
	case line == "?":
		return forms.Answer{State: forms.Unsure}, "", nil
	}
	value := forms.Value{Kind: q.Kind, Text: line}
	switch q.Kind {
	case forms.DateKind:
		if value.Date, err = measure.ParsePartial(line); err != nil {
			return forms.Answer{}, "cmd.ask.a_date", nil
		}
		value.Text = ""
	case forms.Number:
		number, ok := forms.ParseNumber(line)
		if !ok {
			return forms.Answer{}, "cmd.ask.a_decimal", nil
		}
		value.Number = number
		value.Text = ""
	}
	return given(value), "", nil
}

// readEntries reads the elements of a repeated group, field by field, until there is no further one.
func (s *session) readEntries(q *forms.Question, label string) (forms.Answer, string, error) {
	var entries []forms.Entry
	for {
		more, err := s.asker().Choose(label, []string{s.voice.text("cmd.ask.add", nil), s.voice.text("cmd.ask.no_more", nil)})
		if err != nil {
			return forms.Answer{}, "", err
		}
		if more == 1 {
			return given(forms.Value{Kind: q.Kind, Entries: entries}), "", nil
		}
		entry := forms.Entry{}
		for _, f := range q.Fields {
			answer, err := s.askQuestion(f, 0)
			if err != nil {
				return forms.Answer{}, "", err
			}
			entry[f.FieldName()] = answer
		}
		entries = append(entries, entry)
	}
}

// howToList is the message that says how a list is written.
func (s *session) howToList() string {
	if s.onScreen() {
		return "asking.enter_list"
	}
	return "cmd.ask.one_a_line"
}

// beside puts the patient's own words of a message below those of the clinic.
func (s *session) beside(label, id string) string {
	if s.patientWords == "" || s.catalogue == nil {
		return label
	}
	printer, err := s.catalogue.Printer(s.patientWords)
	if err != nil || printer.Language().Tag == s.voice.printer.Language().Tag {
		return label
	}
	words, err := printer.Text(id, nil)
	if err != nil {
		return label
	}
	return label + "\n    " + s.voice.text("asking.in_language", locales.Args{
		"language": locales.Text(printer.Language().Name), "question": locales.Text(words)})
}
