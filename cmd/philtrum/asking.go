package main

import (
	"errors"
	"strconv"

	"philtrum/cmd/philtrum/ask"
	"philtrum/cmd/philtrum/desk"
	"philtrum/forms"
	"philtrum/forms/screen"
	"philtrum/forms/source"
	"philtrum/forms/visit"
	"philtrum/locales"
)

// asking is one run of ask: who answers and how, what was asked already, and what was found so far.
type asking struct {
	*session
	desk    *desk.Desk
	visit   string
	by, via string
	asked   map[string]bool
	before  []*forms.Question // in the order in which they were asked
	found   map[string]bool   // findings that were there already; nil: not looked yet
}

// errLeft says that a question was left open: nothing is saved.
var errLeft = errors.New("left open")

// asker is a form on the screen at a terminal that can show one, and plain lines elsewhere.
func (s *session) asker() ask.Asker {
	if s.asks == nil {
		s.asks = s.prompt()
		kind, _ := s.environment("TERM")
		if s.terminal && !s.plain && kind != "dumb" && kind != "" {
			s.asks = ask.NewScreen(s.in, s.err, func(id string) string { return s.voice.text(id, nil) })
		}
	}
	return s.asks
}

// onScreen says whether questions come as forms on the screen.
func (s *session) onScreen() bool {
	_, ok := s.asker().(*ask.Screen)
	return ok
}

// all asks until nothing that matters is left unasked. What an answer makes relevant is asked next; whoever goes
// back is asked the question before again.
func (a *asking) all() error {
	a.asked = map[string]bool{}
	a.look()
	var again *forms.Question
	for {
		question, left, err := a.nextQuestion(a.desk, a.visit, a.asked)
		if err != nil {
			return err
		}
		if again != nil {
			question, again = again, nil
		}
		if question == nil {
			a.voice.say("cmd.ask.done", nil)
			return nil
		}
		a.asked[question.ID] = true
		switch err := a.askOne(a.desk, a.visit, question, left, a.by, a.via); {
		case errors.Is(err, ask.ErrBack):
			if n := len(a.before); n > 0 {
				again, a.before = a.before[n-1], a.before[:n-1]
				delete(a.asked, question.ID)
				continue
			}
			again = question
			continue
		case errors.Is(err, ask.ErrStopped):
			a.voice.say("asking.stopped", locales.Args{"visit": locales.Text(a.visit)})
			return nil
		case errors.Is(err, errLeft):
			continue
		case err != nil:
			return err
		}
		a.before = append(a.before, question)
		a.tellFound()
	}
}

// look notes what is found before anything is asked.
func (a *asking) look() {
	if a.terminal {
		a.found, _ = a.findings()
	}
}

// findings are the open ones that no answer is missing for, by rule and outcome.
func (a *asking) findings() (map[string]bool, desk.Checked) {
	checked, err := a.desk.Check(a.visit)
	if err != nil || len(checked.Problems) > 0 {
		return a.found, desk.Checked{}
	}
	now := map[string]bool{}
	for _, f := range checked.Report.Findings {
		if f.Open() && !f.Unknown && f.Level != screen.Inform {
			now[f.Rule] = true
		}
	}
	return now, checked
}

// tellFound says what the last answer has brought about, and notes that it was shown.
func (a *asking) tellFound() {
	if a.found == nil {
		return
	}
	now, checked := a.findings()
	for _, f := range checked.Report.Findings {
		if now[f.Rule] && !a.found[f.Rule] {
			a.asker().Tell(a.voice.text("asking.found", locales.Args{
				"level": locales.Ref("term.level." + string(f.Level)), "title": locales.Ref("rule." + f.Rule)}))
			a.found[f.Rule] = true
		}
	}
	for rule := range a.found {
		if !now[rule] {
			a.asker().Tell(a.voice.text("asking.gone", locales.Args{"title": locales.Ref("rule." + rule)}))
		}
	}
	if a.found = now; checked.Visit != "" && len(now) > 0 {
		_ = a.desk.NoteShown(checked)
	}
}

