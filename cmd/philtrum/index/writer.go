package index

import (
	"bytes"
	"database/sql"
	"fmt"
)

// writer puts what was read into the tables.
type writer struct {
	tx                                  *sql.Tx
	visit, entry, patient, forget, drop *sql.Stmt
	empty                               bool
	n                                   int64 // the last visit's number
}

func newWriter(tx *sql.Tx, empty bool) (*writer, error) {
	w := &writer{tx: tx, empty: empty}
	for _, s := range []struct {
		to   **sql.Stmt
		text string
	}{
		{&w.visit, "INSERT OR REPLACE INTO visit VALUES (?,?,?,?,?,?,?,?,?,?,?,?,?,?)"},
		{&w.entry, "INSERT INTO entry VALUES (?,?,?,?,?,?,?,?,?,?,?,?)"},
		{&w.patient, "INSERT OR REPLACE INTO patient VALUES (?,?,?,?,?,?)"},
		{&w.forget, "DELETE FROM entry WHERE visit = (SELECT n FROM visit WHERE id = ?)"},
		{&w.drop, "DELETE FROM visit WHERE id = ?"},
	} {
		statement, err := tx.Prepare(s.text)
		if err != nil {
			return nil, failed(err)
		}
		*s.to = statement
	}
	err := tx.QueryRow("SELECT coalesce(max(n), 0) FROM visit").Scan(&w.n)
	return w, failed(err)
}

func (w *writer) put(s *seen) error {
	if s.ofPatient {
		_, err := w.patient.Exec(s.id, s.size, s.time, s.unread, s.number, bytes.Join(s.person, nil))
		return failed(err)
	}
	if !w.empty {
		if err := w.remove(name{s.year, s.id}); err != nil {
			return err
		}
	}
	w.n++
	if _, err := w.visit.Exec(w.n, s.id, s.year, s.size, s.time, s.unread, s.patient, s.kind, s.at, s.practitioner, s.after, s.treated, s.open, s.review); err != nil {
		return fmt.Errorf("index: %w", err)
	}
	for _, e := range s.entries {
		if _, err := w.entry.Exec(w.n, e.what, e.sure, e.product, e.device, e.lot, Normal(e.lot), Near(e.lot), e.zone, e.side, e.volume, s.at); err != nil {
			return failed(err)
		}
	}
	return nil
}

func (w *writer) remove(n name) error {
	if n.year == "" {
		_, err := w.tx.Exec("DELETE FROM patient WHERE id = ?", n.id)
		return failed(err)
	}
	if _, err := w.forget.Exec(n.id); err != nil {
		return failed(err)
	}
	_, err := w.drop.Exec(n.id)
	return failed(err)
}
