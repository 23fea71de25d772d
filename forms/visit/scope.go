package visit

import (
	"slices"
	"strings"

	"philtrum/forms/measure"
	"philtrum/forms/source"
)

// Scope is what a consent covers.
type Scope struct {
	Zones       []string // zones or areas
	Greatest    measure.Volume
	Classes     []string
	Lidocaine   bool
	Instruments []string
}

// Scope is what a consent to the plan covers.
func (p Plan) Scope() Scope {
	return Scope{p.Zones, p.Greatest, p.Classes, p.Lidocaine, p.Instruments}
}

// Line is what a product line is, as far as a consent is concerned. Known is false where the clinic has
// no such product.
type Line struct {
	Known     bool
	Class     string
	Lidocaine bool
}

// Finding is what a check of a record says. ID is a message; Args are its placeholders: a
// measure.Volume, a measure.Date, an int, a Word of a closed list, or a string as typed. It blocks nothing.
type Finding struct {
	ID   string
	Args map[string]any
	Span source.Span
}

// Word is a word of a closed list ("zone", "side", "plane", "technique", "instrument", "class"), for which
// locales have a term.
type Word struct{ List, Code string }

// Outside lists what was given outside the scope of a consent, row by row, then the total. What cannot be
// judged because it was not written or not read is a finding too.
func (g Given) Outside(s Scope, line func(product string) Line) []Finding {
	var found []Finding
	for i, row := range g.Rows {
		for _, f := range outsideRow(s, row, line(row.Product)) {
			f.Args["row"] = i + 1
			f.Span = row.Span
			found = append(found, f)
		}
	}
	if total := g.Totals().All; total.Cmp(s.Greatest) > 0 {
		found = append(found, Finding{ID: "check.volume_above_consent",
			Args: map[string]any{"given": total, "greatest": s.Greatest}, Span: g.Span})
	}
	return found
}

func outsideRow(s Scope, row Row, line Line) []Finding {
	var found []Finding
	add := func(id string, args map[string]any) { found = append(found, Finding{ID: id, Args: args}) }
	if !Lists().Covers(s.Zones, row.Zone) {
		add("check.zone_outside_consent", map[string]any{"zone": Word{"zone", row.Zone}})
	}
	switch {
	case !line.Known:
		add("check.product_unknown", map[string]any{})
	case !slices.Contains(s.Classes, line.Class):
		add("check.class_outside_consent", map[string]any{"class": Word{"class", line.Class}})
	}
	if line.Lidocaine && !s.Lidocaine {
		add("check.lidocaine_outside_consent", map[string]any{})
	}
	switch {
	case row.Instrument == "":
		add("check.instrument_missing", map[string]any{})
	case !slices.Contains(s.Instruments, row.Instrument):
		add("check.instrument_outside_consent", map[string]any{"instrument": Word{"instrument", row.Instrument}})
	}
	return found
}

// Remarks are the findings that need neither consent nor policy: expired and unnamed syringes, volumes that
// could not be read, and a reconciliation that does not come out even.
func (g Given) Remarks(on measure.Date) []Finding {
	var found []Finding
	for i, s := range g.Syringes {
		add := func(id string, args map[string]any) {
			args["syringe"] = i + 1
			found = append(found, Finding{ID: id, Args: args, Span: s.Span})
		}
		if strings.TrimSpace(s.Lot) == "" {
			add("check.lot_missing", map[string]any{})
		}
		switch {
		case s.Expiry.IsZero():
			add("check.expiry_missing", map[string]any{})
		case s.Expiry.Before(on):
			add("check.expired", map[string]any{"expiry": s.Expiry})
		}
	}
	if n := g.Totals().Unread; n > 0 {
		found = append(found, Finding{ID: "check.volume_unread", Args: map[string]any{"n": n}, Span: g.Span})
	}
	return append(found, g.uneven()...)
}

// Above is the finding that more than most was laid in the lips; nil if not.
func (t Totals) Above(most measure.Volume) []Finding {
	lips := measure.Zero()
	for _, s := range t.ByLip {
		if s.Code != "none" {
			lips = lips.Add(s.Volume)
		}
	}
	if lips.Cmp(most) <= 0 {
		return nil
	}
	return []Finding{{ID: "check.volume_above_warning", Args: map[string]any{"given": lips, "most": most}}}
}

// AboveLimit lists the product lines of which more was laid in one session than the line allows; limit
// gives a line's own limit and is zero where the clinic has entered none.
func (t Totals) AboveLimit(limit func(product string) measure.Volume) []Finding {
	var found []Finding
	for _, s := range t.ByProduct {
		if most := limit(s.Code); !most.IsZero() && s.Volume.Cmp(most) > 0 {
			found = append(found, Finding{ID: "check.volume_above_product",
				Args: map[string]any{"product": s.Code, "given": s.Volume, "most": most}})
		}
	}
	return found
}
