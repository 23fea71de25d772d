package desk

import (
	"time"

	"philtrum/forms/measure"
	"philtrum/forms/source"
	"philtrum/forms/visit"
)

// Met records that an undated condition of a finding is met: healed, test negative, letter received.
func (d *Desk) Met(id, rule, outcome, by, note string) (source.Problems, error) {
	finding, problems, err := d.Finding(id, rule, outcome)
	if err != nil || len(problems) > 0 {
		return problems, err
	}
	if !finding.Condition {
		return one("problem.no_condition", "rule", rule), nil
	}
	if found := d.isStaff(by); len(found) > 0 {
		return found, nil
	}
	return d.change(id, "met", func(visit.Visit) ([]source.Change, source.Problems) {
		return []source.Change{{Path: []string{"met"}, Append: true, Value: visit.Condition{
			Rule: finding.Rule, Outcome: finding.Outcome, By: by, Note: note, At: d.now(), Digest: finding.Digest,
		}.Node()}}, nil
	})
}

// Plan replaces the visit's plan with what was read from a file or asked.
func (d *Desk) Plan(id string, plan *source.Node) (source.Problems, error) {
	return d.change(id, "planned", func(visit.Visit) ([]source.Change, source.Problems) {
		return []source.Change{{Path: []string{"plan"}, Value: plan}}, nil
	})
}

// Close records the time at which the treatment ended; from it aftercare counts its hours. Like everything
// after the needle it takes any name: [Desk.Knows] says whether it is one of the staff.
func (d *Desk) Close(id string, end time.Time, by string) (source.Problems, error) {
	return d.change(id, "closed", func(v visit.Visit) ([]source.Change, source.Problems) {
		if v.Treatment == nil {
			return nil, one("problem.not_treated")
		}
		changes := []source.Change{{Path: []string{"treatment", "end"}, Value: source.Text(end.In(d.clinic.Zone).Format(time.RFC3339))}}
		if v.Consent() != visit.StoppedEarly { // what was stopped stays so
			changes = append(changes, source.Change{Path: []string{"states"}, Append: true, Value: d.state(visit.Treated, by, "").Node()})
		}
		return changes, nil
	})
}

// State records a step of the consent: consented, declined, withdrawn, stopped early, confirmed on the day. With
// a consent it keeps which paper was signed and what that covers, so that a plan that changes later does not
// widen it.
func (d *Desk) State(id string, state visit.ConsentState, by, note string) (source.Problems, error) {
	if found := d.isStaff(by); len(found) > 0 && state == visit.Consented {
		return found, nil
	}
	return d.change(id, string(state), func(v visit.Visit) ([]source.Change, source.Problems) {
		step := d.state(state, by, note)
		if state == visit.Consented {
			step.Covers = v.Printed(latest(v.Papers, "consent"))
		}
		return []source.Change{{Path: []string{"states"}, Append: true, Value: step.Node()}}, nil
	})
}

func (d *Desk) state(state visit.ConsentState, by, note string) visit.StateChange {
	return visit.StateChange{State: state, At: d.now(), By: by, Note: note}
}

// Handed records that a paper was handed over: when, how, by whom, and whether it was also explained.
// Reflection runs from here.
func (d *Desk) Handed(id string, h visit.Handed) (source.Problems, error) {
	return d.change(id, "handed", func(v visit.Visit) ([]source.Change, source.Problems) {
		if h.Document == "" {
			h.Document = latest(v.Papers, h.Paper)
		}
		changes := []source.Change{{Path: []string{"handed"}, Append: true, Value: h.Node()}}
		if h.Paper == "information" {
			informed := visit.StateChange{State: visit.Informed, At: h.At, By: h.By}
			changes = append(changes, source.Change{Path: []string{"states"}, Append: true, Value: informed.Node()})
		}
		return changes, nil
	})
}

// latest is the document id of the newest paper of a kind, copies for reading alone aside; empty if none was
// issued.
func latest(papers []visit.Paper, kind string) string {
	for i := len(papers) - 1; i >= 0; i-- {
		if papers[i].Kind == kind && !papers[i].Reading {
			return papers[i].Document
		}
	}
	return ""
}

// isStaff says in a problem that nobody of that id works here on the day.
func (d *Desk) isStaff(id string) source.Problems {
	day := measure.DateOf(d.at, d.clinic.Zone)
	for _, p := range d.staff {
		if p.ID == id && p.Works(day) {
			return nil
		}
	}
	return one("problem.not_staff", "staff", d.staffIDs())
}

// Knows says whether somebody of that id works here on the desk's day.
func (d *Desk) Knows(id string) bool { return len(d.isStaff(id)) == 0 }

// staffIDs lists who could be named.
func (d *Desk) staffIDs() []string {
	ids := make([]string, 0, len(d.staff))
	for _, p := range d.staff {
		ids = append(ids, p.ID)
	}
	return ids
}
