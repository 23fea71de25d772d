package main

import (
	"github.com/spf13/cobra"

	"philtrum/cmd/philtrum/desk"
	"philtrum/forms/source"
	"philtrum/locales"
)

// newReady looks at everything that has to be right before a day begins, and says what to do about what is not.
func (s *session) newReady() *cobra.Command {
	var tested, asJSON bool
	var by string
	c := s.command("ready", func(*cobra.Command, []string) error {
		d, problems, err := s.openDesk()
		if err != nil {
			return err
		}
		if tested {
			if by, err = s.staff(d, by); err == nil {
				err = d.NightTested(by)
			}
			if err != nil {
				return err
			}
		}
		problems = append(source.Problems{}, problems...)
		if len(problems) == 0 {
			problems = d.Prove()
		}
		list, err := d.Ready(len(problems), d.Folder().Private(), d.Folder().Writable())
		if err != nil {
			return err
		}
		return s.tellReady(list, asJSON)
	})
	c.Flags().BoolVar(&tested, "night-tested", false, s.voice.text("cmd.flag.night_tested", nil))
	c.Flags().StringVar(&by, "by", "", s.voice.text("cmd.flag.by", nil))
	c.Flags().BoolVar(&asJSON, "json", false, s.voice.text("cmd.flag.json", nil))
	return c
}

type readyJSON struct {
	What    string   `json:"what"`
	Open    bool     `json:"open"`
	Message string   `json:"message"`
	Missing []string `json:"missing,omitempty"`
}

func (s *session) tellReady(list []desk.Readiness, asJSON bool) error {
	open, items := 0, []readyJSON{}
	for _, r := range list {
		item := readyJSON{What: r.What, Open: r.Open, Message: s.readyText(r), Missing: r.Words}
		mark := "ready.mark_ok"
		if r.Open {
			mark = "ready.mark_open"
			open++
		}
		items = append(items, item)
		if !asJSON {
			s.voice.result(s.voice.text(mark, locales.Args{"what": locales.Text(item.Message)}))
		}
	}
	if asJSON {
		if err := s.voice.json(items); err != nil {
			return err
		}
	}
	if open == 0 {
		return nil
	}
	s.voice.say("ready.open", locales.Args{"n": locales.Count(open)})
	return ended{statusHeld}
}

// readyText says how one thing stands. A message takes what it needs of what is known.
func (s *session) readyText(r desk.Readiness) string {
	id := "ready." + r.What + ".ok"
	if r.Open {
		id = "ready." + r.What + ".open"
		if (r.What == "night" || r.What == "backup") && r.On.IsZero() {
			id = "ready." + r.What + ".never"
		}
		if r.What == "kit" && len(r.Words) == 0 {
			id = "ready.kit.none"
		}
	}
	known := locales.Args{
		"n": locales.Count(r.Count), "words": s.list(r.Words), "at": locales.DateTime(r.At), "on": locales.Date(r.On.Year, int(r.On.Month), r.On.Day),
	}
	args := locales.Args{}
	wanted, _ := s.voice.printer.Placeholders(id)
	for name := range wanted {
		args[name] = known[name]
	}
	return s.voice.text(id, args)
}
