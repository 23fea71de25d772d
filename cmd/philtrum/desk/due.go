package desk

import (
	"slices"
	"strings"

	"philtrum/cmd/philtrum/index"
	"philtrum/forms/clinic"
	"philtrum/forms/measure"
	"philtrum/forms/screen"
	"philtrum/forms/visit"
)

// Due is something that somebody has to see to by a day.
type Due struct {
	Why    DueWhy
	On     measure.Date // the day it is due, or since when it is open
	Visit  string       // empty: of the clinic, such as stock
	Number string       // the patient's opaque number
	Person string       // whose it is: the practitioner, or who took over from one who has left
	Left   string       // the one who has left, where nobody took over
	Item   string       // of stock and kit: the line or the item; of a recall: the lot
	Lot    string
	Count  int // of recipients not reached
}

// DueWhy is what is due.
type DueWhy string

// What may be due.
const (
	DueReview    DueWhy = "review"     // a planned review without a visit
	DueWait      DueWhy = "wait"       // a dated wait that has ended: the visit can be planned anew
	DueHeld      DueWhy = "held"       // an appointment within the days ahead, and something is open
	DueConsent   DueWhy = "consent"    // a consent was printed, or a treatment given, and no consent was recorded
	DueNoLot     DueWhy = "no_lot"     // a product was used and no lot entered
	DueRecord    DueWhy = "record"     // treated, and no record was printed
	DueCall      DueWhy = "call"       // a call or complication that nothing followed
	DueScan      DueWhy = "scan"       // a decision copied from a sheet whose scan is not there
	DueVisit     DueWhy = "visit"      // an appointment of somebody who has left
	DuePassed    DueWhy = "passed"     // an appointment that passed with nothing recorded
	DueUnread    DueWhy = "unread"     // a file that cannot be read
	DueStock     DueWhy = "stock"      // stock that expires
	DueKit       DueWhy = "kit"        // an item of the emergency kit that expires
	DueRecall    DueWhy = "recall"     // patients of a recalled lot who have not been reached
	DueAnswers   DueWhy = "answers"    // an appointment within the days ahead, and questions without an answer
	DueReflect   DueWhy = "reflection" // an appointment within the days ahead, before which the time to think runs on
	DueInterpret DueWhy = "interpreter"
)

// How far ahead of a day `due` looks, in days: appointments a week, stock and kit a month. Common
// practice, no source.
const (
	dueAhead    = 7
	expiryAhead = 30
	// waitsBack is how long ago the appointment of a visit may lie whose wait is looked at.
	waitsBack = 200
)

// Dues lists what is due on a day, by day. Items of people who no longer work here go to whoever took over.
func (d *Desk) Dues(on measure.Date) ([]Due, error) {
	var lines []index.Line
	others := map[string][]index.Line{}
	err := d.search(Whole, func(x *index.Index) (err error) {
		if lines, err = x.Unfinished(); err != nil {
			return err
		}
		for _, l := range lines {
			if _, known := others[l.Patient]; known || !l.Open.Has(index.Review|index.Call|index.Pending) {
				continue
			}
			if others[l.Patient], err = x.OfPatient(l.Patient); err != nil {
				return err
			}
		}
		unread, err := x.Unreadable()
		for _, l := range unread {
			if !slices.ContainsFunc(lines, func(m index.Line) bool { return m.Visit == l.Visit }) {
				lines = append(lines, l)
			}
		}
		return err
	})
	if err != nil {
		return nil, err
	}
	var due []Due
	for _, l := range lines {
		found, err := d.dueOf(l, others[l.Patient], on)
		if err != nil {
			return nil, err
		}
		due = append(due, found...)
	}
	due = append(due, d.dueStock(on)...)
	recalls, err := d.dueRecalls(on)
	if err != nil {
		return nil, err
	}
	due = append(due, recalls...)
	people := map[string]visit.Patient{}
	for i := range due {
		if due[i].Visit != "" {
			due[i].Number, _ = d.route(due[i].Number, people)
		}
	}
	slices.SortStableFunc(due, func(a, b Due) int { return a.On.Compare(b.On) })
	return due, nil
}

// dueOf is what is due of one visit; others are the visits of its patient.
func (d *Desk) dueOf(l index.Line, others []index.Line, on measure.Date) ([]Due, error) {
	day := measure.DateOf(l.At, d.clinic.Zone)
	var due []Due
	person, left := d.follower(l.Practitioner, on)
	add := func(why DueWhy, when measure.Date) {
		due = append(due, Due{Why: why, On: when, Visit: l.Visit, Number: l.Patient, Person: person, Left: left})
	}
	if l.Unread {
		add(DueUnread, on)
		return due, nil
	}
	past := !day.After(on)
	if l.Open.Has(index.Consent) && past {
		add(DueConsent, day)
	}
	if l.Open.Has(index.NoLot) && past {
		add(DueNoLot, day)
	}
	if l.Open.Has(index.NoRecord) && past {
		add(DueRecord, day)
	}
	if l.Open.Has(index.Scan) && past {
		add(DueScan, day)
	}
	if review, err := measure.ParseDate(l.Review); err == nil && l.Open.Has(index.Review) && !review.After(on) && !followed(l, others, true) {
		add(DueReview, review)
	}
	if l.Open.Has(index.Call) && past && !followed(l, others, false) {
		add(DueCall, day)
	}
	if !l.Open.Has(index.Pending) || l.Open.Has(index.Call) {
		return due, nil
	}
	if person != l.Practitioner || left != "" {
		if !day.Before(on) { // screening judges a visit with who treats: it has to be moved
			add(DueVisit, day)
		}
	}
	if day.AddDays(waitsBack).Before(on) || day.After(on.AddDays(dueAhead)) {
		return due, nil
	}
	if l.Kind == string(visit.Consultation) && day.Before(on) || followed(l, others, false) {
		return due, nil
	}
	found, err := d.screened(l, day, on)
	for _, f := range found {
		add(f.Why, f.On)
	}
	return due, err
}

