package main

import (
	"os"

	"github.com/spf13/cobra"
	"github.com/spf13/cobra/doc"

	"philtrum/locales"
)

// newPages writes the manual, a page for each command, for those who package the program.
func (s *session) newPages() *cobra.Command {
	c := s.command("pages DIR", nil)
	c.Hidden = true
	c.RunE = func(_ *cobra.Command, args []string) error {
		if len(args) != 1 {
			return wrongUse{"cmd.pages.which", nil}
		}
		dir := s.path(args[0])
		if err := os.MkdirAll(dir, 0o755); err != nil {
			return err
		}
		now := s.now()
		header := &doc.GenManHeader{Title: "PHILTRUM", Section: "1", Date: &now, Source: "philtrum " + version(), Manual: "Philtrum"}
		root := c.Root()
		root.DisableAutoGenTag = true
		if err := doc.GenManTree(root, header, dir); err != nil {
			return err
		}
		s.voice.say("cmd.pages.done", locales.Args{"dir": locales.Text(args[0])})
		return nil
	}
	return c
}
