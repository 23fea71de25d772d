package main

import (
	"github.com/spf13/cobra"

	"philtrum/cmd/philtrum/desk"
	"philtrum/forms/visit"
)

// languageTyped gives a command that records sentences the flag for their language.
func (s *session) languageTyped(c *cobra.Command, tag *string) {
	c.Flags().StringVar(tag, "in", "", s.voice.text("cmd.flag.in", nil))
}

// writeIn passes that language on, before anything is asked.
func (s *session) writeIn(d *desk.Desk, tag string) error {
	if tag != "" && !visit.IsLanguage(tag) {
		return wrongUse{"problem.language", nil}
	}
	d.WriteIn(tag)
	return nil
}

// writeInAnyway is writeIn for what may never be held up: what is no tag is told, and the clinic's language stands.
func (s *session) writeInAnyway(d *desk.Desk, tag string) {
	if s.writeIn(d, tag) != nil {
		s.voice.say("problem.language", nil)
	}
}