// followed says whether a later visit of the patient took a visit up; for a review only one that names it or is
// a review.
func followed(l index.Line, others []index.Line, review bool) bool {
	return slices.ContainsFunc(others, func(o index.Line) bool {
		if o.Visit == l.Visit {
			return false
		}
		return o.After == l.Visit || o.At.After(l.At) && (!review || o.Kind == string(visit.Review))
	})
}

// screened is what screening says of a visit that was not treated yet.
func (d *Desk) screened(l index.Line, day, on measure.Date) ([]Due, error) {
	checked, err := d.Check(l.Visit)
	if err != nil {
		return nil, err
	}
	if len(checked.Problems) > 0 {
		return []Due{{Why: DueHeld, On: day}}, nil
	}
	earliest := checked.Report.Earliest
	if !earliest.IsZero() && !earliest.After(on) && day.Before(earliest) {
		return []Due{{Why: DueWait, On: earliest}}, nil
	}
	if day.Before(on) {
		return []Due{{Why: DuePassed, On: day}}, nil
	}
	var due []Due
	c := checked.Case
	unknown := slices.ContainsFunc(checked.Report.Findings, func(f screen.Finding) bool { return f.Unknown })
	if unknown {
		due = append(due, Due{Why: DueAnswers, On: day})
	}
	if !earliest.IsZero() && earliest.After(day) {
		why := DueHeld
		if strings.HasPrefix(checked.Report.HeldBy, "reflection.") {
			why = DueReflect
		}
		due = append(due, Due{Why: why, On: day})
	} else if slices.ContainsFunc(checked.Report.Findings, func(f screen.Finding) bool { return f.Open() && !f.Unknown }) {
		due = append(due, Due{Why: DueHeld, On: day})
	}
	if c.Patient.Interpreter.Needed && c.Visit.Interpreter == nil {
		due = append(due, Due{Why: DueInterpret, On: day})
	}
	return due, nil
}

// follower is whose a visit is on a day: the practitioner's, or of the one who took over from them; left names
// a person who is gone and from whom nobody took over.
func (d *Desk) follower(id string, on measure.Date) (person, left string) {
	seen := map[string]bool{}
	for at := id; at != "" && !seen[at]; {
		seen[at] = true
		p, known := d.person(at)
		if known && p.Works(on) {
			return at, ""
		}
		at = p.Successor
	}
	if id == "" {
		return "", ""
	}
	return id, id
}

// dueStock is what expires within the days ahead, or has expired.
func (d *Desk) dueStock(on measure.Date) []Due {
	var due []Due
	add := func(why DueWhy, item string, lot clinic.Lot) {
		if lot.Count > 0 && !lot.Expiry.After(on.AddDays(expiryAhead)) {
			due = append(due, Due{Why: why, On: lot.Expiry, Item: item, Lot: lot.Number})
		}
	}
	for _, p := range d.stock.Products {
		for _, lot := range p.Stock {
			add(DueStock, p.Name, lot)
		}
	}
	for _, k := range d.stock.Kit {
		add(DueKit, k.Item, k.Lot)
	}
	return due
}

// dueRecalls counts the patients of recalled lots who have not been reached.
func (d *Desk) dueRecalls(on measure.Date) ([]Due, error) {
	recalls, _, err := d.Recalls()
	if err != nil {
		return nil, err
	}
	var due []Due
	for _, r := range recalls {
		if r.On.After(on) {
			continue
		}
		a, err := d.Lot(r.Lot, r.Device, Quick)
		if err != nil {
			return nil, err
		}
		if n := len(a.Unreached()); n > 0 {
			due = append(due, Due{Why: DueRecall, On: r.On, Item: r.Lot, Lot: r.Lot, Count: n})
		}
	}
	return due, nil
}

// Unreached are the patients who had the lot for certain and with whom nobody has spoken yet, each once.
func (a LotAnswer) Unreached() []string {
	var ids []string
	for _, r := range a.Certain {
		answered := slices.ContainsFunc(r.Reached, func(x Reached) bool { return x.Answered })
		if !answered && !slices.Contains(ids, r.Patient) {
			ids = append(ids, r.Patient)
		}
	}
	return ids
}
