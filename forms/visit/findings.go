package visit

import (
	"philtrum/forms/clinic"
	"philtrum/forms/measure"
)

// Findings are all that the checks of a record say of a treatment that was given on a day under a consent to
// the plan covered. Each stands on the record and holds nothing up.
func (v Visit) Findings(c clinic.Clinic, stock clinic.Stock, covered Plan, on measure.Date) []Finding {
	var found []Finding
	if t := v.Treatment; t != nil {
		line := func(id string) Line {
			p, ok := stock.Product(id)
			return Line{Known: ok, Class: p.Class, Lidocaine: p.Lidocaine}
		}
		content := func(id string) string {
			p, _ := stock.Product(id)
			return p.LidocaineMgPerMl
		}
		found = append(found, t.Remarks(on)...)
		found = append(found, t.Against(stock, on)...)
		found = append(found, t.Anaesthesia(content)...)
		found = append(found, t.Outside(covered.Scope(), line)...)
		found = append(found, t.volumes(c, stock)...)
		found = append(found, t.late(on)...)
	}
	_, steps := ConsentNow(v.States)
	found = append(found, steps...)
	return append(found, v.unexplained()...)
}

// volumes are sums above the clinic's own threshold for the lips and the limit of a line.
func (g Given) volumes(c clinic.Clinic, stock clinic.Stock) []Finding {
	var found []Finding
	if most, err := measure.ParseVolume(c.Policy.Thresholds["lip_session_warn_ml"]); err == nil {
		found = append(found, g.Totals().Above(most)...)
	}
	for _, f := range g.Totals().AboveLimit(func(id string) measure.Volume {
		p, _ := stock.Product(id)
		return p.SessionLimit
	}) {
		if p, ok := stock.Product(f.Args["product"].(string)); ok {
			f.Args["product"] = p.Name
		}
		found = append(found, f)
	}
	return found
}

// late says that a record was made on a later day than the treatment (T-01).
func (g Given) late(on measure.Date) []Finding {
	if g.Recorded.IsZero() || on.IsZero() {
		return nil
	}
	made := measure.DateOf(g.Recorded, g.Recorded.Location())
	if !made.After(on) {
		return nil
	}
	return []Finding{{ID: "check.late_entry", Args: map[string]any{"recorded": made}, Span: g.Span}}
}

// unexplained counts changes of the record for which nobody gave a reason.
func (v Visit) unexplained() []Finding {
	n := 0
	for _, a := range v.Amendments {
		if a.Why == "" || a.By == "" {
			n++
		}
	}
	if n == 0 {
		return nil
	}
	return []Finding{{ID: "check.amendment_unexplained", Args: map[string]any{"n": n}}}
}
