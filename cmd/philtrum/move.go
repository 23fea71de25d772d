package main

import (
	"time"

	"github.com/spf13/cobra"

	"philtrum/locales"
)

// newMove gives a visit another appointment or practitioner and answers with what screening says then: the
// new earliest day, if it is held. The status is that of a check.
func (s *session) newMove() *cobra.Command {
	var at, practitioner string
	c := s.command("move VISIT", func(_ *cobra.Command, args []string) error {
		d, id, _, err := s.deskAndVisit(args, 0)
		if err != nil {
			return err
		}
		if at == "" && practitioner == "" {
			return wrongUse{"cmd.which_time", nil}
		}
		var moment time.Time
		if at != "" {
			if moment, err = s.moment(d, at); err != nil {
				return err
			}
		}
		problems, err := d.Move(id, moment, practitioner)
		if err != nil {
			return err
		}
		if len(problems) > 0 {
			return s.refuse(d, problems)
		}
		checked, err := d.Check(id)
		if err != nil {
			return err
		}
		if len(checked.Problems) > 0 {
			return s.refuse(d, checked.Problems)
		}
		s.voice.result(s.voice.text("cmd.move.done", locales.Args{
			"visit": locales.Text(id), "at": locales.DateTime(checked.Case.Visit.Appointment.In(d.Clinic().Zone)),
		}))
		s.printEnd(checked.Report)
		if checked.Report.Held {
			return ended{statusHeld}
		}
		return nil
	})
	c.Flags().StringVar(&at, "at", "", s.voice.text("cmd.flag.at", nil))
	c.Flags().StringVar(&practitioner, "practitioner", "", s.voice.text("cmd.flag.practitioner", nil))
	return c
}

// newFollowUps lists what people who have left were to follow up.
func (s *session) newFollowUps() *cobra.Command {
	return s.command("followups", func(*cobra.Command, []string) error {
		d, err := s.desk()
		if err != nil {
			return err
		}
		open, err := d.FollowUps()
		if err != nil {
			return err
		}
		if len(open) == 0 {
			s.voice.say("cmd.followups.none", nil)
			return nil
		}
		for _, f := range open {
			s.voice.result(s.voice.text("cmd.followups."+string(f.Why), locales.Args{
				"visit": locales.Text(f.Visit), "person": locales.Text(f.Person), "day": day(f.On),
			}))
		}
		return ended{statusHeld}
	})
}
