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
// Of the visits with something to follow up, which may be all that a clinic has ever had, only those are kept
// for which something is due.
func (d *Desk) Dues(on measure.Date) ([]Due, error) {
	var found dues
	err := d.search(Whole, func(x *index.Index) error {
		found = dues{}
		if err := x.EachUnfinished(string(visit.Review), func(u index.Unfinished) { d.dueOf(u, on, &found) }); err != nil {
			return err
		}
		unread, err := x.Unreadable()
		if err != nil {
			return err
		}
		for _, l := range unread {
			if l.Open > 0 {
				continue // it was among the unfinished
			}
			number, err := x.Number(l.Patient)
			if err != nil {
				return err
			}
			d.dueOf(index.Unfinished{Line: l, Number: number}, on, &found)
		}
		return nil
	})
	if err != nil {
		return nil, err
	}
	due, err := d.screenAll(found, on)
	if err != nil {
		return nil, err
	}
	due = append(due, d.dueStock(on)...)
	recalls, err := d.dueRecalls(on)
	if err != nil {
		return nil, err
	}
	due = append(due, recalls...)
	slices.SortStableFunc(due, func(a, b Due) int { return a.On.Compare(b.On) })
	return due, nil
}

// dues are what is due by the index alone, and the visits that have to be screened, which is done once the
// index is closed.
type dues struct {
	all    []Due
	screen []toScreen
}

type toScreen struct {
	due Due // without why and when
	day measure.Date
	at  int // its place among the others
}

// screenAll screens what has to be, and puts what is found in its place.
func (d *Desk) screenAll(found dues, on measure.Date) ([]Due, error) {
	if len(found.screen) == 0 {
		return found.all, nil
	}
	// Visits that have to be screened are of late, so that what lies before them stays where it is.
	done := found.screen[0].at
	all, late := found.all[:done], slices.Clone(found.all[done:])
	first := done
	for _, s := range found.screen {
		all = append(all, late[done-first:s.at-first]...)
		done = s.at
		screened, err := d.screened(s.due.Visit, s.day, on)
		if err != nil {
			return nil, err
		}
		for _, one := range screened {
			s.due.Why, s.due.On = one.Why, one.On
			all = append(all, s.due)
		}
	}
	return append(all, late[done-first:]...), nil
}

// dueOf adds what is due of one visit.
func (d *Desk) dueOf(u index.Unfinished, on measure.Date, found *dues) {
	day := measure.DateOf(u.At, d.clinic.Zone)
	person, left := d.follower(u.Practitioner, on)
	due := Due{Visit: u.Visit, Number: u.Number, Person: person, Left: left}
	add := func(why DueWhy, when measure.Date) {
		due.Why, due.On = why, when
		found.all = append(found.all, due)
	}
	if u.Unread {
		add(DueUnread, on)
		return
	}
	past := !day.After(on)
	if u.Open.Has(index.Consent) && past {
		add(DueConsent, day)
	}
	if u.Open.Has(index.NoLot) && past {
		add(DueNoLot, day)
	}
	if u.Open.Has(index.NoRecord) && past {
		add(DueRecord, day)
	}
	if u.Open.Has(index.Scan) && past {
		add(DueScan, day)
	}
	if review, err := measure.ParseDate(u.Review); err == nil && u.Open.Has(index.Review) && !review.After(on) && !u.Reviewed {
		add(DueReview, review)
	}
	if u.Open.Has(index.Call) && past && !u.Followed {
		add(DueCall, day)
	}
	if !u.Open.Has(index.Pending) || u.Open.Has(index.Call) {
		return
	}
	if (person != u.Practitioner || left != "") && !day.Before(on) { // screening judges a visit with who treats: it has to be moved
		add(DueVisit, day)
	}
	if day.AddDays(waitsBack).Before(on) || day.After(on.AddDays(dueAhead)) {
		return
	}
	if u.Kind == string(visit.Consultation) && day.Before(on) || u.Followed {
		return
	}
	found.screen = append(found.screen, toScreen{due: due, day: day, at: len(found.all)})
}

// screened is what screening says of a visit that was not treated yet.
func (d *Desk) screened(id string, day, on measure.Date) ([]Due, error) {
	checked, err := d.Check(id)
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
