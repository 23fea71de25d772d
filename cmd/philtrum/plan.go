package main

import (
	"slices"

	"github.com/spf13/cobra"

	"philtrum/cmd/philtrum/desk"
	"philtrum/forms/measure"
	"philtrum/forms/source"
	"philtrum/forms/visit"
	"philtrum/locales"
)

// newPlan records what is planned: asked at the terminal, or read from a file or standard input. What the plan
// says beyond a consent that was given is told at once.
func (s *session) newPlan() *cobra.Command {
	var from, in string
	c := s.command("plan VISIT", func(_ *cobra.Command, args []string) error {
		d, id, _, err := s.deskAndVisit(args, 0)
		if err != nil {
			return err
		}
		if err := s.writeIn(d, in); err != nil {
			return err
		}
		node, err := s.nodeFrom(d, from, func() (node *source.Node, err error) {
			if node, err = s.askFields("plan", planFields(products(d.Stock()))); err != nil {
				return nil, err
			}
			return node, s.askExamined(node)
		})
		if err != nil {
			return err
		}
		if err := s.told(d, "cmd.noted")(d.Plan(id, node)); err != nil {
			return err
		}
		return s.tellPlan(d, id)
	})
	c.Flags().StringVar(&from, "from", "", s.voice.text("cmd.flag.from", nil))
	s.languageTyped(c, &in)
	return c
}

// planFields are what consent will cover, and how the treatment goes on.
func planFields(products []string) []field {
	return []field{
		{key: "wish"}, {key: "zones", options: visit.Lists().Codes(), several: true}, {key: "greatest"}, {key: "volume_reason"},
		{key: "classes", options: visit.Classes, several: true},
		{key: "product", options: products}, {key: "lidocaine", options: []string{"yes", "no"}},
		{key: "instruments", options: []string{"needle", "cannula"}, several: true},
		{key: "upper_lower"}, {key: "right_left"}, {key: "sessions"}, {key: "interval_weeks"}, {key: "price"}, {key: "review_on"},
	}
}

// notExamined stands for a point that was not looked at; it leaves the point out.
const notExamined = "not_examined"

// examinedFields are the points of an examination.
var examinedFields = []field{
	{key: "tissue", options: append(slices.Clone(visit.Tissues), notExamined)}, {key: "rest"}, {key: "moving"}, {key: "profile"}, {key: "earlier_filler"}, {key: "scars"},
}

// askExamined asks what the examination found and puts it into the plan.
func (s *session) askExamined(plan *source.Node) error {
	found, err := s.askFields("examined", examinedFields)
	if err != nil {
		return err
	}
	found.Keys = slices.DeleteFunc(found.Keys, func(k source.Key) bool { return k.Value.Text == notExamined })
	if len(found.Keys) == 0 {
		return nil
	}
	plan.Keys = append(plan.Keys, source.Map("examined", found).Keys...)
	return nil
}

// tellPlan tells what the plan says beyond a consent that was given, and what it leaves open.
func (s *session) tellPlan(d *desk.Desk, id string) error {
	found, beyond, err := d.PlanFindings(id)
	if err != nil {
		return err
	}
	for _, f := range found {
		s.voice.say(f.ID, findingArgs(f.Args))
	}
	if beyond {
		s.voice.say("scope.new_paper", nil)
	}
	return nil
}

// printPlan prints the same beside the findings of a check.
func (s *session) printPlan(d *desk.Desk, v visit.Visit) {
	found, beyond := d.FindingsOfPlan(v)
	if len(found) == 0 {
		return
	}
	s.voice.result("")
	for _, f := range found {
		s.voice.result("    " + s.voice.text(f.ID, findingArgs(f.Args)))
	}
	if beyond {
		s.voice.result("    " + s.voice.text("scope.new_paper", nil))
	}
}

// findingArgs turns what a finding says into the arguments of its message.
func findingArgs(args map[string]any) locales.Args {
	words := locales.Args{}
	for name, a := range args {
		switch a := a.(type) {
		case measure.Volume:
			words[name] = locales.Volume(a.String())
		case visit.Word:
			words[name] = locales.Ref("term." + a.List + "." + a.Code)
		case int:
			words[name] = locales.Count(a)
		}
	}
	return words
}
