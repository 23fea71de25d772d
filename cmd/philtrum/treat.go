package main

import (
	"slices"

	"github.com/spf13/cobra"

	"philtrum/cmd/philtrum/desk"
	"philtrum/forms/clinic"
	"philtrum/forms/source"
	"philtrum/forms/visit"
	"philtrum/locales"
)

// newTreat records the treatment as it was given; the kind of visit decides what is asked.
func (s *session) newTreat() *cobra.Command {
	var from, in string
	c := s.command("treat VISIT", func(_ *cobra.Command, args []string) error {
		d, id, _, err := s.afterNeedle(args, 0)
		if err != nil {
			return err
		}
		s.writeInAnyway(d, in)
		c, _, err := d.Case(id)
		if err != nil {
			return err
		}
		node, err := s.nodeFrom(d, from, func() (*source.Node, error) { return s.askTreatmentOf(d, c.Visit) })
		if err != nil {
			return err
		}
		if err := s.told(d, "cmd.noted")(d.Treat(id, node)); err != nil {
			return err
		}
		return s.tellRemarks(d, id)
	})
	c.Flags().StringVar(&from, "from", "", s.voice.text("cmd.flag.from", nil))
	s.languageTyped(c, &in)
	return c
}

// askTreatmentOf asks what a visit of its kind records, and who corrects it and why where it was recorded
// before.
func (s *session) askTreatmentOf(d *desk.Desk, v visit.Visit) (*source.Node, error) {
	node, err := s.askByKind(d.Stock(), v.Kind)
	if err != nil || v.Treatment == nil {
		return node, err
	}
	return s.askCorrection(d, node)
}

func (s *session) askByKind(stock clinic.Stock, kind visit.Kind) (*source.Node, error) {
	switch kind {
	case visit.Dissolving:
		return s.askDissolving(stock)
	case visit.Complication, visit.Call:
		return s.askEvent()
	}
	return s.askTreatment(stock)
}

// askCorrection adds who changes a record and why.
func (s *session) askCorrection(d *desk.Desk, node *source.Node) (*source.Node, error) {
	correction, err := s.askFields("treat", []field{{key: "by", options: staffIDs(d)}, {key: "why"}})
	if err != nil {
		return nil, err
	}
	return joined(node, source.Map("correction", correction)), nil
}

func staffIDs(d *desk.Desk) []string {
	var ids []string
	for _, p := range d.Staff() {
		ids = append(ids, p.ID)
	}
	return ids
}

// joined puts the keys of several mappings into one, in their order.
func joined(parts ...*source.Node) *source.Node {
	out := source.Map()
	for _, p := range parts {
		if p != nil {
			out.Keys = append(out.Keys, p.Keys...)
		}
	}
	return out
}

// tellRemarks tells what the checks of a record found. It refuses nothing.
func (s *session) tellRemarks(d *desk.Desk, id string) error {
	checked, err := d.Check(id)
	if err != nil {
		return err
	}
	for _, r := range checked.Remarks() {
		s.voice.say("cmd.treat.finding", locales.Args{"finding": locales.RefWith(r.ID, r.Args)})
	}
	s.offerReport(checked)
	return nil
}

// askTreatment asks what was given: the start, local anaesthetic, each syringe by its code or by hand, each
// injection row, notes.
func (s *session) askTreatment(stock clinic.Stock) (*source.Node, error) {
	head, err := s.askStart(stock)
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
		head = joined(head, weight, source.Map("anaesthetics", numbed))
	}
	syringes, err := s.repeat("cmd.treat.syringe", func() (*source.Node, error) { return s.askSyringe(stock) })
	if err != nil {
		return nil, err
	}
	rows, err := s.askRepeated("cmd.treat.row", rowFields(products(stock), len(syringes.Items)))
	if err != nil {
		return nil, err
	}
	tail, err := s.askFields("treat", []field{{key: "notes"}})
	if err != nil {
		return nil, err
	}
	return joined(head, source.Map("syringes", syringes, "rows", rows), tail), nil
}

// askStart asks when it began and which items of the emergency kit were there.
func (s *session) askStart(stock clinic.Stock) (*source.Node, error) {
	fields := []field{{key: "start"}}
	var kit []string
	for _, k := range stock.Kit {
		if !slices.Contains(kit, k.Item) {
			kit = append(kit, k.Item)
		}
	}
	if len(kit) > 0 {
		fields = append(fields, field{key: "kit", options: kit, several: true})
	}
	return s.askFields("treat", fields)
}

// askRepeated asks groups of fields until there is no further one.
func (s *session) askRepeated(more string, fields []field) (*source.Node, error) {
	return s.repeat(more, func() (*source.Node, error) { return s.askFields("treat", fields) })
}

// repeat asks whether there is another one, and for it, until there is none.
func (s *session) repeat(more string, one func() (*source.Node, error)) (*source.Node, error) {
	list := source.List()
	for {
		choice, err := s.prompt().Choose(s.voice.text(more, nil), []string{s.voice.text("cmd.ask.add", nil), s.voice.text("cmd.ask.no_more", nil)})
		if err != nil || choice == 1 {
			return list, err
		}
		node, err := one()
		if err != nil {
			return nil, err
		}
		list.Items = append(list.Items, node)
	}
}

var anaestheticFields = []field{{key: "substance"}, {key: "form"}, {key: "strength"}, {key: "lot"}, {key: "expiry"}, {key: "volume"}, {key: "dose"}}

// rowFields are those of an injection. With one syringe its product and lot go without saying; with several its
// number says them.
func rowFields(products []string, syringes int) []field {
	words := visit.Lists()
	fields := []field{
		{key: "zone", options: words.Codes()}, {key: "side", options: []string{"left", "right", "midline"}},
		{key: "plane", options: words.Planes}, {key: "technique", options: words.Techniques},
		{key: "instrument", options: words.Instruments}, {key: "gauge"},
	}
	switch {
	case syringes == 0:
		fields = append(fields, field{key: "product", options: products}, field{key: "lot"})
	case syringes > 1:
		fields = append(fields, field{key: "syringe"})
	}
	return append(fields, field{key: "volume"}, field{key: "passes"}, field{key: "entry_points"}, field{key: "refill"})
}

// products are the ids of the clinic's lines; with none there is nothing to choose from, so they are typed.
func products(stock clinic.Stock) []string {
	var ids []string
	for _, p := range stock.Products {
		ids = append(ids, p.ID)
	}
	return ids
}
