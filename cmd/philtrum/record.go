package main

import (
	"slices"
	"time"

	"github.com/spf13/cobra"

	"philtrum/cmd/philtrum/desk"
	"philtrum/forms/clinic"
	"philtrum/forms/measure"
	"philtrum/forms/source"
	"philtrum/forms/visit"
	"philtrum/locales"
)

// newDecide records a decision. The reason may hold a patient's data, so it is asked or read from standard
// input, never taken as an argument.
func (s *session) newDecide() *cobra.Command {
	var decision desk.Decision
	var sawAt, in string
	c := s.command("decide VISIT RULE", func(_ *cobra.Command, args []string) error {
		d, id, rest, err := s.deskAndVisit(args, 1)
		if err != nil {
			return err
		}
		if len(rest) != 1 {
			return wrongUse{"cmd.which_rule", nil}
		}
		decision.Rule = rest[0]
		if err := s.writeIn(d, in); err != nil {
			return err
		}
		if decision.By, err = s.staff(d, decision.By); err != nil {
			return err
		}
		if err := s.howSeen(d, id, &decision, sawAt); err != nil {
			return err
		}
		if decision.Reason, err = s.prompt().Text(s.voice.text("cmd.decide.reason", nil)); err != nil {
			return err
		}
		finding, _, err := d.Finding(id, decision.Rule, decision.Outcome)
		if err != nil {
			return err
		}
		if err := s.told(d, "cmd.decided")(d.Decide(id, decision)); err != nil {
			return err
		}
		return s.nameMedicines(d, finding.Unrecognised)
	})
	c.Flags().StringVar(&decision.Outcome, "outcome", "", s.voice.text("cmd.flag.outcome", nil))
	c.Flags().StringVar(&decision.By, "by", "", s.voice.text("cmd.flag.by", nil))
	c.Flags().StringVar(&decision.Saw, "saw", "", s.voice.text("cmd.flag.saw", nil))
	c.Flags().StringVar(&sawAt, "saw-at", "", s.voice.text("cmd.flag.saw_at", nil))
	c.Flags().StringVar(&decision.Transcribed, "transcribed", "", s.voice.text("cmd.flag.transcribed", nil))
	s.languageTyped(c, &in)
	return c
}

// howSeen is how and when the prescriber saw the patient: flags, or a choice at a terminal where the rule is
// a prescriber's.
func (s *session) howSeen(d *desk.Desk, id string, decision *desk.Decision, at string) (err error) {
	if at != "" {
		if decision.SawAt, err = s.moment(d, at); err != nil {
			return err
		}
	}
	if decision.Saw != "" || !s.terminal {
		return nil
	}
	finding, problems, err := d.Finding(id, decision.Rule, decision.Outcome)
	if err != nil || len(problems) > 0 || finding.Role != clinic.RolePrescriber {
		return err
	}
	words := make([]string, len(visit.Modes))
	for i, mode := range visit.Modes {
		words[i] = s.voice.text("cmd.decide.saw."+mode, nil)
	}
	n, err := s.prompt().Choose(s.voice.text("cmd.flag.saw", nil), words)
	if err == nil {
		decision.Saw = visit.Modes[n]
	}
	return err
}

// noteWords are what `note` can record, and the consent state that each stands for; met is a condition, and
// consent confirmed on the day is consent given again.
var noteWords = map[string]visit.ConsentState{
	"met": "", "consented": visit.Consented, "declined": visit.DeclinedBy, "withdrawn": visit.Withdrawn,
	"stopped": visit.StoppedEarly, "confirmed": visit.Consented,
}

// newNote records what became of a condition or of the consent.
func (s *session) newNote() *cobra.Command {
	var by, outcome, in string
	c := s.command("note VISIT met|consented|confirmed|declined|withdrawn|stopped [RULE]", func(_ *cobra.Command, args []string) error {
		d, id, rest, err := s.afterNeedle(args, 2)
		if err != nil {
			return err
		}
		if len(rest) == 0 {
			return wrongUse{"cmd.note.what", nil}
		}
		state, known := noteWords[rest[0]]
		if !known || (state == "") != (len(rest) == 2) {
			return wrongUse{"cmd.note.what", nil}
		}
		s.writeInAnyway(d, in)
		if by, err = s.anybody(d, by); err != nil {
			return err
		}
		note, err := s.prompt().Text(s.voice.text("cmd.note.note", nil))
		if err != nil {
			return err
		}
		if state == "" {
			return s.told(d, "cmd.noted")(d.Met(id, rest[1], outcome, by, note))
		}
		return s.told(d, "cmd.noted")(d.State(id, state, by, note))
	})
	c.Flags().StringVar(&by, "by", "", s.voice.text("cmd.flag.by", nil))
	c.Flags().StringVar(&outcome, "outcome", "", s.voice.text("cmd.flag.outcome", nil))
	s.languageTyped(c, &in)
	return c
}

