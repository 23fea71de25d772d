package main

import (
	"slices"
	"strconv"
	"strings"

	"github.com/spf13/cobra"

	"philtrum/cmd/philtrum/desk"
	"philtrum/cmd/philtrum/folder"
	"philtrum/forms/source"
	"philtrum/locales"
)

// clauseJSON is a clause of `clauses --json`; README.md documents the keys.
type clauseJSON struct {
	Clause   string             `json:"clause"`
	Text     string             `json:"text"`
	State    string             `json:"state"` // served, left_out, open
	Verified bool               `json:"verified"`
	Places   []clausePlaceJSON  `json:"places,omitempty"`
	LeftOut  string             `json:"left_out,omitempty"`
	Sources  []clauseSourceJSON `json:"sources"`
}

type clausePlaceJSON struct {
	Block       string `json:"block"`
	Heading     string `json:"heading,omitempty"`
	Conditional bool   `json:"where_it_applies,omitempty"`
}

type clauseSourceJSON struct {
	Source   string `json:"source"`
	Standing string `json:"standing"`
	Trust    string `json:"trust"`
}

// newClauses prints what a paper has to say, where it says it, and what that rests on. It works with or
// without a clinic folder around.
func (s *session) newClauses() *cobra.Command {
	var asJSON bool
	c := s.command("clauses PAPER", func(_ *cobra.Command, args []string) error {
		if len(args) != 1 || !slices.Contains(desk.Templates(), args[0]) {
			return wrongUse{"cmd.which_paper", locales.Args{"papers": s.list(desk.Templates())}}
		}
		list, err := s.clausesOf(args[0])
		if err != nil {
			return err
		}
		if asJSON {
			err = s.clausesJSON(list)
		} else {
			s.printClauses(args[0], list)
		}
		if err == nil && slices.ContainsFunc(list, desk.Clause.Open) {
			return ended{statusHeld}
		}
		return err
	})
	c.Flags().BoolVar(&asJSON, "json", false, s.voice.text("cmd.flag.json", nil))
	return c
}

func (s *session) clausesOf(kind string) ([]desk.Clause, error) {
	_, err := s.openFolder()
	if isAbout(err, folder.ErrNoClinic) && s.settings.Clinic == "" {
		list, problems := desk.ShippedClauses(kind)
		return list, s.unless(nil, problems)
	}
	d, err := s.desk()
	if err != nil {
		return nil, err
	}
	list, problems := d.Clauses(kind)
	return list, s.unless(d, problems)
}

// unless refuses if there are problems.
func (s *session) unless(d *desk.Desk, problems source.Problems) error {
	if len(problems) == 0 {
		return nil
	}
	return s.refuse(d, problems)
}

func (s *session) printClauses(kind string, list []desk.Clause) {
	line := func(id string, args locales.Args) { s.voice.result("    " + s.voice.text(id, args)) }
	var served, left, open, unverified int
	for _, c := range list {
		s.voice.result(c.ID + "  " + s.voice.text("clause."+c.ID, nil))
		switch {
		case len(c.Places) > 0:
			served++
			line("clause.say.stands", locales.Args{"places": locales.Text(s.clausePlaces(c.Places))})
		case c.LeftOut != "":
			left++
			line("clause.left."+c.LeftOut, nil)
		default:
			open++
			line("clause.say.open", nil)
		}
		for _, r := range c.Sources {
			line("clause.say.rests", locales.Args{"source": locales.Ref("clause.source." + r.Key),
				"standing": locales.Ref("clause.standing." + r.Standing), "trust": locales.Ref("cmd.trust." + r.Trust)})
		}
		if !verified(c) {
			unverified++
			line("clause.say.unverified", nil)
		}
	}
	number := func(n int) locales.Value { return locales.Number(strconv.Itoa(n)) }
	s.voice.result(s.voice.text("clause.say.sum", locales.Args{"paper": locales.Text(kind),
		"served": number(served), "left": number(left), "open": number(open), "unverified": number(unverified)}))
}

// verified says whether something that the clause rests on was read, at first or second hand. Common practice
// claims no source and has nothing to verify.
func verified(c desk.Clause) bool {
	return slices.ContainsFunc(c.Sources, func(r desk.ClauseSource) bool { return r.Trust != "memory" })
}

func (s *session) clausePlaces(places []desk.ClausePlace) string {
	var words []string
	for _, p := range places {
		id := "clause.say.place"
		if p.Heading == "" {
			id = "clause.say.head"
		}
		if p.Conditional {
			id += "_if"
		}
		args := locales.Args{}
		if p.Heading != "" {
			args["heading"] = locales.Text(s.voice.text(p.Heading, nil))
		}
		words = append(words, s.voice.text(id, args))
	}
	return strings.Join(words, "; ")
}

func (s *session) clausesJSON(list []desk.Clause) error {
	all := make([]clauseJSON, 0, len(list))
	for _, c := range list {
		item := clauseJSON{Clause: c.ID, Text: s.voice.text("clause."+c.ID, nil), State: "open", Verified: verified(c)}
		if c.LeftOut != "" {
			item.State, item.LeftOut = "left_out", s.voice.text("clause.left."+c.LeftOut, nil)
		}
		for _, p := range c.Places {
			item.State = "served"
			place := clausePlaceJSON{Block: p.Block, Conditional: p.Conditional}
			if p.Heading != "" {
				place.Heading = s.voice.text(p.Heading, nil)
			}
			item.Places = append(item.Places, place)
		}
		for _, r := range c.Sources {
			item.Sources = append(item.Sources, clauseSourceJSON{s.voice.text("clause.source."+r.Key, nil), r.Standing, r.Trust})
		}
		all = append(all, item)
	}
	return s.voice.json(all)
}
