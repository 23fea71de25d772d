package main

import (
	"github.com/spf13/cobra"

	"philtrum/forms/clinic"
	"philtrum/forms/source"
	"philtrum/forms/visit"
)

// askDissolving asks what was dissolved and with what: amounts as they were given, none is proposed.
func (s *session) askDissolving(stock clinic.Stock) (*source.Node, error) {
	head, err := s.askStart(stock)
	if err != nil {
		return nil, err
	}
	reason, err := s.askFields("treat", []field{{key: "reason"}})
	if err != nil {
		return nil, err
	}
	filler, err := s.askRepeated("cmd.treat.filler", []field{{key: "filler_product"}, {key: "lot"}, {key: "date"}, {key: "clinic"}, {key: "zones"}})
	if err != nil {
		return nil, err
	}
	for _, n := range filler.Items {
		renamed(n, "filler_product", "product")
	}
	patch, err := s.askFields("treat", []field{{key: "decision", options: visit.PatchDecisions}, {key: "patch_reason"}})
	if err != nil {
		return nil, err
	}
	vials, err := s.repeat("cmd.treat.vial", s.askVial)
	if err != nil {
		return nil, err
	}
	doses, err := s.askRepeated("cmd.treat.dose", doseFields(len(vials.Items)))
	if err != nil {
		return nil, err
	}
	for _, n := range doses.Items {
		renamed(n, "dose_units", "units")
	}
	tail, err := s.askFields("treat", []field{{key: "observed_until"}, {key: "response"}})
	if err != nil {
		return nil, err
	}
	notes, err := s.askFields("treat", []field{{key: "notes"}})
	if err != nil {
		return nil, err
	}
	dissolving := joined(reason, source.Map("filler", filler, "patch_test", renamed(patch, "patch_reason", "reason"), "vials", vials, "doses", doses), tail)
	return joined(head, source.Map("dissolving", dissolving), notes), nil
}

// renamed gives a key of a mapping another name.
func renamed(n *source.Node, from, to string) *source.Node {
	for i := range n.Keys {
		if n.Keys[i].Name == from {
			n.Keys[i].Name = to
		}
	}
	return n
}

func (s *session) askVial() (*source.Node, error) {
	code, err := s.askCode()
	if err != nil {
		return nil, err
	}
	fields := append(openFields(s.readCode(code)), field{key: "units"}, field{key: "diluent"}, field{key: "made_up"})
	asked, err := s.askFields("treat", fields)
	if err != nil {
		return nil, err
	}
	head := source.Map("substance", "hyaluronidase")
	if code != "" {
		head = joined(head, source.Map("carrier", code))
	}
	return joined(head, asked), nil
}

func doseFields(vials int) []field {
	words := visit.Lists()
	fields := []field{{key: "at"}, {key: "zone", options: words.Codes()}, {key: "side", options: []string{"left", "right", "midline"}},
		{key: "plane", options: words.Planes}, {key: "instrument", options: words.Instruments}, {key: "gauge"}}
	if vials > 1 {
		fields = append(fields, field{key: "vial"})
	}
	return append(fields, field{key: "dose_units"}, field{key: "volume"}, field{key: "refill"}, field{key: "response"})
}

// askEvent asks what is recorded of a complication or a call.
func (s *session) askEvent() (*source.Node, error) {
	event, err := s.askFields("treat", []field{
		{key: "onset"}, {key: "zone", options: visit.Lists().Codes()}, {key: "side", options: []string{"left", "right", "midline"}},
		{key: "signs"}, {key: "pain"}, {key: "refill"}, {key: "vision"}, {key: "done"}, {key: "referred"},
		{key: "seriousness", options: visit.Harms}, {key: "outcome"}, {key: "told"}, {key: "kept"},
	})
	if err != nil {
		return nil, err
	}
	notes, err := s.askFields("treat", []field{{key: "notes"}})
	if err != nil {
		return nil, err
	}
	return joined(source.Map("event", event), notes), nil
}

// newReview records what was found at a review.
func (s *session) newReview() *cobra.Command {
	var from, in string
	c := s.command("review VISIT", func(_ *cobra.Command, args []string) error {
		d, id, _, err := s.afterNeedle(args, 0)
		if err != nil {
			return err
		}
		s.writeInAnyway(d, in)
		c, _, err := d.Case(id)
		if err != nil {
			return err
		}
		node, err := s.nodeFrom(d, from, func() (*source.Node, error) {
			node, err := s.askFields("review", reviewFields)
			if err != nil || c.Visit.Review == nil {
				return node, err
			}
			return s.askCorrection(d, node)
		})
		if err != nil {
			return err
		}
		if err := s.told(d, "cmd.noted")(d.Review(id, node)); err != nil {
			return err
		}
		return s.tellRemarks(d, id)
	})
	c.Flags().StringVar(&from, "from", "", s.voice.text("cmd.flag.from", nil))
	s.languageTyped(c, &in)
	return c
}

var reviewFields = []field{
	{key: "words"}, {key: "settled"}, {key: "asymmetry"}, {key: "lumps"}, {key: "colour"}, {key: "function"}, {key: "pain"},
	{key: "satisfaction"}, {key: "agreed"}, {key: "touch_up", options: visit.TouchUps}, {key: "touch_up_where"}, {key: "complaint"},
	{key: "next_on"}, {key: "notes"},
}
