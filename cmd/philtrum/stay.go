package main

import (
	"github.com/spf13/cobra"

	"philtrum/forms/source"
)

var stayFields = []field{{key: "place"}, {key: "until"}}

// newStay records where the patient will be after the treatment: asked, or read from a file or standard input,
// since where somebody travels is never an argument.
func (s *session) newStay() *cobra.Command {
	var from string
	c := s.command("stay VISIT", func(_ *cobra.Command, args []string) error {
		d, id, _, err := s.afterNeedle(args, 0)
		if err != nil {
			return err
		}
		node, err := s.nodeFrom(d, from, func() (*source.Node, error) { return s.askFields("stay", stayFields) })
		if err != nil {
			return err
		}
		known, problems, err := d.Stay(id, node)
		if err == nil && len(problems) == 0 && !known {
			s.voice.say("cmd.stay.unknown", nil)
		}
		return s.told(d, "cmd.noted")(problems, err)
	})
	c.Flags().StringVar(&from, "from", "", s.voice.text("cmd.flag.from", nil))
	return c
}
