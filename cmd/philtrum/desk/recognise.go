package desk

import (
	"cmp"
	"slices"
	"time"

	"philtrum/forms/booking"
	"philtrum/forms/measure"
	"philtrum/forms/source"
	"philtrum/forms/visit"
)

// acquaintances are the clinic's patients and visits as a list of visits meets them.
type acquaintances struct {
	zone     *time.Location
	patients map[string][]visit.Patient // by name and birth
	births   map[measure.Date][]visit.Patient
	visits   map[string][]visit.Visit // by patient
	bookings map[string]visit.Visit   // by the booking system's id
	byID     map[string]visit.Visit
}

// acquaintances reads patients and visits. A patient's file that cannot be read is a problem: the list could
// name that patient.
func (d *Desk) acquaintances() (*acquaintances, source.Problems, error) {
	known := &acquaintances{
		zone: d.clinic.Zone, patients: map[string][]visit.Patient{}, births: map[measure.Date][]visit.Patient{},
		visits: map[string][]visit.Visit{}, bookings: map[string]visit.Visit{}, byID: map[string]visit.Visit{},
	}
	ids, err := d.folder.Patients()
	if err != nil {
		return nil, nil, err
	}
	var problems source.Problems
	for _, id := range ids {
		p, found, err := d.readPatient(id)
		if err != nil {
			return nil, nil, err
		}
		problems = append(problems, found...)
		key := personKey(booking.Row{Name: p.Given + " " + p.Family, Born: p.Born})
		known.patients[key] = append(known.patients[key], p)
		if shown := personKey(booking.Row{Name: p.Display, Born: p.Born}); p.Display != "" && shown != key {
			known.patients[shown] = append(known.patients[shown], p)
		}
		known.births[p.Born] = append(known.births[p.Born], p)
	}
	visits, err := d.folder.Visits()
	if err != nil {
		return nil, nil, err
	}
	for _, id := range visits {
		v, _, err := d.readVisit(id)
		if err != nil {
			return nil, nil, err
		}
		known.byID[id] = v
		known.visits[v.Patient] = append(known.visits[v.Patient], v)
		if v.Booking != "" {
			known.bookings[v.Booking] = v
		}
	}
	return known, problems, nil
}

// recognise says what a line is: of whom, and whether the visit stands already. The same birth date with a name
// that shares a word is asked about rather than taken for another person.
func (k *acquaintances) recognise(e *Entry) {
	if len(e.Doubts) > 0 && (e.Born.IsZero() || e.At.IsZero()) {
		return
	}
	if v, ok := k.bookings[e.Reference]; ok && e.Reference != "" {
		k.booked(e, v)
		return
	}
	found := k.patients[personKey(e.Row)]
	switch {
	case len(found) > 1:
		e.doubt("several_patients", booking.Name)
		return
	case len(found) == 1:
		e.Patient, e.Number, e.What = found[0].ID, found[0].Number, EntryReturning
	default:
		k.newOrNear(e)
		return
	}
	for _, v := range k.visits[e.Patient] {
		switch {
		case v.Appointment.Equal(e.At):
			k.stands(e, v)
			return
		case v.Booking == "" && e.Reference == "" && measure.DateOf(v.Appointment, k.zone) == e.On:
			e.Visit = v.ID
			e.doubt("other_time", booking.Time)
			return
		}
	}
}

// newOrNear is a line whose name and birth date nobody here has together. Somebody with that birth date and a similar
// name may be meant, or a twin: a person has to say, also where that patient has a visit at that very time.
func (k *acquaintances) newOrNear(e *Entry) {
	e.What = EntryNew
	for _, p := range k.births[e.Born] {
		if alike(e.Row, p) {
			e.Doubts = append(e.Doubts, booking.Doubt{
				ID: "near_patient", Field: booking.Name, Args: map[string]any{"number": cmp.Or(p.Number, p.ID)},
			})
			return
		}
	}
}

// absent are the visits to come on the days of a list that it does not name: somebody may have cancelled them. Where
// a line is unclear, it could be any of them, so that nothing is said of its day.
func (k *acquaintances) absent(entries []Entry, now time.Time) []Entry {
	days, named := map[measure.Date]bool{}, map[string]bool{}
	for _, e := range entries {
		if !e.On.IsZero() {
			days[e.On] = true
		}
	}
	for _, e := range entries {
		if named[e.Visit] = true; e.What == EntryUnclear {
			delete(days, e.On)
		}
	}
	var all []Entry
	for id, v := range k.byID {
		on := measure.DateOf(v.Appointment, k.zone)
		if !days[on] || named[id] || v.Treatment != nil || ended(v) || v.Appointment.Before(now) {
			continue
		}
		all = append(all, Entry{Visit: id, At: v.Appointment, Staff: v.Practitioner, Patient: v.Patient})
	}
	slices.SortFunc(all, func(a, b Entry) int { return cmp.Or(a.At.Compare(b.At), cmp.Compare(a.Visit, b.Visit)) })
	return all
}

// booked is a line whose booking the clinic has: it must be the same person's.
func (k *acquaintances) booked(e *Entry, v visit.Visit) {
	e.Patient = v.Patient
	for _, p := range k.births[e.Born] {
		if p.ID == v.Patient {
			e.Number = p.Number
		}
	}
	if e.Number == "" {
		e.doubt("other_person", booking.Reference)
		return
	}
	k.stands(e, v)
}

// stands compares a line with the visit that it names. A visit that was treated, or is of another kind, is not
// changed by a list.
func (k *acquaintances) stands(e *Entry, v visit.Visit) {
	e.Visit, e.What = v.ID, EntryKnown
	if string(v.Kind) != e.Kind && e.Kind != "" {
		e.doubt("other_kind", booking.Kind)
	}
	if v.Appointment.Equal(e.At) && (v.Practitioner == e.Staff || e.Staff == "") {
		return
	}
	if v.Treatment != nil {
		e.doubt("already_treated", booking.Time)
		return
	}
	e.What, e.Before, e.PractitionerBefore = EntryMoved, v.Appointment, v.Practitioner
}

// alike says whether a line and a patient born on the same day share a word of their names.
func alike(row booking.Row, p visit.Patient) bool {
	theirs := nameWords(p.Given + " " + p.Family + " " + p.Display)
	for _, w := range nameWords(row.Name + " " + row.Given + " " + row.Family) {
		if slices.Contains(theirs, w) {
			return true
		}
	}
	return false
}
