package desk

import (
	"slices"

	"philtrum/cmd/philtrum/index"
	"philtrum/forms/device"
	"philtrum/forms/measure"
	"philtrum/forms/source"
	"philtrum/forms/visit"
)

// History is what was done for a patient, visit by visit.
type History struct {
	Patient, Number, Initials string
	Visits                    []PastVisit
	Course                    []visit.Sum    // volume by zone over all visits
	All                       measure.Volume // of all visits that can be read
	Year                      measure.Volume // of the twelve months before the desk's day
	Unread                    int            // rows without a volume that can be read: the sums are too small by them
	Problems                  source.Problems
}

// PastVisit is one visit of a history.
type PastVisit struct {
	Visit      string
	Kind       visit.Kind
	On         measure.Date
	By         string // who injected, or else the practitioner of the visit
	Treated    bool
	Products   []ProductLot
	Zones      []visit.Sum
	All        measure.Volume
	Unread     int
	Dissolving bool   // hyaluronidase was given
	Reaction   string // as recorded right after
	Event      *visit.Event
	Amended    int
}

// ProductLot is what was used: the id of a line or a substance, and the lot as typed, empty where none was.
type ProductLot struct{ Product, Lot string }

// History gathers the visits of a patient, oldest first.
func (d *Desk) History(id string) (History, error) {
	h := History{Patient: id}
	p, problems, err := d.readPatient(id)
	if err != nil {
		return h, err
	}
	h.Problems, h.Number, h.Initials = problems, p.Number, Initials(p)
	visits, problems, err := d.visitsOf(id)
	if err != nil {
		return h, err
	}
	h.Problems = append(h.Problems, problems...)
	today := measure.DateOf(d.at, d.clinic.Zone)
	var year []visit.Visit
	for _, v := range visits {
		past := d.past(v)
		h.Visits = append(h.Visits, past)
		h.Unread += past.Unread
		if !past.On.Before(measure.Date{Year: today.Year - 1, Month: today.Month, Day: today.Day}) && !past.On.After(today) {
			year = append(year, v)
		}
	}
	all := visit.TotalOf(visits)
	h.Course, h.All, h.Year = all.ByZone, all.All, visit.TotalOf(year).All
	return h, nil
}

func (d *Desk) past(v visit.Visit) PastVisit {
	past := PastVisit{Visit: v.ID, Kind: v.Kind, On: measure.DateOf(v.Appointment, d.clinic.Zone), By: v.Practitioner, Amended: len(v.Amendments)}
	if v.Treatment == nil {
		return past
	}
	g := *v.Treatment
	past.Treated, past.Reaction, past.Event = true, g.Reaction, g.Event
	if g.By != "" {
		past.By = g.By
	}
	sums := g.Totals()
	past.Zones, past.All, past.Unread = sums.ByZone, sums.All, sums.Unread
	add := func(product, lot string) {
		same := func(o ProductLot) bool {
			return o.Product == product && (o.Lot == lot || device.SameLot(o.Lot, lot))
		}
		if (product != "" || lot != "") && !slices.ContainsFunc(past.Products, same) {
			past.Products = append(past.Products, ProductLot{product, lot})
		}
	}
	for _, s := range g.Syringes {
		add(s.Product, s.Lot)
	}
	for _, r := range g.Rows {
		if r.Lot != "" || len(g.Syringes) == 0 {
			add(r.Product, r.Lot)
		}
	}
	for _, a := range g.Anaesthetics {
		add(a.Substance, a.Lot)
	}
	if g.Dissolved != nil {
		past.Dissolving = len(g.Dissolved.Vials) > 0 || len(g.Dissolved.Doses) > 0
		for _, vial := range g.Dissolved.Vials {
			add(vial.Substance, vial.Lot)
		}
	}
	past.Dissolving = past.Dissolving || v.Kind == visit.Dissolving && !g.Start.IsZero()
	return past
}

// visitsOf reads the visits of a patient in order of time. Visits whose files cannot be read are problems where
// they name the patient: nothing of theirs may drop out unseen.
func (d *Desk) visitsOf(patient string) ([]visit.Visit, source.Problems, error) {
	ids, err := d.visitIDs(patient, Whole)
	if err != nil {
		return nil, nil, err
	}
	var visits []visit.Visit
	var problems source.Problems
	for _, id := range ids {
		v, found, err := d.readVisit(id)
		if err != nil {
			return nil, nil, err
		}
		if v.ID == "" || v.Patient == "" || v.Appointment.IsZero() {
			problems = append(problems, found...)
		}
		if v.Patient == patient {
			visits = append(visits, v)
		}
	}
	slices.SortStableFunc(visits, func(a, b visit.Visit) int { return a.Appointment.Compare(b.Appointment) })
	return visits, problems, nil
}

// visitIDs are the visits whose files name a patient, by the index; unreadable ones are looked into.
func (d *Desk) visitIDs(patient string, how Thorough) ([]string, error) {
	var ids, unread []string
	err := d.search(how, func(x *index.Index) error {
		ids, unread = nil, nil
		lines, err := x.OfPatient(patient)
		if err != nil {
			return err
		}
		for _, l := range lines {
			ids = append(ids, l.Visit)
		}
		broken, err := x.Unreadable()
		for _, l := range broken {
			if !slices.Contains(ids, l.Visit) {
				unread = append(unread, l.Visit)
			}
		}
		return err
	})
	if err != nil {
		return nil, err
	}
	for _, id := range unread {
		about, err := d.mentions(id, patient)
		if err != nil {
			return nil, err
		}
		if about {
			ids = append(ids, id)
		}
	}
	return ids, nil
}

// NamedPerson finds the patients of a name who were born on a day.
func (d *Desk) NamedPerson(name string, born measure.Date) ([]string, error) {
	var ids []string
	err := d.search(Quick, func(x *index.Index) (err error) {
		ids, err = x.Named(name, born)
		return err
	})
	return ids, err
}
