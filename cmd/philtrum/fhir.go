package main

import (
	"errors"
	"fmt"
	"io/fs"
	"os"

	"github.com/spf13/cobra"
)

// newFHIR gives a visit as a bundle for other systems: counted, on standard output, or in a file.
func (s *session) newFHIR() *cobra.Command {
	var asJSON, withoutNames bool
	var to string
	c := s.command("fhir VISIT", func(_ *cobra.Command, args []string) error {
		d, id, _, err := s.afterNeedle(args, 0)
		if err != nil {
			return err
		}
		if to != "" {
			if _, err := os.Lstat(s.path(to)); !errors.Is(err, fs.ErrNotExist) {
				return wrongUse{"exchange.exists", nil}
			}
		}
		bundle, problems, err := d.Exchange(id, !withoutNames)
		if err != nil {
			return s.issueFailure(err, d.Clinic().Language)
		}
		var refused error
		if len(problems) > 0 {
			refused = s.refuse(d, problems)
		}
		if bundle.Data == nil {
			return refused
		}
		file := ""
		switch {
		case to != "":
			file = s.path(to)
		case !asJSON:
			for _, c := range bundle.Counts {
				s.voice.result(fmt.Sprintf("%4d  %s", c.N, c.Type))
			}
			return refused
		}
		if err := d.KeepExchange(bundle, file); err != nil {
			return err
		}
		if file == "" {
			if _, err := s.out.Write(bundle.Data); err != nil {
				return err
			}
			return refused
		}
		s.voice.say("exchange.written", nil)
		s.voice.result(file)
		return refused
	})
	c.Flags().BoolVar(&asJSON, "json", false, s.voice.text("cmd.flag.json", nil))
	c.Flags().StringVar(&to, "to", "", s.voice.text("exchange.flag.to", nil))
	c.Flags().BoolVar(&withoutNames, "without-names", false, s.voice.text("exchange.flag.without_names", nil))
	return c
}
