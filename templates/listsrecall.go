package templates

import (
	"slices"
	"strings"

	"philtrum/forms/clinic"
	"philtrum/locales"
)

var recallFields = kinds{"product": locales.KindText, "lot": locales.KindText, "recalled_on": locales.KindDate}

// recalledItems are the recalled lots that the visit's record names; where it names none, those that may have
// been used: recalls of the products that it names, or else all.
func recalledItems(f *Facts) []item {
	found := recalledUses(f)
	if len(found) == 0 {
		found = recallsInDoubt(f)
	}
	var out []item
	for _, r := range found {
		name := r.Item
		if p, known := f.product(r.Product); known {
			name = p.Name
		}
		out = append(out, item{values: map[string]locales.Value{
			"product": textOr(name, "recalled.item"), "lot": textOr(r.Lot, "recalled.number"), "recalled_on": dateOr(r.On),
		}})
	}
	return out
}

// recalledUses are the recalls under which something in the record falls, each once, in the order of the record.
func recalledUses(f *Facts) []clinic.Recall {
	var out []clinic.Recall
	add := func(what, lot string) {
		r, ok := f.Stock.Recalled(what, lot)
		same := func(o clinic.Recall) bool { return o.Lot == r.Lot && o.Product == r.Product && o.Item == r.Item }
		if !ok || strings.TrimSpace(lot) == "" || slices.ContainsFunc(out, same) {
			return
		}
		if r.Product == "" && r.Item == "" {
			r.Item = what
			if p, known := f.product(what); known {
				r.Product = p.ID
			}
		}
		out = append(out, r)
	}
	g := f.given()
	for _, s := range g.Syringes {
		add(s.Product, s.Lot)
	}
	for _, row := range g.Rows {
		add(row.Product, row.Lot)
	}
	for _, a := range g.Anaesthetics {
		add(a.Substance, a.Lot)
	}
	if g.Dissolved != nil {
		for _, vial := range g.Dissolved.Vials {
			add(vial.Substance, vial.Lot)
		}
	}
	return out
}

func recallsInDoubt(f *Facts) []clinic.Recall {
	var out []clinic.Recall
	for _, r := range f.Stock.Recalls {
		if slices.ContainsFunc(f.products(), func(p clinic.Product) bool { return p.ID == r.Product }) {
			out = append(out, r)
		}
	}
	if len(out) == 0 {
		return f.Stock.Recalls
	}
	return out
}
