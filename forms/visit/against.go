package visit

import (
	"strings"

	"philtrum/forms/clinic"
	"philtrum/forms/device"
	"philtrum/forms/measure"
)

// Against compares a treatment with the clinic's products on the day of the treatment: what the codes say, the
// line that a device belongs to, lots in stock, recalls, the emergency kit. It refuses nothing.
func (g Given) Against(stock clinic.Stock, on measure.Date) []Finding {
	var found []Finding
	for i, s := range g.Syringes {
		add := func(id string, args map[string]any) {
			args["syringe"] = i + 1
			found = append(found, Finding{ID: id, Args: args, Span: s.Span})
		}
		found = append(found, s.Code.findings("check.code", "syringe", i+1)...)
		s.against(stock, add)
		if r, ok := stock.Recalled(s.Product, s.Lot); ok {
			add("check.recalled", map[string]any{"lot": s.Lot, "on": r.On, "reason": r.Reason})
		}
	}
	for i, row := range g.Rows {
		if row.Syringe > 0 && row.Syringe <= len(g.Syringes) {
			found = append(found, row.against(i+1, g.Syringes[row.Syringe-1])...)
		}
	}
	for i, a := range g.Anaesthetics {
		if !a.Expiry.IsZero() && a.Expiry.Before(on) {
			found = append(found, Finding{ID: "check.anaesthetic_expired", Args: map[string]any{"row": i + 1, "expiry": a.Expiry}})
		}
		if r, ok := stock.Recalled(a.Substance, a.Lot); ok {
			found = append(found, Finding{ID: "check.anaesthetic_recalled",
				Args: map[string]any{"row": i + 1, "lot": a.Lot, "on": r.On, "reason": r.Reason}})
		}
	}
	if len(g.Rows) > 0 || g.Dissolved != nil {
		found = append(found, g.kit(stock, on)...)
	}
	return append(found, g.Dissolved.against(stock, on)...)
}

// against compares a syringe with the line that it is said to be.
func (s Syringe) against(stock clinic.Stock, add func(id string, args map[string]any)) {
	of, known := stock.Device(s.Device)
	p, ok := stock.Product(s.Product)
	switch {
	case s.Device == "":
	case !known && !ok:
		add("check.device_unknown", map[string]any{})
	case !known && len(p.Devices) > 0 && !p.Has(s.Device), known && ok && of.ID != p.ID:
		add("check.device_mismatch", map[string]any{"product": p.Name})
	}
	if !ok {
		return
	}
	if s.LabelledText == "" && s.LabelledBy == "" && !s.Labelled.IsZero() && !s.Labelled.Equal(p.Volume) {
		add("check.labelled_differs", map[string]any{"labelled": s.Labelled, "volume": p.Volume})
	}
	lot, stocked := p.Lot(s.Lot)
	switch {
	case strings.TrimSpace(s.Lot) == "" || len(p.Stock) == 0:
	case !stocked:
		add("check.lot_not_in_stock", map[string]any{"lot": s.Lot})
	case !s.Expiry.IsZero() && !lot.Expiry.IsZero() && lot.Expiry != s.Expiry:
		add("check.stock_expiry", map[string]any{"expiry": s.Expiry, "stock": lot.Expiry})
	}
}

// against compares a row with the syringe that it says it drew on.
func (r Row) against(number int, s Syringe) []Finding {
	product := r.Product != "" && s.Product != "" && r.Product != s.Product
	lot := r.Lot != "" && s.Lot != "" && !device.SameLot(r.Lot, s.Lot)
	if !product && !lot {
		return nil
	}
	return []Finding{{ID: "check.row_differs", Args: map[string]any{"row": number, "syringe": r.Syringe}, Span: r.Span}}
}

// emergency are the items that a kit is expected to hold (T-18, common practice, no source).
var emergency = []string{"hyaluronidase", "adrenaline"}

// kit says which of the emergency items were not recorded as present, and which of those present have nothing
// in date or only recalled lots.
func (g Given) kit(stock clinic.Stock, on measure.Date) []Finding {
	var found []Finding
	for _, item := range emergency {
		if !contains(g.Kit, item) {
			found = append(found, Finding{ID: "check.kit_not_seen", Args: map[string]any{"item": Word{"kit", item}}})
		}
	}
	for _, item := range g.Kit {
		good, listed := false, false
		for _, k := range stock.Kit {
			if k.Item != item {
				continue
			}
			listed = true
			if r, ok := stock.Recalled(k.Item, k.Lot.Number); ok {
				found = append(found, Finding{ID: "check.kit_recalled", Args: map[string]any{
					"item": Word{"kit", item}, "lot": k.Lot.Number, "on": r.On, "reason": r.Reason}})
				continue
			}
			good = good || !k.Lot.Expired(on)
		}
		if listed && !good {
			found = append(found, Finding{ID: "check.kit_expired", Args: map[string]any{"item": Word{"kit", item}}})
		}
	}
	return found
}

func contains(list []string, word string) bool {
	for _, w := range list {
		if w == word {
			return true
		}
	}
	return false
}

// Recalled names the recall that a plan falls under: of the lot of a planned row, or nothing.
func (p Plan) Recalled(stock clinic.Stock) []clinic.Recall {
	var found []clinic.Recall
	for _, row := range p.Rows {
		product := row.Product
		if product == "" {
			product = p.Product
		}
		if r, ok := stock.Recalled(product, row.Lot); ok {
			r.Lot = row.Lot // as the plan writes it
			found = append(found, r)
		}
	}
	return found
}
