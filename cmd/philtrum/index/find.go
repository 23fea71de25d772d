package index

import (
	"database/sql"
	"errors"
	"time"

	"philtrum/forms/measure"
)

// Line is a visit as the index knows it.
type Line struct {
	Visit, Patient, Kind, Practitioner, After string
	At                                        time.Time
	Treated, Unread                           bool
	Open                                      Things
	Review                                    string // day of the planned review, empty: none
}

// Things are what of a visit that may have to be followed up, by its own file alone.
type Things int

// Has says whether one of the things is open.
func (o Things) Has(bit Things) bool { return o&bit != 0 }

// What may be open.
const (
	Consent  Things = openConsent  // a consent was printed, or a treatment given, and no consent was recorded
	NoLot    Things = openNoLot    // a product was used and no lot entered
	Review   Things = openReview   // a review is planned
	Call     Things = openCall     // somebody called, or had a complication
	Scan     Things = openScan     // a decision was copied from a sheet
	Pending  Things = openVisit    // not treated yet
	NoRecord Things = openNoRecord // treated, and no record was printed
)

const lineColumns = "SELECT id, patient, kind, practitioner, after, at, treated, unread, open, review FROM visit "

// OfPatient are the visits of a patient in order of time.
func (x *Index) OfPatient(patient string) ([]Line, error) {
	return x.lines("INDEXED BY visit_patient WHERE patient = ? ORDER BY at, id", patient)
}

// Unfinished is a visit with something to follow up, and what became of it.
type Unfinished struct {
	Line
	Number   string // the patient's, or their id where they have none
	Followed bool   // a later visit of the patient, or one that names it, took it up
	Reviewed bool   // so did a review, or a visit that names it
}

const unfinished = `SELECT v.id, v.patient, v.kind, v.practitioner, v.after, v.at, v.treated, v.unread, v.open, v.review,
	coalesce(nullif((SELECT number FROM patient WHERE id = v.patient), ''), v.patient),
	EXISTS (SELECT 1 FROM visit o INDEXED BY visit_patient WHERE o.patient = v.patient AND o.id <> v.id
		AND (o.after = v.id OR o.at > v.at)),
	EXISTS (SELECT 1 FROM visit o INDEXED BY visit_patient WHERE o.patient = v.patient AND o.id <> v.id
		AND (o.after = v.id OR o.at > v.at AND o.kind = ?))
	FROM visit v INDEXED BY visit_open WHERE v.open > 0 ORDER BY v.at, v.id`

// EachUnfinished hands each visit with something to follow up to take, in order of time, without keeping them;
// review is the kind of visit that is one. take must not ask the index.
func (x *Index) EachUnfinished(review string, take func(Unfinished)) error {
	rows, err := x.db.Query(unfinished, review)
	if err != nil {
		return failed(err)
	}
	defer rows.Close()
	for rows.Next() {
		var u Unfinished
		if err := x.scan(rows, &u.Line, &u.Number, &u.Followed, &u.Reviewed); err != nil {
			return err
		}
		take(u)
	}
	return failed(rows.Err())
}

// Unreadable are the visits whose files cannot be read.
func (x *Index) Unreadable() ([]Line, error) {
	return x.lines("INDEXED BY visit_unread WHERE unread > 0 ORDER BY id")
}

// Before are the visits whose appointments lie before a moment, oldest first.
func (x *Index) Before(at time.Time) ([]Line, error) {
	return x.lines("INDEXED BY visit_at WHERE at < ? ORDER BY at, id", at.Unix())
}

// Between are the visits whose appointments lie in a stretch of time, its end left out, oldest first.
func (x *Index) Between(from, to time.Time) ([]Line, error) {
	return x.lines("INDEXED BY visit_at WHERE at >= ? AND at < ? ORDER BY at, id", from.Unix(), to.Unix())
}

func (x *Index) lines(where string, args ...any) ([]Line, error) {
	rows, err := x.db.Query(lineColumns+where, args...)
	if err != nil {
		return nil, failed(err)
	}
	defer rows.Close()
	var lines []Line
	for rows.Next() {
		var l Line
		if err := x.scan(rows, &l); err != nil {
			return nil, err
		}
		lines = append(lines, l)
	}
	return lines, failed(rows.Err())
}

// scan reads a line, and what stands behind it in the row.
func (x *Index) scan(rows *sql.Rows, l *Line, more ...any) error {
	var at int64
	columns := append([]any{&l.Visit, &l.Patient, &l.Kind, &l.Practitioner, &l.After, &at, &l.Treated, &l.Unread, &l.Open, &l.Review}, more...)
	if err := rows.Scan(columns...); err != nil {
		return failed(err)
	}
	l.At = time.Unix(at, 0).In(x.zone)
	return nil
}

// Patient finds the id of the patient that goes by an id or a number; empty if nobody does.
func (x *Index) Patient(word string) (string, error) {
	var id string
	err := x.db.QueryRow("SELECT id FROM patient WHERE id = ?1 UNION ALL SELECT id FROM patient WHERE number = ?1 AND ?1 <> '' LIMIT 1", word).Scan(&id)
	if errors.Is(err, sql.ErrNoRows) {
		return "", nil
	}
	return id, failed(err)
}

// Number is the number of a patient, or the id where there is none.
func (x *Index) Number(patient string) (string, error) {
	var number string
	err := x.db.QueryRow("SELECT coalesce(nullif((SELECT number FROM patient WHERE id = ?1), ''), ?1)", patient).Scan(&number)
	return number, failed(err)
}

// Named finds the ids of the patients of a name who were born on a day.
func (x *Index) Named(name string, born measure.Date) ([]string, error) {
	secret, err := x.secret()
	if err != nil {
		return nil, err
	}
	key := personKey(secret, name, born)
	if key == nil {
		return nil, nil
	}
	rows, err := x.db.Query("SELECT id FROM patient WHERE instr(person, ?) > 0 ORDER BY id", key)
	if err != nil {
		return nil, failed(err)
	}
	defer rows.Close()
	var ids []string
	for rows.Next() {
		var id string
		if err := rows.Scan(&id); err != nil {
			return nil, failed(err)
		}
		ids = append(ids, id)
	}
	return ids, failed(rows.Err())
}
