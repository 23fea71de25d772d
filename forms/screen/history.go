package screen

import (
	"slices"
	"strings"
	"time"

	"philtrum/forms/measure"
	"philtrum/forms/medicine"
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
	case "consent_too_early":
		return types.Bool(m.consentTooEarly())
	case "consent_before_information":
		return types.Bool(m.consentBeforeInformation())
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

// consentTooEarly says whether the consent that stands was given before the time to reflect had run, where
// the place counts that time to the consent; elsewhere it counts to the procedure.
func (m *mind) consentTooEarly() bool {
	given, ok := m.Visit.Consented()
	on := m.informedOn()
	if !ok || on.IsZero() || m.Place.Reflection.Before != "consent" {
		return false
	}
	return m.civil(given.At).Before(on.AddDays(m.reflectionDays()))
}

// consentBeforeInformation says whether the consent that stands was given before the information was handed
// over, or without.
func (m *mind) consentBeforeInformation() bool {
	given, ok := m.Visit.Consented()
	at := m.informedAt()
	return ok && (at.IsZero() || given.At.Before(at))
}

// civil is the day of a time at the clinic.
func (m *mind) civil(at time.Time) measure.Date {
	if m.Clinic.Zone != nil {
		at = at.In(m.Clinic.Zone)
	}
	return measure.DateOf(at, at.Location())
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
	given := func(row visit.Row) bool { return m.isFiller(v, row) }
	if v.Treatment == nil || v.ID == m.Visit.ID || !slices.ContainsFunc(v.Treatment.Rows, given) {
		return measure.Date{}
	}
	return m.startOf(v)
}

// startOf is the day on which a treatment began.
func (m *mind) startOf(v *visit.Visit) measure.Date {
	if v.Treatment.Start.IsZero() {
		return m.civil(v.Appointment)
	}
	return m.civil(v.Treatment.Start)
}

// isFiller says whether a row of a visit laid filler: what dissolves it is none, nor is a row without a
// product where the visit is for dissolving.
func (m *mind) isFiller(v *visit.Visit, row visit.Row) bool {
	if row.Product == "" {
		return v.Kind != visit.Dissolving
	}
	return !m.dissolver(row.Product)
}

// dissolvedOn is the day on which filler was dissolved in a visit; zero if none was. A dissolving treatment is
// recorded as a visit for dissolving whose treatment has begun, or as hyaluronidase among the substances,
// syringes or rows of any treatment. What a note says or the kit held is none.
func (m *mind) dissolvedOn(v *visit.Visit) measure.Date {
	g := v.Treatment
	if g == nil || v.ID == m.Visit.ID {
		return measure.Date{}
	}
	named := slices.ContainsFunc(g.Anaesthetics, func(a visit.Anaesthetic) bool { return m.dissolver(a.Substance) }) ||
		slices.ContainsFunc(g.Syringes, func(s visit.Syringe) bool { return m.dissolver(s.Product) }) ||
		slices.ContainsFunc(g.Rows, func(r visit.Row) bool { return m.dissolver(r.Product) }) ||
		g.Dissolved != nil && len(g.Dissolved.Doses) > 0
	if !named && (v.Kind != visit.Dissolving || g.Start.IsZero()) {
		return measure.Date{}
	}
	return m.startOf(v)
}

// dissolver says whether a substance, or a product by its id or its name, is hyaluronidase.
func (m *mind) dissolver(text string) bool {
	const inn = "hyaluronidase"
	names := []string{text}
	if p, found := m.Stock.Product(text); found {
		names = append(names, p.Name)
	}
	return slices.ContainsFunc(names, func(name string) bool {
		return strings.Contains(strings.ToLower(name), inn) || slices.ContainsFunc(m.rules.lexicon.Match(name),
			func(x medicine.Match) bool { return x.Recognised && x.INN == inn })
	})
}

// informedOn is the day of informedAt; zero if the information was never handed over.
func (m *mind) informedOn() measure.Date {
	at := m.informedAt()
	if at.IsZero() {
		return measure.Date{}
	}
	return m.civil(at)
}

// informedAt is the first time at which the information was handed over in this visit, or else in the visit
// that it continues; zero if it never was.
func (m *mind) informedAt() time.Time {
	if h, ok := m.Visit.HandedFirst("information"); ok {
		return h.At
	}
	for i := range m.Earlier {
		if e := &m.Earlier[i]; m.Visit.After != "" && e.ID == m.Visit.After {
			h, _ := e.HandedFirst("information")
			return h.At
		}
	}
	return time.Time{}
}

// factDate is a date that no question gives; zero if there is none.
func (m *mind) factDate(name string) measure.Date {
	if name == informationOn {
		return m.informedOn()
	}
	var last measure.Date
	for i := range m.Earlier {
		if on := m.dissolvedOn(&m.Earlier[i]); on.After(last) && !on.After(m.day) {
			last = on
		}
	}
	return last
}
