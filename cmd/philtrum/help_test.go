package main

import (
	"strings"
	"testing"

	"github.com/spf13/cobra"

	"philtrum/locales"
)

// Every command says what it is for, how it is used, and shows an example of itself; in
// the list of commands each stands in one group.
func TestEveryCommandHasAnExample(t *testing.T) {
	catalogue, err := locales.Load(locales.Default)
	if err != nil {
		t.Fatal(err)
	}
	for _, language := range catalogue.Languages() {
		s := &session{catalogue: catalogue, given: map[string]bool{}}
		if err := s.speakIn(language.Tag); err != nil {
			t.Fatal(err)
		}
		root := s.commands()
		for _, c := range root.Commands() {
			complains(t, language.Tag, c)
		}
	}
}

func complains(t *testing.T, language string, c *cobra.Command) {
	t.Helper()
	if c.Name() == "completion" || c.Name() == "help" {
		return
	}
	if c.GroupID == "" && !c.Hidden && c.Parent().Parent() == nil {
		t.Errorf("%s %s: in no group", language, c.Name())
	}
	for _, said := range []string{c.Short, c.Long} {
		if said == "" || strings.HasPrefix(said, "[") {
			t.Errorf("%s %s: says %q", language, c.Name(), said)
		}
	}
	if !c.Hidden && !strings.Contains(c.Example, c.CommandPath()) {
		t.Errorf("%s %s: example %q", language, c.Name(), c.Example)
	}
	for _, below := range c.Commands() {
		complains(t, language, below)
	}
}
