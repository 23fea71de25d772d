package desk

import (
	"slices"
	"time"

	"philtrum/forms/measure"
	"philtrum/forms/source"
	"philtrum/forms/visit"
)

// Move gives a visit another appointment, another practitioner, or both; the zero time and an empty id leave
// them as they are. What was treated is not moved.
func (d *Desk) Move(id string, at time.Time, practitioner string) (source.Problems, error) {
	if practitioner != "" {
		if found := d.isStaff(practitioner); len(found) > 0 {
			return found, nil
		}
	}
	return d.change(id, "moved", func(v visit.Visit) ([]source.Change, source.Problems) {
		if v.Treatment != nil {
			return nil, one("problem.treated_not_moved")
		}
		var changes []source.Change
		if !at.IsZero() {
			text := source.Text(at.In(d.clinic.Zone).Format(time.RFC3339))
			changes = append(changes, source.Change{Path: []string{"appointment"}, Value: text})
		}
		if practitioner != "" {
			changes = append(changes, source.Change{Path: []string{"practitioner"}, Value: source.Text(practitioner)})
		}
		return changes, nil
	})
}

// FollowUp is something that a person who has left was to follow up.
type FollowUp struct {
	Visit, Person string
	Why           FollowUpWhy
	On            measure.Date // of the appointment or the review; of a scan, of the decision
}

// FollowUpWhy is what is left open.
type FollowUpWhy string

// What may be left open: an appointment that is still to come, a review that was planned and has no visit,
// a decision copied from a sheet whose scan is not there.
const (
	OpenAppointment FollowUpWhy = "appointment"
	OpenReview      FollowUpWhy = "review"
	OpenScan        FollowUpWhy = "scan"
)

// FollowUps lists what people who no longer work here have left open as of today, in the order of the
// visits' ids: each wants another person. Visits whose files have problems are left to those who check them.
func (d *Desk) FollowUps() ([]FollowUp, error) {
	ids, err := d.folder.Visits()
	if err != nil {
		return nil, err
	}
	var all []visit.Visit
	for _, id := range ids {
		v, _, err := d.readVisit(id)
		if err != nil {
			return nil, err
		}
		all = append(all, v)
	}
	today := measure.DateOf(d.at, d.clinic.Zone)
	var open []FollowUp
	for _, v := range all {
		open = append(open, d.leftOpen(v, all, today)...)
	}
	return open, nil
}

func (d *Desk) leftOpen(v visit.Visit, all []visit.Visit, today measure.Date) []FollowUp {
	var open []FollowUp
	gone := func(person string) bool {
		p, known := d.person(person)
		return person != "" && (!known || !p.Works(today))
	}
	left := func(person string) bool { // and nobody has taken over
		_, left := d.follower(person, today)
		return left != ""
	}
	on := measure.DateOf(v.Appointment, d.clinic.Zone)
	if gone(v.Practitioner) && v.Treatment == nil && !on.Before(today) {
		open = append(open, FollowUp{v.ID, v.Practitioner, OpenAppointment, on})
	}
	if left(v.Practitioner) {
		reviewed := slices.ContainsFunc(all, func(w visit.Visit) bool {
			return w.After == v.ID || w.Patient == v.Patient && w.Kind == visit.Review && w.Appointment.After(v.Appointment)
		})
		if v.Treatment != nil && !v.Plan.ReviewOn.IsZero() && !reviewed {
			open = append(open, FollowUp{v.ID, v.Practitioner, OpenReview, v.Plan.ReviewOn})
		}
	}
	for _, decision := range v.Decisions {
		if v.AwaitsScan(decision) && left(decision.By) {
			open = append(open, FollowUp{v.ID, decision.By, OpenScan, measure.DateOf(decision.At, d.clinic.Zone)})
		}
	}
	return open
}
