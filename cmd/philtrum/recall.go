package main

import (
	"github.com/spf13/cobra"

	"philtrum/cmd/philtrum/desk"
	"philtrum/forms/measure"
)

// newRecall records that a lot was recalled. The reason is asked, or read from standard input.
func (s *session) newRecall() *cobra.Command {
	var r desk.Recall
	var on string
	c := s.command("recall LOT", func(_ *cobra.Command, args []string) error {
		if len(args) != 1 {
			return wrongUse{"search.lot.which", nil}
		}
		d, err := s.desk()
		if err != nil {
			return err
		}
		r.Lot = args[0]
		if r.By, err = s.staff(d, r.By); err != nil {
			return err
		}
		if on != "" {
			if r.On, err = measure.ParseDate(on); err != nil {
				return wrongUse{"search.which_day", nil}
			}
		}
		if r.Reason, err = s.prompt().Text(s.voice.text("search.recall.reason", nil)); err != nil {
			return err
		}
		problems, err := d.Recall(r)
		if isAbout(err, desk.ErrNoLot) {
			return wrongUse{"search.lot.which", nil}
		}
		if err := s.told(d, "search.recall.done")(problems, err); err != nil {
			return err
		}
		a, err := d.Lot(r.Lot, r.Device, desk.Whole)
		if err != nil {
			return err
		}
		return s.printLot(d, a, lotFlags{})
	})
	flags := c.Flags()
	flags.StringVar(&r.Device, "device", "", s.voice.text("search.flag.device", nil))
	flags.StringVar(&r.Item, "item", "", s.voice.text("search.flag.item", nil))
	flags.StringVar(&on, "on", "", s.voice.text("search.flag.recalled_on", nil))
	flags.StringVar(&r.By, "by", "", s.voice.text("cmd.flag.by", nil))
	return c
}

// newReached records that a patient was reached about a recalled lot, or that somebody tried.
func (s *session) newReached() *cobra.Command {
	var reached desk.Reached
	var device, at string
	var tried bool
	c := s.command("reached LOT NUMBER", func(_ *cobra.Command, args []string) error {
		if len(args) != 2 {
			return wrongUse{"search.reached.which", nil}
		}
		d, err := s.deskAfterNeedle()
		if err != nil {
			return err
		}
		if reached.By, err = s.staff(d, reached.By); err != nil {
			return err
		}
		if reached.At, err = s.moment(d, at); err != nil {
			return err
		}
		reached.Answered = !tried
		return s.told(d, "cmd.noted")(d.Reach(args[0], device, args[1], reached))
	})
	flags := c.Flags()
	flags.StringVar(&device, "device", "", s.voice.text("search.flag.device", nil))
	flags.StringVar(&reached.How, "how", "telephone", s.voice.text("search.flag.reached_how", nil))
	flags.BoolVar(&tried, "tried", false, s.voice.text("search.flag.tried", nil))
	flags.StringVar(&reached.By, "by", "", s.voice.text("cmd.flag.by", nil))
	flags.StringVar(&at, "at", "", s.voice.text("cmd.flag.at", nil))
	return c
}
