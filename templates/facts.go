package templates

import (
	"time"

	"philtrum/forms/clinic"
	"philtrum/forms/intake"
	"philtrum/forms/measure"
	"philtrum/forms/place"
	"philtrum/forms/screen"
	"philtrum/forms/visit"
)

// Facts is everything that a paper may say. [Gather] makes it from what the forms know; it holds no words.
type Facts struct {
	Issue        Issue
	Clinic       clinic.Clinic
	Place        place.Place // of the clinic
	Stay         place.Place // where the patient will be, if that is elsewhere and known
	Patient      visit.Patient
	Visit        visit.Visit
	Practitioner clinic.Person // zero where the visit names nobody
	Staff        []clinic.Person
	Stock        clinic.Stock
	Report       screen.Report
	Intake       intake.Intake
	Earlier      []visit.Visit // of the same patient
	// OnTheDay are the questions whose answers count only when given on the day of the appointment, and
	// that have no such answer yet.
	OnTheDay []string
	// Covered is the plan that consent was given to, for findings of the record.
	Covered visit.Plan
	Seal    *Sealing // of the cover of a sealed file

	kind, version, language, second string // of the paper, set by Compose
}

// Issue is what is known of the paper itself. Everything in it is recorded data, never the moment of
// rendering.
type Issue struct {
	Document   string    // document id; empty while it is being worked out
	At         time.Time // zero: not recorded
	Draft      bool      // the texts of the paper's language are not released by the clinic
	Supersedes string    // id of the paper that this one takes the place of
	Reading    Reading   // why nobody may sign this copy; empty: it has room for signatures
	Screen     bool      // a form to be filled in on a screen, which names nobody
	Filled     bool      // a questionnaire with the answers that were given

	DraftBeside bool // the texts of the second language are not released
}

// Reading is why a paper is a copy for reading alone.
type Reading string

// Reasons. A signature stands on a text that was released, or on the clinic's with an interpreter who attends.
const (
	DraftText        Reading = "draft"       // the text is not released
	LacksInterpreter Reading = "interpreter" // the patient does not read the language, and nobody interprets
	SignedElsewhere  Reading = "elsewhere"   // only staff sign it, and they sign the clinic's text that goes with it
)

// reviewOn is the day of the review: the planned one, or the next on which the clinic is open.
func (f *Facts) reviewOn() measure.Date {
	if f.Visit.Plan.ReviewOn.IsZero() {
		return measure.Date{}
	}
	return f.Clinic.Hours.NextOpen(f.Visit.Plan.ReviewOn)
}

// Gather collects the facts of a visit.
func Gather(issue Issue, c screen.Case, report screen.Report) Facts {
	f := Facts{
		Issue: issue, Earlier: c.Earlier, Clinic: c.Clinic, Place: c.Place, Patient: c.Patient, Visit: c.Visit,
		Staff: c.Staff, Stock: c.Stock, Report: report, Intake: c.Intake, Covered: covered(c.Visit),
	}
	f.Practitioner = f.person(c.Visit.Practitioner)
	f.OnTheDay = onTheDay(c, report, f.zone())
	return f
}

func onTheDay(c screen.Case, report screen.Report, zone *time.Location) []string {
	var ids []string
	for _, id := range report.Asked {
		if c.Intake.Form == nil {
			break
		}
		q, ok := c.Intake.Form.Question(id)
		if !ok || !q.ShelfLife.OnTheDay {
			continue
		}
		a, given := c.Intake.Answer(id)
		if given && !c.Visit.Appointment.IsZero() &&
			measure.DateOf(a.At, zone) == measure.DateOf(c.Visit.Appointment, zone) {
			continue
		}
		ids = append(ids, id)
	}
	return ids
}

// zone is the clinic's time zone.
func (f *Facts) zone() *time.Location {
	if f.Clinic.Zone == nil {
		return time.UTC
	}
	return f.Clinic.Zone
}

