package main

import (
	"errors"
	"path/filepath"
	"strconv"

	"github.com/spf13/cobra"

	"philtrum/cmd/philtrum/desk"
	"philtrum/forms"
	"philtrum/locales"
	"philtrum/templates/pdf/read"
)

// newRead takes questionnaires back that were filled in on a screen. What fits nowhere waits in the tray, and the
// status tells.
func (s *session) newRead() *cobra.Command {
	var by, why string
	var dry bool
	c := s.command("read FILE...", func(_ *cobra.Command, args []string) error {
		if len(args) == 0 {
			return wrongUse{"read.which_file", nil}
		}
		d, err := s.desk()
		if err != nil {
			return err
		}
		if by, err = s.anybody(d, by); err != nil {
			return err
		}
		files, err := s.evidence(args)
		if err != nil {
			return err
		}
		held := false
		for i, data := range files {
			open, err := s.takeBack(d, filepath.Base(args[i]), data, by, why, dry)
			if err != nil {
				return err
			}
			held = held || open
		}
		if held {
			return ended{statusHeld}
		}
		return nil
	})
	c.Flags().StringVar(&by, "by", "", s.voice.text("read.flag.by", nil))
	c.Flags().StringVar(&why, "why", "", s.voice.text("read.flag.why", nil))
	c.Flags().BoolVar(&dry, "dry-run", false, s.voice.text("read.flag.dry", nil))
	return c
}

// takeBack takes one file back and says what became of it; held where somebody has to look.
func (s *session) takeBack(d *desk.Desk, name string, data []byte, by, why string, dry bool) (held bool, err error) {
	answer := s.look(childForm, data)
	taken, problems, err := d.TakeBack(desk.Filled{Data: data, Form: answer.Form, Fault: answer.Fault}, by, why, dry)
	if err != nil {
		return true, err
	}
	if len(problems) > 0 {
		return true, s.refuse(d, problems)
	}
	if taken.Why != "" && dry {
		why := locales.Ref("attach.why." + string(taken.Why))
		s.voice.result(s.voice.text("read.would_wait", locales.Args{"file": locales.Text(name), "why": why}))
		return true, nil
	}
	if taken.Why != "" {
		s.tellAttached(name, desk.Attached{Item: taken.Item, Why: taken.Why})
		return true, nil
	}
	s.tellTaken(d, name, taken, dry)
	doubts := len(taken.Unclear)+len(taken.NeedsWhy)+len(taken.Says)+len(taken.More) > 0
	if taken.Checked.Visit == "" {
		return doubts, nil
	}
	if err := s.printChecked(d, []desk.Checked{taken.Checked}); err != nil {
		var e ended
		if errors.As(err, &e) {
			return true, nil
		}
		return true, err
	}
	return doubts, d.NoteShown(taken.Checked)
}

// tellTaken says what is new, what changes, and what a person has to look at.
func (s *session) tellTaken(d *desk.Desk, name string, t desk.Taken, dry bool) {
	head := "read.taken"
	switch {
	case t.Before:
		head = "read.taken_before"
	case dry:
		head = "read.would_take"
	}
	s.voice.result(s.voice.text(head, locales.Args{"file": locales.Text(name), "visit": locales.Text(t.Visit)}))
	for _, c := range t.Changes {
		args := locales.Args{"question": questionRef(c.Question.ID), "answer": locales.Text(s.answerOrEmpty(c.Question, c.Answer))}
		if c.Before.State == "" {
			s.voice.result(s.voice.text("read.new", args))
			continue
		}
		args["before"] = locales.Text(s.answerOrEmpty(c.Question, c.Before))
		s.voice.result(s.voice.text("read.changed", args))
	}
	if t.Same > 0 {
		s.voice.result(s.voice.text("read.same", locales.Args{"n": locales.Count(t.Same)}))
	}
	for _, u := range t.Unclear {
		s.voice.say("read.unclear", locales.Args{"question": questionRef(u.Question), "why": locales.Ref("read.why." + string(u.Why))})
	}
	for _, id := range t.NeedsWhy {
		s.voice.say("read.needs_why", locales.Args{"question": questionRef(id)})
	}
	for _, id := range t.More {
		s.voice.say("read.more", locales.Args{"question": questionRef(id)})
	}
	for _, c := range t.Says {
		s.voice.say("read.page_says", locales.Args{"page": locales.Text(strconv.Itoa(c.Page)), "question": questionRef(c.Question)})
	}
	if left, _, err := d.Unanswered(t.Visit); err == nil && len(left) > 0 && !dry {
		s.voice.result(s.voice.text("read.open", locales.Args{"n": locales.Count(len(left)), "visit": locales.Text(t.Visit)}))
	}
}

// answerOrEmpty are the words of an answer, or those for none.
func (s *session) answerOrEmpty(q *forms.Question, a forms.Answer) string {
	if words := s.answerWordsOf(q, a); words != "" {
		return words
	}
	switch {
	case a.State == forms.Unsure || a.State == forms.Declined:
		return s.voice.text("cmd.ask."+string(a.State), nil)
	case a.State == forms.Given:
		return s.voice.text("cmd.ask.none", nil)
	}
	return s.voice.text("read.left", nil)
}

func questionRef(id string) locales.Value { return locales.Ref("question." + id) }

// formAt reads the fields of a file in this process.
func formAt(data []byte) (read.Form, desk.Why) {
	f, err := read.Open(data)
	if err != nil {
		return read.Form{}, desk.FaultBroken
	}
	if f.Encrypted() {
		return read.Form{}, desk.FaultLocked
	}
	form, err := f.FormOf()
	switch {
	case errors.Is(err, read.ErrNoForm):
		return read.Form{}, desk.FormForeign
	case err != nil:
		return read.Form{}, desk.FaultLarge
	}
	return form, ""
}
