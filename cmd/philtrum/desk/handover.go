package desk

import (
	"philtrum/forms/clinic"
	"philtrum/forms/source"
)

// HandOver records in staff.yaml who takes over what somebody leaves open: reviews, scans, calls. Appointments
// to come are not moved by it, because screening judges them with the person who treats.
func (d *Desk) HandOver(from, to string) (source.Problems, error) {
	if _, known := d.person(from); !known {
		return one("problem.not_staff", "staff", d.staffIDs()), nil
	}
	if found := d.isStaff(to); len(found) > 0 {
		return found, nil
	}
	if from == to || leadsTo(d.staff, to, from) {
		return one("problem.successor_circle"), nil
	}
	var problems source.Problems
	batch := d.folder.Batch(d.at)
	batch.Update("staff.yaml", func(old []byte) ([]byte, error) {
		edited, found := source.Edit("staff.yaml", old, source.Change{Path: []string{"successors", from}, Value: source.Text(to)})
		if problems = found; len(found) > 0 {
			return nil, errUnchanged
		}
		return edited, nil
	})
	batch.EnterFile("handed_over", from, "staff.yaml")
	if err := batch.Commit(); len(problems) == 0 {
		return nil, err
	}
	return problems, nil
}

// leadsTo says whether going from successor to successor arrives at a person.
func leadsTo(staff []clinic.Person, from, to string) bool {
	seen := map[string]bool{}
	for at := from; at != "" && !seen[at]; {
		if at == to {
			return true
		}
		seen[at] = true
		p, _ := clinic.Find(staff, at)
		at = p.Successor
	}
	return false
}
