package main

import (
	"embed"
	"errors"
	"io/fs"
	"strings"
	"text/tabwriter"

	"github.com/spf13/cobra"

	"philtrum/cmd/philtrum/desk"
	"philtrum/locales"
)

//go:embed demo
var demoData embed.FS

// demoFolder is where the demonstration goes when no folder is named.
const demoFolder = "philtrum-demo"

// newDemo builds the invented clinic, checks its visits and issues what may be issued. Its clock and its ids
// are part of its data, so that every demonstration is the same to the byte.
func (s *session) newDemo() *cobra.Command {
	return s.command("demo [DIR]", func(_ *cobra.Command, args []string) error {
		if len(args) > 1 {
			return wrongUse{"cmd.too_many", nil}
		}
		dir := demoFolder
		if len(args) == 1 {
			dir = args[0]
		}
		data, err := fs.Sub(demoData, "demo")
		if err != nil {
			return err
		}
		shown, problems, err := desk.Demonstrate(s.path(dir), data, s.catalogue)
		if errors.Is(err, desk.ErrOccupied) {
			return wrongUse{"cmd.demo.occupied", locales.Args{"dir": locales.Text(dir)}}
		}
		if err != nil {
			return err
		}
		if len(problems) > 0 {
			return s.refuse(nil, problems)
		}
		if err := s.demoTable(shown); err != nil {
			return err
		}
		s.voice.say("cmd.demo.done", locales.Args{"dir": locales.Text(dir)})
		return nil
	})
}

// demoTable prints what holds whom, and where the papers are.
func (s *session) demoTable(shown desk.Demonstration) error {
	table := tabwriter.NewWriter(s.out, 0, 0, 2, ' ', 0)
	head := []string{"visit", "time", "kind", "holds", "papers"}
	for i, name := range head {
		head[i] = s.voice.text("cmd.demo.head."+name, nil)
	}
	row := func(cells ...string) { _, _ = table.Write([]byte(strings.Join(cells, "\t") + "\n")) }
	row(head...)
	for _, v := range shown.Visits {
		at := s.voice.text("cmd.demo.at", locales.Args{"at": locales.DateTime(v.Checked.Case.Visit.Appointment.In(shown.Zone))})
		kind := s.voice.text("term.visit."+string(v.Checked.Case.Visit.Kind), nil)
		row(v.Checked.Visit, at, kind, s.whatHolds(v.Checked), "")
		for _, paper := range v.Papers {
			row("", "", "", s.voice.text("term.paper."+paper.Kind, nil), shown.Folder.Join(paper.File))
		}
	}
	return table.Flush()
}

// whatHolds names the open findings of a visit, heaviest first.
func (s *session) whatHolds(c desk.Checked) string {
	if len(c.Problems) > 0 {
		return s.voice.text("cmd.problems", locales.Args{"n": locales.Count(len(c.Problems))})
	}
	words, r := []string(nil), c.Report
	for _, f := range r.Findings {
		if !f.Open() {
			continue
		}
		if !f.Unknown {
			words = append(words, s.voice.text("cmd.level."+string(f.Level), nil)+": "+s.voice.text("rule."+f.Rule, nil))
		}
	}
	if n := len(r.Unanswered()); n > 0 {
		words = append(words, s.voice.text("cmd.check.unanswered", locales.Args{"n": locales.Count(n)}))
	}
	switch {
	case len(words) > 0:
		return strings.Join(words, "; ")
	case len(r.Findings) == 0:
		return s.voice.text("cmd.demo.nothing", nil)
	}
	return s.voice.text("cmd.demo.settled", nil)
}