// newHanded records that a paper was handed over; reflection runs from it.
func (s *session) newHanded() *cobra.Command {
	var h visit.Handed
	var at string
	c := s.command("handed VISIT PAPER", func(_ *cobra.Command, args []string) error {
		d, id, rest, err := s.afterNeedle(args, 1)
		if err != nil {
			return err
		}
		if len(rest) != 1 || !slices.Contains(desk.Kinds(), rest[0]) {
			return wrongUse{"cmd.which_paper", locales.Args{"papers": s.list(desk.Kinds())}}
		}
		h.Paper = rest[0]
		if h.By, err = s.anybody(d, h.By); err != nil {
			return err
		}
		if h.At, err = s.moment(d, at); err != nil {
			return err
		}
		return s.told(d, "cmd.noted")(d.Handed(id, h))
	})
	c.Flags().StringVar(&h.By, "by", "", s.voice.text("cmd.flag.by", nil))
	c.Flags().StringVar(&h.How, "how", "paper", s.voice.text("cmd.flag.how", nil))
	c.Flags().BoolVar(&h.Explained, "explained", false, s.voice.text("cmd.flag.explained", nil))
	c.Flags().StringVar(&at, "at", "", s.voice.text("cmd.flag.at", nil))
	return c
}

// newClose records the time at which the treatment ended.
func (s *session) newClose() *cobra.Command {
	var by, end string
	c := s.command("close VISIT", func(_ *cobra.Command, args []string) error {
		d, id, _, err := s.afterNeedle(args, 0)
		if err != nil {
			return err
		}
		if by, err = s.anybody(d, by); err != nil {
			return err
		}
		at, err := s.moment(d, end)
		if err != nil {
			return err
		}
		if err := s.told(d, "cmd.closed")(d.Close(id, at, by)); err != nil {
			return err
		}
		return s.tellRemarks(d, id)
	})
	c.Flags().StringVar(&by, "by", "", s.voice.text("cmd.flag.by", nil))
	c.Flags().StringVar(&end, "end", "", s.voice.text("cmd.flag.end", nil))
	return c
}

// deskAndVisit opens the clinic and finds the visit of the first argument.
func (s *session) deskAndVisit(args []string, most int) (*desk.Desk, string, []string, error) {
	d, err := s.desk()
	return s.visitOf(d, err, args, most)
}

// afterNeedle is deskAndVisit for what may never be held up.
func (s *session) afterNeedle(args []string, most int) (*desk.Desk, string, []string, error) {
	d, err := s.deskAfterNeedle()
	return s.visitOf(d, err, args, most)
}

func (s *session) visitOf(d *desk.Desk, err error, args []string, most int) (*desk.Desk, string, []string, error) {
	if err != nil {
		return nil, "", nil, err
	}
	id, rest, err := s.visit(d, args, most)
	return d, id, rest, err
}

// told ends a use case: its problems, its failure, or a line that it is done.
func (s *session) told(d *desk.Desk, done string) func(source.Problems, error) error {
	return func(problems source.Problems, err error) error {
		if err != nil {
			return err
		}
		if len(problems) > 0 {
			return s.refuse(d, problems)
		}
		s.voice.say(done, nil)
		return nil
	}
}

// staff is who does it: --by, or a choice at a terminal.
func (s *session) staff(d *desk.Desk, by string) (string, error) {
	if by != "" {
		return by, nil
	}
	if !s.terminal {
		return "", wrongUse{"cmd.by_whom", nil}
	}
	var ids, names []string
	today := measure.DateOf(s.now(), d.Clinic().Zone)
	for _, p := range d.Staff() {
		if p.Works(today) {
			ids, names = append(ids, p.ID), append(names, p.Name)
		}
	}
	if len(ids) == 0 {
		return "", wrongUse{"cmd.by_whom", nil}
	}
	choice, err := s.prompt().Choose(s.voice.text("cmd.flag.by", nil), names)
	if err != nil {
		return "", err
	}
	return ids[choice], nil
}

// anybody is staff for what may never be held up: a name that is not known is told and kept as it was typed.
func (s *session) anybody(d *desk.Desk, by string) (string, error) {
	by, err := s.staff(d, by)
	if err == nil && !d.Knows(by) {
		s.voice.say("cmd.by_unknown", nil)
	}
	return by, err
}

// moment reads a time of the clinic's zone; empty is now, a clock time is of today.
func (s *session) moment(d *desk.Desk, text string) (time.Time, error) {
	zone := d.Clinic().Zone
	if text == "" {
		return s.now().In(zone).Truncate(time.Minute), nil
	}
	if hour, minute, err := measure.ParseClock(text); err == nil {
		return measure.DateOf(s.now(), zone).In(zone, hour, minute), nil
	}
	at, err := measure.ParseTime(text, zone)
	if err != nil {
		return time.Time{}, wrongUse{"cmd.which_time", nil}
	}
	return at, nil
}

// list is a list of words as a message takes it.
func (s *session) list(words []string) locales.Value {
	values := make([]locales.Value, len(words))
	for i, word := range words {
		values[i] = locales.Text(word)
	}
	return locales.List(values...)
}
