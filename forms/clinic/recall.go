package clinic

import (
	"strings"

	"philtrum/forms/device"
	"philtrum/forms/measure"
	"philtrum/forms/source"
)

// Recall is a lot that is no longer to be used, as the clinic was told: of a product line, of an item of the
// kit or a medicine by its name, or, with neither, of whatever bears the number.
type Recall struct {
	Lot, Product, Item string
	On                 measure.Date
	Reason             string
	Span               source.Span
}

func (v reader) recall(n *source.Node) Recall {
	f := v.Fields(n, "number", "product", "item", "on", "reason")
	r := Recall{
		Lot:     v.needed(f, "number"),
		Product: v.ID(f.Get("product")),
		Item:    v.Text(f.Get("item")),
		On:      v.Date(f.Need("on")),
		Reason:  v.needed(f, "reason"),
	}
	if n != nil {
		r.Span = n.Span
	}
	return r
}

// Recalled finds the recall of a lot. what is the id of a line, an item of the kit or the name of a medicine;
// where it is empty or the recall names nothing, the number alone decides: a recall is never missed because
// somebody left the product open.
func (s Stock) Recalled(what, lot string) (Recall, bool) {
	for _, r := range s.Recalls {
		if device.SameLot(r.Lot, lot) && r.concerns(what) {
			return r, true
		}
	}
	return Recall{}, false
}

func (r Recall) concerns(what string) bool {
	what = strings.ToLower(strings.TrimSpace(what))
	switch {
	case what == "", r.Product == "" && r.Item == "":
		return true
	case r.Product != "" && strings.ToLower(r.Product) == what:
		return true
	}
	item := strings.ToLower(strings.TrimSpace(r.Item))
	return item != "" && (strings.Contains(what, item) || strings.Contains(item, what))
}
