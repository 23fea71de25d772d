package main

import (
	"github.com/spf13/cobra"

	"philtrum/locales"
)

// newLetter records whether the patient wants a letter to go to the family doctor.
func (s *session) newLetter() *cobra.Command {
	var by string
	c := s.command("letter VISIT yes|no", func(_ *cobra.Command, args []string) error {
		d, id, rest, err := s.afterNeedle(args, 1)
		if err != nil {
			return err
		}
		if len(rest) != 1 || rest[0] != "yes" && rest[0] != "no" {
			return wrongUse{"cmd.letter.answer", locales.Args{"answers": s.list([]string{"yes", "no"})}}
		}
		if by, err = s.staff(d, by); err != nil {
			return err
		}
		return s.told(d, "cmd.noted")(d.Letter(id, rest[0] == "yes", by))
	})
	c.Flags().StringVar(&by, "by", "", s.voice.text("cmd.flag.by", nil))
	return c
}
