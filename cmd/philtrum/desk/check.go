package desk

import (
	"slices"
	"time"

	"philtrum/forms/clinic"
	"philtrum/forms/measure"
	"philtrum/forms/screen"
	"philtrum/forms/source"
	"philtrum/forms/visit"
)

// Checked is the judgement of one visit: the problems of its files, or what screening found.
type Checked struct {
	Visit    string
	Case     screen.Case
	Report   screen.Report
	Problems source.Problems
}

// Check validates and screens a visit as of its appointment.
func (d *Desk) Check(id string) (Checked, error) {
	c, problems, err := d.Case(id)
	if err != nil {
		return Checked{}, err
	}
	checked := Checked{Visit: id, Case: c, Problems: problems}
	if len(problems) == 0 {
		checked.Report = d.rules.Evaluate(c)
	}
	return checked, nil
}

// mayDecide says in a problem why a person may not decide a finding: not of the staff, or not of a role
// that the rule asks for on this day.
func (d *Desk) mayDecide(by string, finding screen.Finding) source.Problems {
	if found := d.isStaff(by); len(found) > 0 {
		return found
	}
	day := measure.DateOf(d.at, d.clinic.Zone)
	person, _ := d.person(by)
	var roles []string
	for _, role := range decidedBy(finding) {
		if person.Can(role, day) {
			return nil
		}
		roles = append(roles, string(role))
	}
	return one("problem.role_may_not_decide", "rule", finding.Rule, "roles", roles)
}

// hasSeen says in a problem that a prescriber's decision does not say how and when they saw the patient.
func (d *Desk) hasSeen(decision Decision, finding screen.Finding) source.Problems {
	known := decision.Saw == "" || slices.Contains(visit.Modes, decision.Saw)
	needed := finding.Role == clinic.RolePrescriber && decision.Saw == ""
	if needed || !known || decision.SawAt.After(d.at) {
		return one("problem.prescriber_saw", "modes", visit.Modes)
	}
	return nil
}

// person finds somebody of the staff.
func (d *Desk) person(id string) (clinic.Person, bool) {
	return clinic.Find(d.staff, id)
}

// canBeDecided says whether a practitioner may decide a finding at all: not a stop, nor what could still be
// one, nor a wait that law or medicine sets.
func canBeDecided(f screen.Finding) bool {
	switch {
	case f.Unknown:
		return f.CouldBe != screen.Stop
	case f.Level == screen.Wait:
		return f.WaitKind == screen.WaitCustom
	}
	return f.Level == screen.Decide
}

// ReflectionDays is the time to reflect that counts at the clinic today: the place's or the clinic's own,
// whichever is longer.
func (d *Desk) ReflectionDays() (int, source.Problems) {
	here, problems := d.placeOn(measure.DateOf(d.at, d.clinic.Zone))
	return d.clinic.Policy.ReflectionDays(here.Reflection.Days), problems
}

// AnsweredAt is the time of the newest answer; the appointment's where none has one.
func (c Checked) AnsweredAt() time.Time {
	var newest time.Time
	for _, a := range c.Case.Intake.Answers {
		if a.At.After(newest) {
			newest = a.At
		}
	}
	if newest.IsZero() {
		return c.Case.Visit.Appointment
	}
	return newest
}

// decidedBy are the roles that may decide a finding.
func decidedBy(f screen.Finding) []clinic.Role {
	if f.Role == clinic.RolePrescriber {
		return []clinic.Role{clinic.RolePrescriber}
	}
	return []clinic.Role{clinic.RoleInjector, clinic.RolePrescriber, clinic.RoleMedicalLead}
}
