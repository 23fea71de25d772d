package main

import (
	"fmt"
	"strings"

	"github.com/spf13/cobra"

	"philtrum/cmd/philtrum/desk"
	"philtrum/forms/measure"
)

// Completion in a shell: what stands in the place of an argument is told by the word for it in the line of usage. It
// gives ids, times and the trade's words, never a name.

// mostCompleted is how many visits are offered: those of today and later, the next first.
const mostCompleted = 60

// completed gives what may stand in the next place of a command's arguments.
func (s *session) completed(use string) cobra.CompletionFunc {
	places := strings.Fields(use)[1:]
	return func(c *cobra.Command, args []string, _ string) ([]cobra.Completion, cobra.ShellCompDirective) {
		place := ""
		switch n := len(args); {
		case n < len(places):
			place = places[n]
		case len(places) > 0 && strings.Contains(places[len(places)-1], "..."):
			place = places[len(places)-1]
		}
		switch word := strings.Trim(place, "[].…"); {
		case word == "FILE" || word == "LIST" || word == "DIR":
			return nil, cobra.ShellCompDirectiveDefault
		case word == "VISIT":
			return s.completedVisits(c), cobra.ShellCompDirectiveNoFileComp | cobra.ShellCompDirectiveKeepOrder
		case word == "PAPER":
			return desk.Kinds(), cobra.ShellCompDirectiveNoFileComp | cobra.ShellCompDirectiveKeepOrder
		case word == "TAG":
			return s.completedLanguages(c), cobra.ShellCompDirectiveNoFileComp
		case strings.Contains(word, "|"):
			return strings.Split(word, "|"), cobra.ShellCompDirectiveNoFileComp
		}
		return nil, cobra.ShellCompDirectiveNoFileComp
	}
}

// deskToComplete is the clinic of a command that is being written; nil where there is none.
func (s *session) deskToComplete(c *cobra.Command) *desk.Desk {
	if named := c.Flag("clinic"); named != nil && named.Value.String() != "" {
		s.settings.Clinic = named.Value.String()
	}
	d, _, err := s.openDesk()
	if err != nil {
		return nil
	}
	return d
}

func (s *session) completedVisits(c *cobra.Command) []cobra.Completion {
	d := s.deskToComplete(c)
	if d == nil {
		return nil
	}
	lines, err := d.Visits()
	if err != nil {
		return nil
	}
	today := measure.DateOf(s.now(), d.Clinic().Zone)
	var all []cobra.Completion
	for _, line := range lines {
		at := line.At.In(d.Clinic().Zone)
		if measure.DateOf(at, d.Clinic().Zone).Before(today) || len(all) == mostCompleted {
			continue
		}
		all = append(all, cobra.CompletionWithDesc(line.ID, fmt.Sprintf("%s  %s  %s", at.Format("2006-01-02 15:04"), line.Initials, line.Kind)))
	}
	return all
}

func (s *session) completedStaff(c *cobra.Command) []cobra.Completion {
	d := s.deskToComplete(c)
	if d == nil {
		return nil
	}
	var all []cobra.Completion
	for _, p := range d.Staff() {
		if p.Works(measure.DateOf(s.now(), d.Clinic().Zone)) {
			all = append(all, cobra.CompletionWithDesc(p.ID, p.Name))
		}
	}
	return all
}

func (s *session) completedLanguages(c *cobra.Command) []cobra.Completion {
	_ = s.deskToComplete(c) // the clinic may have languages of its own
	var all []cobra.Completion
	for _, l := range s.catalogue.Languages() {
		all = append(all, cobra.CompletionWithDesc(l.Tag, l.Name))
	}
	return all
}

// completeFlags gives the values of those flags that take one of a few words.
func (s *session) completeFlags(root *cobra.Command) {
	fixed := map[string][]string{
		"paper": desk.Kinds(), "kind": visitKinds, "dates": {"day-month", "month-day"}, "via": {"speech", "paper", "screen", "record"},
		"as": desk.Forms(),
	}
	for _, c := range root.Commands() {
		for _, flag := range []string{"by", "practitioner", "typed-by", "saw"} {
			if c.Flags().Lookup(flag) != nil {
				_ = c.RegisterFlagCompletionFunc(flag, func(c *cobra.Command, _ []string, _ string) ([]cobra.Completion, cobra.ShellCompDirective) {
					return s.completedStaff(c), cobra.ShellCompDirectiveNoFileComp
				})
			}
		}
		if c.Flags().Lookup("in") != nil {
			_ = c.RegisterFlagCompletionFunc("in", func(c *cobra.Command, _ []string, _ string) ([]cobra.Completion, cobra.ShellCompDirective) {
				return s.completedLanguages(c), cobra.ShellCompDirectiveNoFileComp
			})
		}
		for flag, words := range fixed {
			if c.Flags().Lookup(flag) != nil {
				_ = c.RegisterFlagCompletionFunc(flag, cobra.FixedCompletions(words, cobra.ShellCompDirectiveNoFileComp|cobra.ShellCompDirectiveKeepOrder))
			}
		}
	}
}
