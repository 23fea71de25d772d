package screen

import (
	"philtrum/forms/measure"
	"philtrum/forms/place"
	"philtrum/forms/visit"

	"cel.dev/cel-go/common/types"
	"cel.dev/cel-go/common/types/ref"
)

// timeFact binds what earlier visits and the handing over of information say.
func (m *mind) timeFact(name string) ref.Val {
	switch name {
	case "first_treatment":
		_, treated := m.lastTreatment()
		return types.Bool(!treated)
	case "repeat_treatment":
		last, treated := m.lastTreatment()
		months := m.Place.Reflection.RepeatMonths
		return types.Bool(treated && months > 0 && !m.day.After(last.AddMonths(months)))
	case "information_handed":
		return types.Bool(!m.informedOn().IsZero())
	case "same_day":
		on := m.informedOn()
		return types.Bool(on.IsZero() || !on.Before(m.day))
	case "dissolved_here":
		return types.Bool(!m.factDate(dissolvedHereOn).IsZero())
	case "reflection_days":
		return types.Int(m.reflectionDays())
	case "reflection_by_law":
		return types.Bool(m.Place.Reflection.Standing == place.Law && m.Place.Reflection.Days > 0)
	}
	return nil
}

// reflectionDays is the law's period or the clinic's, whichever is longer.
func (m *mind) reflectionDays() int {
	return m.Clinic.Policy.ReflectionDays(m.Place.Reflection.Days)
}

// lastTreatment is the day of the last earlier visit in which filler was given.
func (m *mind) lastTreatment() (measure.Date, bool) {
	var last measure.Date
	for i := range m.Earlier {
		if on := m.treatedOn(&m.Earlier[i]); on.After(last) && !on.After(m.day) {
			last = on
		}
	}
	return last, !last.IsZero()
}

// treatedOn is the day on which filler was given in a visit; zero if none was.
func (m *mind) treatedOn(v *visit.Visit) measure.Date {
	if v.Treatment == nil || len(v.Treatment.Rows) == 0 || v.ID == m.Visit.ID {
		return measure.Date{}
	}
	at := v.Treatment.Start
	if at.IsZero() {
		at = v.Appointment
	}
	if m.Clinic.Zone != nil {
		at = at.In(m.Clinic.Zone)
	}
	return measure.DateOf(at, at.Location())
}

// informedOn is the first day on which the information was handed over in this visit, or else in the visit
// that it continues; zero if it never was.
func (m *mind) informedOn() measure.Date {
	if on := m.handedOn(&m.Visit); !on.IsZero() {
		return on
	}
	for i := range m.Earlier {
		if e := &m.Earlier[i]; m.Visit.After != "" && e.ID == m.Visit.After {
			return m.handedOn(e)
		}
	}
	return measure.Date{}
}

func (m *mind) handedOn(v *visit.Visit) measure.Date {
	var first measure.Date
	for _, h := range v.Handed {
		if h.Paper != "information" || h.At.IsZero() {
			continue
		}
		at := h.At
		if m.Clinic.Zone != nil {
			at = at.In(m.Clinic.Zone)
		}
		if on := measure.DateOf(at, at.Location()); first.IsZero() || on.Before(first) {
			first = on
		}
	}
	return first
}

// factDate is a date that no question gives; zero if there is none.
func (m *mind) factDate(name string) measure.Date {
	if name == informationOn {
		return m.informedOn()
	}
	var last measure.Date
	for i := range m.Earlier {
		v := &m.Earlier[i]
		if v.Kind != visit.Dissolving || v.ID == m.Visit.ID {
			continue
		}
		at := v.Appointment
		if m.Clinic.Zone != nil {
			at = at.In(m.Clinic.Zone)
		}
		if on := measure.DateOf(at, at.Location()); on.After(last) && !on.After(m.day) {
			last = on
		}
	}
	return last
}
