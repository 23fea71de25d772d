package main

import (
	"github.com/spf13/cobra"

	"philtrum/forms/source"
	"philtrum/forms/visit"
	"philtrum/locales"
)

// newIdentity records by which document name and age were checked, who saw it and when.
func (s *session) newIdentity() *cobra.Command {
	var seen visit.IdentitySeen
	c := s.command("identity VISIT", func(_ *cobra.Command, args []string) error {
		d, id, _, err := s.deskAndVisit(args, 0)
		if err != nil {
			return err
		}
		if seen.Document == "" {
			if seen.Document, err = s.prompt().Text(s.voice.text("cmd.identity.ask", nil)); err != nil {
				return err
			}
		}
		if seen.By, err = s.staff(d, seen.By); err != nil {
			return err
		}
		return s.told(d, "cmd.noted")(d.IdentitySeen(id, seen))
	})
	c.Flags().StringVar(&seen.Document, "document", "", s.voice.text("cmd.flag.document", nil))
	c.Flags().StringVar(&seen.By, "by", "", s.voice.text("cmd.flag.by", nil))
	return c
}

// interpreterFields are what is known of the interpreter of a visit.
var interpreterFields = []field{
	{key: "name"}, {key: "number"}, {key: "language"}, {key: "mode", options: visit.Modes},
	{key: "qualified", options: []string{"yes", "no"}},
}

// newInterpreter records who interprets at a visit: asked, or read from a file or standard input, since a
// name is never an argument.
func (s *session) newInterpreter() *cobra.Command {
	var from string
	c := s.command("interpreter VISIT", func(_ *cobra.Command, args []string) error {
		d, id, _, err := s.deskAndVisit(args, 0)
		if err != nil {
			return err
		}
		node, err := s.nodeFrom(d, from, func() (*source.Node, error) {
			return s.askFields("interpreter", interpreterFields)
		})
		if err != nil {
			return err
		}
		return s.told(d, "cmd.noted")(d.Interpreter(id, node))
	})
	c.Flags().StringVar(&from, "from", "", s.voice.text("cmd.flag.from", locales.Args(nil)))
	return c
}
