package visit

import (
	"time"

	"philtrum/forms/clinic"
	"philtrum/forms/device"
)

// Scanned is what the code of a box or syringe says beside what a person typed. The carrier is kept exactly as it
// came; the lot it gives is kept whatever is wrong with the code.
type Scanned struct {
	Carrier device.Carrier
	Typed   device.Typed
	Remarks []device.Remark // of the code itself, then where it and what was typed say something else
}

// Said is a message with its placeholders, as the argument of a Finding.
type Said struct {
	ID   string
	Args map[string]any
}

// scan reads a carrier as of a year and fills what was left open beside it; nil without a carrier.
func scan(carrier string, year int, typed device.Typed) (*Scanned, device.Typed) {
	if carrier == "" {
		return nil, typed
	}
	s := &Scanned{Carrier: device.Read(carrier, year), Typed: typed}
	filled, differs := s.Carrier.Fill(typed)
	s.Remarks = append(append(s.Remarks, s.Carrier.Remarks...), differs...)
	return s, filled
}

// findings are the remarks that weigh something, of the syringe or vial of a number.
func (s *Scanned) findings(id, which string, number int) []Finding {
	if s == nil {
		return nil
	}
	var found []Finding
	for _, r := range s.Remarks {
		if r.Level != device.Note {
			found = append(found, Finding{ID: id, Args: map[string]any{which: number, "remark": Said{r.ID, r.Args}}})
		}
	}
	return found
}

// yearOf is the year that decides the century of a code: that of the treatment's start, else of the
// appointment.
func yearOf(times ...time.Time) int {
	for _, t := range times {
		if !t.IsZero() {
			return t.Year()
		}
	}
	return 0
}

// Resolve fills from the clinic's products what a code and the rows leave open: the line that a device
// identifier belongs to, its labelled volume, and product and lot of a row whose syringe is known. It never
// replaces what was written.
func (g *Given) Resolve(stock clinic.Stock) {
	for i := range g.Syringes {
		s := &g.Syringes[i]
		if p, ok := stock.Device(s.Device); ok && s.Product == "" {
			s.Product = p.ID
		}
		if p, ok := stock.Product(s.Product); ok && s.Labelled.IsZero() && s.LabelledText == "" {
			s.Labelled, s.LabelledBy = p.Volume, FromProduct
		}
	}
	for i := range g.Rows {
		row := &g.Rows[i]
		fits := g.candidates(*row)
		if len(fits) != 1 {
			continue
		}
		if s := g.Syringes[fits[0]]; row.Syringe > 0 || row.Product != "" || row.Lot != "" || len(g.Syringes) == 1 {
			fill(&row.Product, s.Product)
			fill(&row.Lot, s.Lot)
		}
	}
}

// FromProduct says that a volume is the one that the clinic's products give, not one that was read.
const FromProduct = "product"

func fill(open *string, with string) {
	if *open == "" {
		*open = with
	}
}
