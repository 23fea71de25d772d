package main

import (
	"errors"

	"github.com/spf13/cobra"

	"philtrum/cmd/philtrum/ask"
	"philtrum/cmd/philtrum/desk"
	"philtrum/forms/measure"
	"philtrum/forms/source"
	"philtrum/forms/visit"
	"philtrum/locales"
)

// newIncident records what a report of an adverse event asks for and is still open, and prints the report. Nothing
// holds it up: what stays open is a line to write on.
func (s *session) newIncident() *cobra.Command {
	var r desk.Request
	var from, to string
	c := s.command("incident VISIT", func(_ *cobra.Command, args []string) error {
		r.Page, r.Kinds = s.settings.Page, []string{"adverse"}
		d, id, _, err := s.afterNeedle(args, 0)
		var wrong wrongUse
		if errors.As(err, &wrong) {
			return err // the report is no emergency: a visit that is mistyped is told, and that is all
		}
		if err != nil {
			return s.blankInstead(r.Kinds, r, to, err)
		}
		_, open, err := d.AdverseEvent(id)
		if err != nil {
			return s.blankInstead(r.Kinds, r, to, err)
		}
		node, err := s.nodeFrom(d, from, func() (*source.Node, error) { return s.askOpen(open) })
		if err != nil {
			return err
		}
		noted := s.noteEvent(d, id, node)
		if err := s.printIncident(d, id, r, to); err != nil {
			return err
		}
		return noted
	})
	c.Flags().StringVar(&from, "from", "", s.voice.text("cmd.flag.from", nil))
	c.Flags().StringVar(&r.Language, "lang", "", s.voice.text("adverse.flag.lang", nil))
	c.Flags().StringVar(&to, "to", "", s.voice.text("cmd.flag.to", nil))
	return c
}

// printIncident issues the report and tells where it goes; with files that cannot be read it prints lines to write on.
func (s *session) printIncident(d *desk.Desk, id string, r desk.Request, to string) error {
	issued, problems, err := d.Issue(id, r)
	if err != nil {
		return s.blankInstead(r.Kinds, r, to, s.issueFailure(err, r.Language))
	}
	if len(problems) > 0 {
		return s.blankInstead(r.Kinds, r, to, s.refuse(d, problems))
	}
	if err := s.tellIssued(d, issued, to); err != nil {
		return err
	}
	s.tellEvent(d, id)
	return nil
}

// noteEvent records what was answered. What could not be recorded is told, and the report is printed all the same.
func (s *session) noteEvent(d *desk.Desk, id string, node *source.Node) error {
	_, kept, problems, err := d.NoteEvent(id, node)
	if err != nil {
		return err
	}
	for _, key := range kept {
		s.voice.say("adverse.kept", locales.Args{"field": locales.Text(key)})
	}
	if len(problems) > 0 {
		return s.refuse(d, problems)
	}
	return nil
}

// tellEvent says what is still open, where the report goes, and that nobody has sent it.
func (s *session) tellEvent(d *desk.Desk, id string) {
	e, open, err := d.AdverseEvent(id)
	if err != nil {
		return
	}
	if len(open) > 0 {
		s.voice.say("adverse.open", locales.Args{"fields": s.list(open)})
	}
	for _, route := range d.Routes() {
		s.voice.say(route, nil)
	}
	if len(e.Reports) == 0 {
		s.voice.say("adverse.not_sent", nil)
	}
}

// askOpen asks for the open fields one by one. An empty line leaves one open; the end of the input all that follow.
func (s *session) askOpen(open []string) (*source.Node, error) {
	event := source.Map()
	for _, key := range open {
		value, err := s.askOpenField(key)
		if errors.Is(err, ask.ErrEnded) {
			return event, nil
		}
		if err != nil {
			return nil, err
		}
		if value != "" {
			event.Keys = append(event.Keys, source.Key{Name: key, Value: source.Text(value)})
		}
	}
	return event, nil
}

func (s *session) askOpenField(key string) (string, error) {
	options := map[string][]string{"zone": visit.Lists().Codes(), "side": {"left", "right", "midline"}, "seriousness": visit.Harms}[key]
	label := s.voice.text("cmd.treat.ask."+key, nil)
	if options == nil {
		return s.prompt().Text(label)
	}
	words := []string{s.voice.text("adverse.leave_open", nil)}
	for _, option := range options {
		words = append(words, s.optionWords("treat", option))
	}
	n, err := s.prompt().Choose(label, words)
	if err != nil || n == 0 {
		return "", err
	}
	return options[n-1], nil
}

// newReported records that a report was sent. To whom and under which number is asked, or read from standard input.
func (s *session) newReported() *cobra.Command {
	var r visit.Reported
	c := s.command("reported VISIT", func(_ *cobra.Command, args []string) error {
		d, id, _, err := s.afterNeedle(args, 0)
		if err != nil {
			return err
		}
		if r.By, err = s.anybody(d, r.By); err != nil {
			return err
		}
		if r.On == "" {
			r.On = measure.DateOf(s.now(), d.Clinic().Zone).String()
		} else if _, err := measure.ParseDate(r.On); err != nil {
			return wrongUse{"search.which_day", nil}
		}
		if r.To, err = s.prompt().Text(s.voice.text("adverse.reported.to", nil)); err != nil {
			return err
		}
		r.Reference, err = s.prompt().Text(s.voice.text("adverse.reported.reference", nil))
		if err != nil && !errors.Is(err, ask.ErrEnded) {
			return err
		}
		return s.told(d, "cmd.noted")(d.Reported(id, r))
	})
	c.Flags().StringVar(&r.On, "on", "", s.voice.text("adverse.flag.on", nil))
	c.Flags().StringVar(&r.By, "by", "", s.voice.text("cmd.flag.by", nil))
	return c
}

// offerReport says that a report of the visit's complication can be made, while none is recorded as sent.
func (s *session) offerReport(checked desk.Checked) {
	t := checked.Case.Visit.Treatment
	if t != nil && t.Event != nil && len(t.Event.Reports) == 0 {
		s.voice.say("adverse.offer", locales.Args{"visit": locales.Text(checked.Visit)})
	}
}
