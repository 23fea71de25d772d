package main

import (
	"github.com/spf13/cobra"

	"philtrum/cmd/philtrum/desk"
	"philtrum/forms/measure"
	"philtrum/locales"
)

// newDue lists what has to be seen to by a day.
func (s *session) newDue() *cobra.Command {
	var on, by string
	var asJSON bool
	c := s.command("due", func(*cobra.Command, []string) error {
		d, err := s.deskAfterNeedle()
		if err != nil {
			return err
		}
		today := measure.DateOf(s.now(), d.Clinic().Zone)
		if on != "" {
			if today, err = measure.ParseDate(on); err != nil {
				return wrongUse{"search.which_day", nil}
			}
		}
		due, err := d.Dues(today)
		if err != nil {
			return err
		}
		s.tellSearched(d)
		return s.printDue(due, by, asJSON)
	})
	c.Flags().StringVar(&on, "on", "", s.voice.text("search.flag.on", nil))
	c.Flags().StringVar(&by, "for", "", s.voice.text("search.flag.for", nil))
	c.Flags().BoolVar(&asJSON, "json", false, s.voice.text("cmd.flag.json", nil))
	return c
}

// dueJSON is what is due as programs read it; README.md documents the keys.
type dueJSON struct {
	Why    string `json:"why"`
	Day    string `json:"day"`
	Visit  string `json:"visit,omitempty"`
	Number string `json:"patient,omitempty"`
	Person string `json:"person,omitempty"`
	Left   bool   `json:"left,omitempty"`
	Item   string `json:"item,omitempty"`
	Lot    string `json:"lot,omitempty"`
	Count  int    `json:"count,omitempty"`
}

func (s *session) printDue(due []desk.Due, by string, asJSON bool) error {
	list := []dueJSON{}
	none := true
	for _, x := range due {
		if by != "" && x.Person != by {
			continue
		}
		none = false
		if asJSON {
			list = append(list, dueJSON{string(x.Why), x.On.String(), x.Visit, x.Number, x.Person, x.Left != "", x.Item, x.Lot, x.Count})
			continue
		}
		line := s.voice.text("search.due."+string(x.Why), s.dueArgs(x))
		switch {
		case x.Visit == "":
		case x.Left != "":
			line += s.voice.text("search.due.left", locales.Args{"number": locales.Text(x.Number), "visit": locales.Text(x.Visit), "person": locales.Text(x.Left)})
		case x.Person != "":
			line += s.voice.text("search.due.of", locales.Args{"number": locales.Text(x.Number), "visit": locales.Text(x.Visit), "person": locales.Text(x.Person)})
		default:
			line += s.voice.text("search.due.of_nobody", locales.Args{"number": locales.Text(x.Number), "visit": locales.Text(x.Visit)})
		}
		s.voice.result(line)
	}
	if asJSON {
		return s.voice.json(list)
	}
	if none {
		s.voice.say("search.due.none", nil)
		return nil
	}
	return ended{statusHeld}
}

func (s *session) dueArgs(x desk.Due) locales.Args {
	args := locales.Args{"day": day(x.On)}
	switch x.Why {
	case desk.DueStock:
		args["item"], args["lot"] = locales.Text(visible(x.Item)), locales.Text(visible(x.Lot))
	case desk.DueKit:
		args["item"], args["lot"] = locales.Ref("term.kit."+x.Item), locales.Text(visible(x.Lot))
	case desk.DueRecall:
		args["lot"], args["n"] = locales.Text(visible(x.Lot)), locales.Count(x.Count)
	case desk.DueUnread:
		delete(args, "day")
	}
	return args
}

// newHandOver records who takes over what somebody leaves open.
func (s *session) newHandOver() *cobra.Command {
	return s.command("handover FROM TO", func(_ *cobra.Command, args []string) error {
		if len(args) != 2 {
			return wrongUse{"search.handover.which", nil}
		}
		d, err := s.desk()
		if err != nil {
			return err
		}
		return s.told(d, "search.handover.done")(d.HandOver(args[0], args[1]))
	})
}
