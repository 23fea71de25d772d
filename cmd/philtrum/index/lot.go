package index

import (
	"cmp"
	"slices"
	"strings"
	"time"
)

// Use is one use of a lot in a visit.
type Use struct {
	Visit, Patient       string
	At                   time.Time // of the appointment
	What                 int       // Filler, Medicine or Planned
	Product, Device, Lot string    // as typed
	Zone, Side           string    // of a row; empty otherwise
	Microlitres          int64     // below zero: not said
	Why                  string    // of a possible use: one of the reasons
}

// Why a visit may have used a lot that is not entered in it.
const (
	WhyNear   = "near"   // a lot that is easily mistyped for it
	WhyUnsure = "unsure" // one of several syringes, and the row does not say which
	WhyNoLot  = "no_lot" // the same product in the time in which the lot was used, with no lot entered
	WhyDevice = "device" // the lot, and nothing that tells which device it is of
	WhyUnread = "unread" // its file cannot be read
)

// Match says whether a product and a device identifier of an entry are those that are looked for.
type Match int

// Matches.
const (
	No Match = iota
	Maybe
	Yes
)

// Question is what is asked of a lot.
type Question struct {
	Lot      string
	Products []string // ids of products that the lot may be of, where known
	// Fits judges the product and device of an entry with the lot; nil takes all.
	Fits func(product, device string) Match
}

// Answer is who had a lot, and who may have had it.
type Answer struct {
	Certain, Planned, Possible []Use
}

const useColumns = "v.id, v.patient, v.at, e.what, e.product, e.device, e.lot, e.zone, e.side, e.volume, e.sure FROM entry e "

// The index to go by is named: without statistics SQLite takes the one that it finds first.
const (
	byLot     = "INDEXED BY entry_near JOIN visit v ON v.n = e.visit WHERE e.near = ?"
	withNoLot = "INDEXED BY entry_none JOIN visit v ON v.n = e.visit WHERE e.norm = '' AND e.what <> 2"
)

// Lot finds the visits in which a lot was used, in order of time.
func (x *Index) Lot(q Question) (Answer, error) {
	var a Answer
	norm := Normal(q.Lot)
	if norm == "" {
		return a, nil
	}
	all, sure, err := x.uses(byLot, Near(q.Lot))
	if err != nil {
		return a, err
	}
	products := slices.Clone(q.Products)
	for i, u := range all {
		fit := Yes
		if q.Fits != nil {
			fit = q.Fits(u.Product, u.Device)
		}
		if fit != Yes && Normal(u.Lot) != norm {
			fit = No // two doubts at once are none
		}
		switch {
		case fit == No:
			continue
		case Normal(u.Lot) != norm:
			u.Why = WhyNear
		case u.What == Planned:
			a.Planned = append(a.Planned, u)
			continue
		case fit == Maybe:
			u.Why = WhyDevice
		case !sure[i]:
			u.Why = WhyUnsure
		default:
			a.Certain = append(a.Certain, u)
			products = append(products, u.Product)
			continue
		}
		a.Possible = append(a.Possible, u)
	}
	if err := x.withoutLot(&a, products); err != nil {
		return a, err
	}
	unread, err := x.unread()
	if err != nil {
		return a, err
	}
	a.Possible = append(withoutKnown(a.Possible, a.Certain), unread...)
	slices.SortStableFunc(a.Possible, func(v, w Use) int { return cmp.Or(v.At.Compare(w.At), cmp.Compare(v.Visit, w.Visit)) })
	return a, nil
}

// withoutLot adds what was used without a lot, of these products or of none that is named, from the day of the
// first known use to that of the last; on any day where there is none.
func (x *Index) withoutLot(a *Answer, products []string) error {
	slices.Sort(products)
	products = slices.Compact(products)
	marks := []string{"''"}
	var args []any
	for _, p := range products {
		if p != "" {
			marks = append(marks, "?")
			args = append(args, p)
		}
	}
	if len(args) == 0 {
		return nil
	}
	where := withNoLot + " AND e.product IN (" + strings.Join(marks, ",") + ")"
	if n := len(a.Certain); n > 0 {
		where += " AND e.at BETWEEN ? AND ?"
		args = append(args, midnight(a.Certain[0].At).Unix(), midnight(a.Certain[n-1].At).AddDate(0, 0, 1).Unix()-1)
	}
	uses, _, err := x.uses(where, args...)
	for _, u := range uses {
		u.Why = WhyNoLot
		a.Possible = append(a.Possible, u)
	}
	return err
}

func midnight(at time.Time) time.Time {
	return time.Date(at.Year(), at.Month(), at.Day(), 0, 0, 0, 0, at.Location())
}

// withoutKnown leaves out possible uses of visits that had the lot for certain.
func withoutKnown(possible, certain []Use) []Use {
	known := map[string]bool{}
	for _, u := range certain {
		known[u.Visit] = true
	}
	return slices.DeleteFunc(possible, func(u Use) bool { return known[u.Visit] })
}

func (x *Index) uses(where string, args ...any) (uses []Use, sure []bool, err error) {
	rows, err := x.db.Query("SELECT "+useColumns+" "+where+" ORDER BY v.at, v.id, e.rowid", args...)
	if err != nil {
		return nil, nil, failed(err)
	}
	defer rows.Close()
	for rows.Next() {
		var u Use
		var at int64
		var s bool
		if err := rows.Scan(&u.Visit, &u.Patient, &at, &u.What, &u.Product, &u.Device, &u.Lot, &u.Zone, &u.Side, &u.Microlitres, &s); err != nil {
			return nil, nil, failed(err)
		}
		u.At = time.Unix(at, 0).In(x.zone)
		uses, sure = append(uses, u), append(sure, s)
	}
	return uses, sure, failed(rows.Err())
}

// unread are the visits whose files cannot be read: nobody can say what was used in them.
func (x *Index) unread() ([]Use, error) {
	rows, err := x.db.Query("SELECT id, patient, at FROM visit INDEXED BY visit_unread WHERE unread > 0")
	if err != nil {
		return nil, failed(err)
	}
	defer rows.Close()
	var uses []Use
	for rows.Next() {
		u := Use{Microlitres: noVolume, Why: WhyUnread}
		var at int64
		if err := rows.Scan(&u.Visit, &u.Patient, &at); err != nil {
			return nil, failed(err)
		}
		if at > 0 {
			u.At = time.Unix(at, 0).In(x.zone)
		}
		uses = append(uses, u)
	}
	slices.SortFunc(uses, func(u, v Use) int { return cmp.Compare(u.Visit, v.Visit) })
	return uses, failed(rows.Err())
}
