package main

import (
	"slices"

	"github.com/spf13/cobra"

	"philtrum/cmd/philtrum/desk"
	"philtrum/forms/visit"
	"philtrum/locales"
)

// confirming is what a person says of a scan, as flags; what is left open is asked at a terminal.
type confirming struct {
	visit.Confirmation
	signedAt string
}

// newConfirm records that a person has compared the scan of a paper with the original.
func (s *session) newConfirm() *cobra.Command {
	var c confirming
	command := s.command("confirm VISIT PAPER", func(_ *cobra.Command, args []string) error {
		d, id, rest, err := s.afterNeedle(args, 1)
		if err != nil {
			return err
		}
		if len(rest) != 1 {
			return wrongUse{"attach.which_paper", nil}
		}
		return s.confirm(d, id, rest[0], c)
	})
	flags := command.Flags()
	flags.StringVar(&c.By, "by", "", s.voice.text("cmd.flag.by", nil))
	flags.BoolVar(&c.Legible, "legible", false, s.voice.text("attach.flag.legible", nil))
	flags.StringSliceVar(&c.Signed, "signed", nil, s.voice.text("attach.flag.signed", nil))
	flags.StringVar(&c.signedAt, "signed-at", "", s.voice.text("attach.flag.signed_at", nil))
	flags.StringVar(&c.Original, "original", "", s.voice.text("attach.flag.original", nil))
	flags.StringSliceVar(&c.Photos, "photos", nil, s.voice.text("attach.flag.photos", nil))
	flags.StringSliceVar(&c.Decisions, "decision", nil, s.voice.text("attach.flag.decision", nil))
	return command
}

// confirm completes what was said, records it, and says how far the paper is by it.
func (s *session) confirm(d *desk.Desk, id, paper string, c confirming) error {
	for _, list := range []struct{ given, allowed []string }{{c.Signed, visit.Signers}, {c.Photos, visit.PhotoUses}, {c.Decisions, nil}} {
		for _, word := range list.given {
			if list.allowed != nil && !slices.Contains(list.allowed, word) {
				return wrongUse{"attach.which_word", locales.Args{"words": s.list(list.allowed)}}
			}
		}
	}
	if c.Original != "" && !slices.Contains(visit.Originals, c.Original) {
		return wrongUse{"attach.which_word", locales.Args{"words": s.list(visit.Originals)}}
	}
	var err error
	if c.By, err = s.staff(d, c.By); err != nil {
		return err
	}
	if s.terminal {
		if err := s.askConfirmation(d, id, paper, &c); err != nil {
			return err
		}
	}
	if !c.Legible {
		return wrongUse{"attach.not_legible", nil}
	}
	if c.signedAt != "" {
		if c.SignedAt, err = s.moment(d, c.signedAt); err != nil {
			return err
		}
	}
	done, problems, err := d.Confirm(id, paper, c.Confirmation)
	if err != nil {
		return err
	}
	if len(problems) > 0 {
		return s.refuse(d, problems)
	}
	return s.tellConfirmed(id, done)
}

func (s *session) tellConfirmed(id string, done desk.Confirmed) error {
	for _, p := range done.Notices {
		s.voice.say(p.ID, nil)
	}
	s.tellProof(id, done.Proof)
	if done.Consented {
		s.voice.result(s.voice.text("attach.consented", locales.Args{"visit": locales.Text(id)}))
	}
	if !done.Complete() {
		return ended{statusHeld}
	}
	return nil
}

// askConfirmation asks a person what the flags left open.
func (s *session) askConfirmation(d *desk.Desk, id, paper string, c *confirming) error {
	proof, problems, err := d.ProofOf(id, paper)
	if err != nil || len(problems) > 0 {
		return err // told by what follows
	}
	if !c.Legible {
		answer, err := s.prompt().Choose(s.voice.text("attach.ask.legible", nil), s.texts("attach.ask.legible.yes", "attach.ask.legible.no"))
		if err != nil {
			return err
		}
		c.Legible = answer == 0
	}
	ask := func(to *[]string, question, prefix string, words []string) error {
		if len(*to) > 0 || len(words) == 0 {
			return nil
		}
		shown := make([]string, len(words))
		for i, w := range words {
			if shown[i] = w; prefix != "" {
				shown[i] = s.voice.text(prefix+w, nil)
			}
		}
		chosen, err := s.prompt().Some(s.voice.text(question, nil), shown)
		for _, n := range chosen {
			*to = append(*to, words[n])
		}
		return err
	}
	if err := ask(&c.Signed, "attach.ask.signed", "attach.who.", visit.Signers); err != nil {
		return err
	}
	rules, err := d.Transcribed(id)
	if err != nil {
		return err
	}
	if err := ask(&c.Decisions, "attach.ask.decisions", "", rules); err != nil {
		return err
	}
	if proof.Paper.Kind != "consent" {
		return nil
	}
	if err := ask(&c.Photos, "attach.ask.photos", "attach.use.", visit.PhotoUses); err != nil {
		return err
	}
	if c.signedAt == "" {
		c.signedAt, err = s.prompt().Text(s.voice.text("attach.ask.signed_at", nil))
	}
	return err
}

func (s *session) texts(ids ...string) []string {
	out := make([]string, len(ids))
	for i, id := range ids {
		out[i] = s.voice.text(id, nil)
	}
	return out
}
