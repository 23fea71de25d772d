package main

import (
	"github.com/spf13/cobra"

	"philtrum/forms/clinic"
	"philtrum/forms/source"
	"philtrum/forms/visit"
)

// newPlan records what is planned: asked at the terminal, or read from a file or standard input.
func (s *session) newPlan() *cobra.Command {
	var from string
	c := s.command("plan VISIT", func(_ *cobra.Command, args []string) error {
		d, id, _, err := s.deskAndVisit(args, 0)
		if err != nil {
			return err
		}
		node, err := s.nodeFrom(d, from, func() (*source.Node, error) {
			return s.askFields("plan", planFields(products(d.Stock())))
		})
		if err != nil {
			return err
		}
		return s.told(d, "cmd.noted")(d.Plan(id, node))
	})
	c.Flags().StringVar(&from, "from", "", s.voice.text("cmd.flag.from", nil))
	return c
}

// planFields are what consent will cover.
func planFields(products []string) []field {
	return []field{
		{key: "wish"}, {key: "zones", options: visit.Lists().Codes(), several: true}, {key: "greatest"},
		{key: "product", options: products}, {key: "lidocaine", options: []string{"yes", "no"}},
		{key: "instruments", options: []string{"needle", "cannula"}, several: true}, {key: "review_on"},
	}
}

// newTreat records the treatment as it was given.
func (s *session) newTreat() *cobra.Command {
	var from string
	c := s.command("treat VISIT", func(_ *cobra.Command, args []string) error {
		d, id, _, err := s.afterNeedle(args, 0)
		if err != nil {
			return err
		}
		node, err := s.nodeFrom(d, from, func() (*source.Node, error) { return s.askTreatment(d.Stock()) })
		if err != nil {
			return err
		}
		return s.told(d, "cmd.noted")(d.Treat(id, node))
	})
	c.Flags().StringVar(&from, "from", "", s.voice.text("cmd.flag.from", nil))
	return c
}

// askTreatment asks what was given: the start, local anaesthetic, each syringe, each injection row, notes.
func (s *session) askTreatment(stock clinic.Stock) (*source.Node, error) {
	head, err := s.askFields("treat", []field{{key: "start"}})
	if err != nil {
		return nil, err
	}
	numbed, err := s.askRepeated("cmd.treat.anaesthetic", anaestheticFields)
	if err != nil {
		return nil, err
	}
	if len(numbed.Items) > 0 {
		weight, err := s.askFields("treat", []field{{key: "weight_kg"}})
		if err != nil {
			return nil, err
		}
		head.Keys = append(append(head.Keys, weight.Keys...), source.Map("anaesthetics", numbed).Keys...)
	}
	syringes, err := s.askRepeated("cmd.treat.syringe", syringeFields(products(stock)))
	if err != nil {
		return nil, err
	}
	rows, err := s.askRepeated("cmd.treat.row", rowFields(products(stock)))
	if err != nil {
		return nil, err
	}
	tail, err := s.askFields("treat", []field{{key: "notes"}})
	if err != nil {
		return nil, err
	}
	node := source.Map("syringes", syringes, "rows", rows)
	node.Keys = append(append(head.Keys, node.Keys...), tail.Keys...)
	return node, nil
}

// askRepeated asks groups of fields until there is no further one.
func (s *session) askRepeated(more string, fields []field) (*source.Node, error) {
	list := source.List()
	for {
		choice, err := s.prompt().Choose(s.voice.text(more, nil), []string{s.voice.text("cmd.ask.add", nil), s.voice.text("cmd.ask.no_more", nil)})
		if err != nil || choice == 1 {
			return list, err
		}
		node, err := s.askFields("treat", fields)
		if err != nil {
			return nil, err
		}
		list.Items = append(list.Items, node)
	}
}

var anaestheticFields = []field{{key: "substance"}, {key: "form"}, {key: "strength"}, {key: "lot"}, {key: "expiry"}, {key: "volume"}, {key: "dose"}}

func syringeFields(products []string) []field {
	return []field{{key: "product", options: products}, {key: "lot"}, {key: "expiry"}, {key: "labelled"}, {key: "discarded"}}
}

func rowFields(products []string) []field {
	words := visit.Lists()
	return []field{
		{key: "zone", options: words.Codes()}, {key: "side", options: []string{"left", "right", "midline"}},
		{key: "plane", options: words.Planes}, {key: "technique", options: words.Techniques},
		{key: "instrument", options: words.Instruments}, {key: "gauge"}, {key: "product", options: products},
		{key: "lot"}, {key: "volume"}, {key: "passes"}, {key: "entry_points"}, {key: "refill"},
	}
}

// products are the ids of the clinic's lines; with none there is nothing to choose from, so they are typed.
func products(stock clinic.Stock) []string {
	var ids []string
	for _, p := range stock.Products {
		ids = append(ids, p.ID)
	}
	return ids
}