// person finds staff by id; someone unknown keeps the id as a name, so that it is on the paper.
func (f *Facts) person(id string) clinic.Person {
	for _, p := range f.Staff {
		if p.ID == id && id != "" {
			return p
		}
	}
	return clinic.Person{ID: id, Name: id}
}

func (f *Facts) product(id string) (clinic.Product, bool) {
	for _, p := range f.Stock.Products {
		if p.ID == id && id != "" {
			return p, true
		}
	}
	return clinic.Product{ID: id, Name: id}, false
}

// treatedAt is the end of the treatment, or its start where no end is recorded; zero before it.
func (f *Facts) treatedAt() time.Time {
	switch t := f.Visit.Treatment; {
	case t == nil:
		return time.Time{}
	case !t.End.IsZero():
		return t.End
	default:
		return t.Start
	}
}

// treatedOn is day 0: the civil day of the treatment, or of the appointment before it.
func (f *Facts) treatedOn() measure.Date {
	at := f.treatedAt()
	if at.IsZero() {
		at = f.Visit.Appointment
	}
	if at.IsZero() {
		return measure.Date{}
	}
	return measure.DateOf(at, f.zone())
}

// rows are the injections as given; before the treatment, as planned.
func (f *Facts) rows() []visit.Row {
	if f.Visit.Treatment != nil {
		return f.Visit.Treatment.Rows
	}
	return f.Visit.Plan.Rows
}

// products are the lines that were used or are planned, each once, in the order in which they appear.
func (f *Facts) products() []clinic.Product {
	var ids []string
	add := func(id string) {
		if id != "" && !contains(ids, id) {
			ids = append(ids, id)
		}
	}
	if t := f.Visit.Treatment; t != nil {
		for _, s := range t.Syringes {
			add(s.Product)
		}
	} else {
		add(f.Visit.Plan.Product)
	}
	for _, r := range f.rows() {
		add(r.Product)
	}
	var out []clinic.Product
	for _, id := range ids {
		p, _ := f.product(id)
		out = append(out, p)
	}
	return out
}

// informed is the first time that the information was handed over, in this visit or else in the one that
// it continues.
func (f *Facts) informed() (visit.Handed, bool) {
	if h, ok := f.Visit.HandedFirst("information"); ok {
		return h, true
	}
	for _, e := range f.Earlier {
		if f.Visit.After != "" && e.ID == f.Visit.After {
			return e.HandedFirst("information")
		}
	}
	return visit.Handed{}, false
}

// state finds the last change to a state of the consent.
func (f *Facts) state(s visit.ConsentState) (visit.StateChange, bool) {
	for i := len(f.Visit.States) - 1; i >= 0; i-- {
		if f.Visit.States[i].State == s {
			return f.Visit.States[i], true
		}
	}
	return visit.StateChange{}, false
}

// reflectionEnds is the first day on which consent (or the treatment) is lawful; zero where no reflection
// is due or the information was not handed over yet.
func (f *Facts) reflectionEnds() measure.Date {
	h, ok := f.informed()
	if !ok || f.reflectionDays() == 0 {
		return measure.Date{}
	}
	return measure.DateOf(h.At, f.zone()).AddDays(f.reflectionDays())
}

// reflectionDays is the period of the place, or the clinic's where that is longer; none for a repeated
// treatment within the months that the place allows.
func (f *Facts) reflectionDays() int {
	if f.repeats() {
		return 0
	}
	return f.Clinic.Policy.ReflectionDays(f.Place.Reflection.Days)
}

// repeats says whether filler was given within the months after which a place asks for a new period.
func (f *Facts) repeats() bool {
	months, on := f.Place.Reflection.RepeatMonths, f.treatedOn()
	if months == 0 || on.IsZero() {
		return false
	}
	for _, e := range f.Earlier {
		if e.ID == f.Visit.ID || e.Treatment == nil || len(e.Treatment.Rows) == 0 {
			continue
		}
		at := e.Treatment.Start
		if at.IsZero() {
			at = e.Appointment
		}
		if day := dayOf(at, f); !day.IsZero() && !day.After(on) && !on.After(day.AddMonths(months)) {
			return true
		}
	}
	return false
}
