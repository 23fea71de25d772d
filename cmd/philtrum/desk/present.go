package desk

import (
	"philtrum/forms/measure"
	"philtrum/forms/source"
	"philtrum/forms/visit"
)

// IdentitySeen records by which document name and age were checked, on the desk's day.
func (d *Desk) IdentitySeen(id string, seen visit.IdentitySeen) (source.Problems, error) {
	if found := d.isStaff(seen.By); len(found) > 0 {
		return found, nil
	}
	if seen.Document == "" {
		return one("problem.no_document"), nil
	}
	seen.On = measure.DateOf(d.at, d.clinic.Zone)
	return d.change(id, "identity", func(visit.Visit) ([]source.Change, source.Problems) {
		return []source.Change{{Path: []string{"identity_seen"}, Value: seen.Node()}}, nil
	})
}

// Interpreter records who interprets at the visit.
func (d *Desk) Interpreter(id string, node *source.Node) (source.Problems, error) {
	return d.change(id, "interpreter", func(visit.Visit) ([]source.Change, source.Problems) {
		return []source.Change{{Path: []string{"interpreter"}, Value: node}}, nil
	})
}
