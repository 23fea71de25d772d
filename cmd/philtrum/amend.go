package main

import (
	"errors"

	"github.com/spf13/cobra"

	"philtrum/cmd/philtrum/desk"
	"philtrum/forms/source"
	"philtrum/forms/visit"
	"philtrum/locales"
)

// newAmend corrects a value of a record, or explains an edit by hand. Value and reason may hold a patient's data,
// so they are asked or read from standard input, never taken as arguments.
func (s *session) newAmend() *cobra.Command {
	var a visit.Amendment
	var edited bool
	c := s.command("amend VISIT VALUE", func(_ *cobra.Command, args []string) error {
		if edited {
			return s.explainEdit(args, a.By)
		}
		d, id, rest, err := s.afterNeedle(args, 1)
		if err != nil {
			return err
		}
		if len(rest) != 1 {
			return wrongUse{"amend.which_value", nil}
		}
		a.Where = rest[0]
		if a.By, err = s.anybody(d, a.By); err != nil {
			return err
		}
		was, problems, err := d.Recorded(id, a.Where)
		if err != nil || len(problems) > 0 {
			return s.told(d, "")(problems, err)
		}
		if was == "" {
			s.prompt().Tell(s.voice.text("amend.was_nothing", nil))
		} else {
			s.prompt().Tell(s.voice.text("amend.was", locales.Args{"was": locales.Text(was)}))
		}
		if a.Now, err = s.prompt().Text(s.voice.text("amend.now", nil)); err != nil {
			return err
		}
		if a.Why, err = s.prompt().Text(s.voice.text("amend.why", nil)); err != nil {
			return err
		}
		return s.told(d, "amend.done")(d.Amend(id, a))
	})
	c.Flags().StringVar(&a.By, "by", "", s.voice.text("cmd.flag.by", nil))
	c.Flags().BoolVar(&edited, "edited", false, s.voice.text("cmd.flag.edited", nil))
	return c
}

// explainEdit says who edited a file by hand, and why. The id may be a patient's.
func (s *session) explainEdit(args []string, by string) error {
	d, err := s.deskAfterNeedle()
	if err != nil {
		return err
	}
	if len(args) != 1 {
		return wrongUse{"amend.which_file", nil}
	}
	id, err := d.Resolve(args[0])
	if errors.Is(err, desk.ErrNoVisit) {
		id, err = args[0], nil
	}
	if err != nil {
		return err
	}
	if by, err = s.anybody(d, by); err != nil {
		return err
	}
	why, err := s.prompt().Text(s.voice.text("amend.why", nil))
	if err != nil {
		return err
	}
	problems, err := d.Explain(id, by, why)
	if errors.Is(err, desk.ErrNoVisit) {
		return s.refuse(d, source.Problems{{ID: "amend.no_file"}})
	}
	return s.told(d, "amend.explained")(problems, err)
}
