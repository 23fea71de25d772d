package desk

import (
	"philtrum/forms/measure"
	"philtrum/forms/visit"
)

// paperEntry is an issued paper as the visit's file lists it. A consent keeps what it was printed for.
func (d *Desk) paperEntry(p Issued) visit.Paper {
	paper := visit.Paper{Kind: p.Kind, Document: p.Document, Language: p.Language, At: d.now(), With: p.with, Reading: p.reading}
	if p.Kind == "consent" && !p.reading {
		covers := p.Checked.Case.Visit.Plan.Scope()
		paper.Covers = &covers
	}
	return paper
}

// PlanFindings are [Desk.FindingsOfPlan] of a visit's file as it is now.
func (d *Desk) PlanFindings(id string) (found []visit.Finding, beyond bool, err error) {
	v, _, err := d.readVisit(id)
	if err != nil {
		return nil, false, err
	}
	found, beyond = d.FindingsOfPlan(v)
	return found, beyond, nil
}

// FindingsOfPlan are what the plan says beyond the consent that was given, what of the product does not fit the
// plan, and a reason that the clinic's own guide asks for. None of them holds anything up; beyond says that the
// consent that was given does not cover the plan, so that a new one has to be signed.
func (d *Desk) FindingsOfPlan(v visit.Visit) (found []visit.Finding, beyond bool) {
	line := func(product string) visit.Line {
		p, ok := d.stock.Product(product)
		return visit.Line{Known: ok, Class: p.Class, Lidocaine: p.Lidocaine}
	}
	if signed, ok := v.Signed(); ok {
		found = v.Plan.Beyond(signed, line)
		beyond = len(found) > 0
	}
	found = append(found, v.Plan.Misfits(line)...)
	if g := d.stock.Guide; g.Holds(measure.DateOf(v.Appointment, d.clinic.Zone), d.staff) {
		found = append(found, v.Plan.AskReason(g.Volumes.AskAbove)...)
	}
	return found, beyond
}
