package main

import (
	"github.com/spf13/cobra"

	"philtrum/cmd/philtrum/desk"
	"philtrum/locales"
)

// newForget lists whose time of keeping has passed, and deletes exactly what was listed.
func (s *session) newForget() *cobra.Command {
	var list, by string
	c := s.command("forget", func(*cobra.Command, []string) error {
		d, err := s.desk()
		if err != nil {
			return err
		}
		if list == "" {
			r, problems, err := d.Retention()
			if err == nil && len(problems) > 0 {
				err = s.refuse(d, problems)
			}
			if err != nil {
				return err
			}
			return s.printRetention(r)
		}
		if by, err = s.staff(d, by); err != nil {
			return err
		}
		r, problems, err := d.Forget(list, by)
		if err != nil {
			return err
		}
		if len(problems) > 0 {
			return s.refuse(d, problems)
		}
		n := 0
		for _, e := range r.List {
			if !e.Held {
				n++
			}
		}
		s.voice.say("search.forget.done", locales.Args{"n": locales.Count(n)})
		if len(r.Staying) > 0 {
			s.voice.say("search.forget.scans", locales.Args{"files": s.list(r.Staying)})
		}
		s.voice.say("search.forget.copies", nil)
		return nil
	})
	c.Flags().StringVar(&list, "list", "", s.voice.text("search.flag.list", nil))
	c.Flags().StringVar(&by, "by", "", s.voice.text("cmd.flag.by", nil))
	return c
}

func (s *session) printRetention(r desk.Retention) error {
	s.voice.say("search.forget.years", locales.Args{"years": locales.Count(r.Years), "source": locales.Text(orDash(r.Basis.Source)), "trust": locales.Ref("search.trust." + r.Basis.Trust)})
	for _, e := range r.List {
		id := "search.forget.line"
		if e.Held {
			id = "search.forget.line_held"
		}
		s.voice.result(s.voice.text(id, locales.Args{"number": locales.Text(e.Number), "n": locales.Count(len(e.Visits)), "last": day(e.Last), "until": day(e.Until)}))
	}
	for _, id := range r.Left {
		s.voice.result(s.voice.text("search.forget.left", locales.Args{"id": locales.Text(id)}))
	}
	if r.Token == "" {
		s.voice.say("search.forget.none", nil)
		return nil
	}
	s.voice.say("search.forget.how", locales.Args{"list": locales.Text(r.Token)})
	return nil
}
