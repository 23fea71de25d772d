package main

import (
	"github.com/spf13/cobra"
)

// newProve proves everything that a clinic may change: form, rules, words, lexicon, places, templates.
func (s *session) newProve() *cobra.Command {
	var asJSON bool
	c := s.command("prove", func(*cobra.Command, []string) error {
		d, err := s.desk()
		if err != nil {
			return err
		}
		problems := d.Prove()
		if asJSON {
			if err := s.voice.json(s.voice.asJSON(problems)); err != nil {
				return err
			}
			if len(problems) > 0 {
				return ended{statusHeld}
			}
			return nil
		}
		if len(problems) > 0 {
			return s.refuse(d, problems)
		}
		s.voice.say("cmd.prove.done", nil)
		return nil
	})
	c.Flags().BoolVar(&asJSON, "json", false, s.voice.text("cmd.flag.json", nil))
	return c
}
