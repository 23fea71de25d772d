package main

import (
	"strings"

	"github.com/spf13/cobra"

	"philtrum/cmd/philtrum/desk"
	"philtrum/locales"
)

// newCase shows everything that happened with a patient in order of time, and holds it.
func (s *session) newCase() *cobra.Command {
	var hold, release bool
	var by string
	c := s.command("case NUMBER", func(_ *cobra.Command, args []string) error {
		if hold && release {
			return wrongUse{"search.case.which", nil}
		}
		d, id, err := s.deskAndPerson(args)
		if err != nil {
			return err
		}
		switch {
		case hold:
			if by, err = s.staff(d, by); err != nil {
				return err
			}
			reason, err := s.prompt().Text(s.voice.text("search.case.reason", nil))
			if err != nil {
				return err
			}
			return s.told(d, "search.case.held_now")(d.Hold(id, by, reason))
		case release:
			if by, err = s.staff(d, by); err != nil {
				return err
			}
			return s.told(d, "search.case.released_now")(d.Release(id, by))
		}
		dossier, err := d.Dossier(id)
		if err != nil {
			return err
		}
		s.tellSearched(d)
		return s.printCase(d, dossier)
	})
	c.Flags().BoolVar(&hold, "hold", false, s.voice.text("search.flag.hold", nil))
	c.Flags().BoolVar(&release, "release", false, s.voice.text("search.flag.release", nil))
	c.Flags().StringVar(&by, "by", "", s.voice.text("cmd.flag.by", nil))
	return c
}

func (s *session) printCase(d *desk.Desk, c desk.Dossier) error {
	s.voice.result(s.voice.text("search.case.head", locales.Args{"number": locales.Text(c.Number)}))
	if c.Hold != nil {
		s.voice.result(s.voice.text("search.case.held", locales.Args{"at": locales.DateTime(c.Hold.At.In(d.Clinic().Zone)), "by": locales.Text(c.Hold.By)}))
	}
	for _, step := range c.Steps {
		s.voice.result(s.step(d, step))
	}
	for _, id := range c.Changed {
		s.voice.result(s.voice.text("search.case.changed", locales.Args{"visit": locales.Text(id)}))
	}
	if c.ChainBroken {
		s.voice.say("search.case.chain", nil)
	}
	if len(c.Problems) > 0 {
		return s.refuse(d, c.Problems)
	}
	if c.ChainBroken {
		return ended{statusHeld}
	}
	return nil
}

// step is one line of the timeline: when, what, which visit, who, and what was written down.
func (s *session) step(d *desk.Desk, x desk.Step) string {
	parts := []string{x.At.In(d.Clinic().Zone).Format("2006-01-02 15:04"), s.stepWord(x)}
	if x.Visit != "" {
		parts = append(parts, x.Visit)
	}
	if x.By != "" {
		parts = append(parts, s.voice.text("search.case.by", locales.Args{"by": locales.Text(x.By)}))
	}
	if x.Entry > 0 {
		parts = append(parts, s.voice.text("search.case.entry", locales.Args{"n": locales.Text(itoa(int64(x.Entry))), "digest": locales.Text(orDash(x.Digest[:min(12, len(x.Digest))]))}))
	}
	line := strings.Join(parts, "  ")
	if x.Words != "" {
		line += "\n                  " + visible(x.Words)
	}
	return line
}

// stepWord says what happened; words of the trade are in the tool's language, ids as they are.
func (s *session) stepWord(x desk.Step) string {
	detail := locales.AsWritten(orDash(x.Detail), "")
	group := map[string]string{"appointment": "term.visit.", "handed": "term.paper.", "consent": "term.consent.", "check": "term.check."}[x.What]
	if group != "" && s.voice.printer.Has(group+x.Detail) {
		detail = locales.Ref(group + x.Detail)
	}
	if x.What == "start" || x.What == "end" {
		return s.voice.text("search.case.step."+x.What, nil)
	}
	return s.voice.text("search.case.step."+x.What, locales.Args{"detail": detail})
}

// newCopy writes everything that is kept about a patient into one file, for the patient.
func (s *session) newCopy() *cobra.Command {
	var to string
	c := s.command("copy NUMBER", func(_ *cobra.Command, args []string) error {
		d, id, err := s.deskAndPerson(args)
		if err != nil {
			return err
		}
		own, err := d.OwnCopy(id)
		if err != nil {
			return err
		}
		list, err := s.copyList(d, own)
		if err != nil {
			return err
		}
		file, err := d.KeepCopy(own, s.path(to), list)
		if err != nil {
			return err
		}
		for _, third := range own.Third {
			word := "search.copy.third_maybe"
			switch {
			case third.Key == "":
				word = "search.copy.third_unread"
			case third.Sure:
				word = "search.copy.third"
			}
			args := locales.Args{"file": locales.Text(third.File)}
			if third.Key != "" {
				args["line"], args["key"] = locales.Text(itoa(int64(third.Line))), locales.Text(third.Key)
			}
			s.voice.say(word, args)
		}
		s.voice.say("search.copy.done", locales.Args{"n": locales.Count(len(own.Files))})
		s.voice.result(file)
		return nil
	})
	c.Flags().StringVar(&to, "to", ".", s.voice.text("cmd.flag.to", nil))
	return c
}

// copyList is the list in front of a copy, in the language that the patient reads where there is one for it.
func (s *session) copyList(d *desk.Desk, c desk.OwnCopy) (string, error) {
	printer, err := s.catalogue.Printer(c.Reads)
	if err != nil {
		if printer, err = s.catalogue.Printer(d.Clinic().Language); err != nil {
			return "", err
		}
	}
	v := voice{printer: printer}
	var w strings.Builder
	line := func(id string, args locales.Args) { w.WriteString(v.text(id, args) + "\n") }
	line("search.copy.list.head", locales.Args{"clinic": locales.Text(d.Clinic().Name), "at": locales.DateTime(s.now().In(d.Clinic().Zone))})
	line("search.copy.list.rights", nil)
	w.WriteString("\n")
	for _, what := range []string{"patient", "visit", "paper", "other", "recall", "journal"} {
		var names []string
		for _, f := range c.Files {
			if f.What == what {
				names = append(names, f.Name)
			}
		}
		if len(names) == 0 {
			continue
		}
		line("search.copy.list."+what, locales.Args{"n": locales.Count(len(names))})
		for _, name := range names {
			w.WriteString("  " + name + "\n")
		}
	}
	return w.String(), nil
}