// fromPaper asks what stands on each page of a questionnaire that was filled in by pen, and notes who typed it.
func (a *asking) fromPaper(typist string) error {
	pages, problems, err := a.desk.PaperPages(a.visit)
	if err != nil {
		return err
	}
	if len(problems) > 0 {
		return a.refuse(a.desk, problems)
	}
	if len(pages) == 0 {
		return wrongUse{"asking.no_paper", nil}
	}
	a.fromSheet = true
	defer func() { a.fromSheet = false }()
	a.asker().Tell(a.voice.text("asking.as_written", nil))
	for _, page := range pages {
		if page.Typed != nil || len(page.Questions) == 0 {
			continue
		}
		a.tellPage(page)
		for i := 0; i < len(page.Questions); i++ {
			q := page.Questions[i]
			a.asker().Tell(q.Number)
			switch err := a.askOne(a.desk, a.visit, q.Question, 0, a.by, "paper"); {
			case errors.Is(err, ask.ErrBack):
				i = max(i-2, -1)
			case errors.Is(err, ask.ErrStopped):
				a.voice.say("asking.stopped", locales.Args{"visit": locales.Text(a.visit)})
				return nil
			case err != nil && !errors.Is(err, errLeft):
				return err
			}
		}
		if problems, err := a.desk.PageBack(a.visit, page.Document, page.Page, visit.FromPaper, typist); err != nil || len(problems) > 0 {
			return a.orRefuse(problems, err)
		}
	}
	a.voice.say("asking.typed", locales.Args{"visit": locales.Text(a.visit)})
	return nil
}

func (a *asking) orRefuse(problems source.Problems, err error) error {
	if err != nil {
		return err
	}
	return a.refuse(a.desk, problems)
}

func (a *asking) tellPage(p desk.PaperPage) {
	a.asker().Tell(a.voice.text("asking.page", locales.Args{
		"page": locales.Text(strconv.Itoa(p.Page)), "of": locales.Text(strconv.Itoa(p.Of))}))
}

// readBack shows what was typed in, page by page, to somebody else, who compares it with the paper.
func (a *asking) readBack(by string) error {
	pages, problems, err := a.desk.PaperPages(a.visit)
	if err != nil || len(problems) > 0 {
		return a.orRefuse(problems, err)
	}
	waits := false
	for _, page := range pages {
		if page.Typed == nil || page.ReadBack {
			continue
		}
		waits = true
		if page.Typed.By == by {
			return wrongUse{"asking.back.only_practitioner", locales.Args{"person": locales.Text(by)}}
		}
		if err := a.comparePage(page); err != nil {
			return err
		}
		if problems, err := a.desk.PageBack(a.visit, page.Document, page.Page, visit.ReadBack, by); err != nil || len(problems) > 0 {
			return a.orRefuse(problems, err)
		}
	}
	if !waits {
		a.voice.say("asking.back.nothing", nil)
		return nil
	}
	a.voice.say("asking.back.done", nil)
	return nil
}

// comparePage shows a page until it stands as it is on the paper; an answer that differs is typed again.
func (a *asking) comparePage(page desk.PaperPage) error {
	a.fromSheet = true
	defer func() { a.fromSheet = false }()
	for {
		a.tellPage(page)
		for _, q := range page.Questions {
			answer, _, err := a.desk.Before(a.visit, q.ID)
			if err != nil {
				return err
			}
			a.asker().Tell(a.voice.text("asking.back.line", locales.Args{"number": locales.Text(q.Number), "question": questionRef(q.ID),
				"answer": locales.Text(a.answerOrEmpty(q.Question, answer))}))
		}
		n, err := a.asker().Choose(a.voice.text("asking.back.right", nil),
			[]string{a.voice.text("asking.back.yes", nil), a.voice.text("asking.back.no", nil)})
		if err != nil || n == 0 {
			return err
		}
		number, err := a.asker().Text(a.voice.text("asking.back.which", nil))
		if err != nil {
			return err
		}
		known := false
		for _, q := range page.Questions {
			if q.Number == number {
				known = true
				if err := a.askOne(a.desk, a.visit, q.Question, 0, a.by, "paper"); err != nil && !errors.Is(err, errLeft) {
					return err
				}
			}
		}
		if !known {
			a.asker().Tell(a.voice.text("asking.back.no_such", nil))
		}
	}
}

// these asks the questions that the command names, whether they have an answer or not, and then the rest.
func (a *asking) these(ids []string) error {
	for _, id := range ids {
		question, known := a.desk.Question(id)
		if !known {
			return wrongUse{"cmd.ask.which", locales.Args{"question": locales.Text(id)}}
		}
		switch err := a.askOne(a.desk, a.visit, question, 0, a.by, a.via); {
		case errors.Is(err, ask.ErrStopped), errors.Is(err, ask.ErrBack):
			a.voice.say("asking.stopped", locales.Args{"visit": locales.Text(a.visit)})
			return nil
		case err != nil && !errors.Is(err, errLeft):
			return err
		}
	}
	return a.all()
}
