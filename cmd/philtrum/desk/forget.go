package desk

import (
	"errors"
	"path"
	"slices"
	"strconv"
	"strings"

	"philtrum/cmd/philtrum/folder"
	"philtrum/cmd/philtrum/index"
	"philtrum/forms/journal"
	"philtrum/forms/measure"
	"philtrum/forms/place"
	"philtrum/forms/source"
)

// Expired is a patient whose time of keeping has passed, counted from the last visit.
type Expired struct {
	Patient, Number string
	Visits          []string
	Last            measure.Date // the last visit
	Until           measure.Date // the first day on which it may be deleted
	Held            bool         // and a hold forbids it
}

// Retention is what may be deleted, and what says how long things are kept.
type Retention struct {
	Years int
	Basis place.Fact
	List  []Expired
	Left  []string // visits, patients and scans that a command cut off has begun to delete
	// Staying are scans that hold pages of what was deleted and stay, because they hold pages of others too.
	Staying []string
	// Token stands for exactly this list: only what was listed can be deleted.
	Token string
}

// Retention lists what may be deleted on the desk's day: patients whose last visit lies longer back than the
// place asks records to be kept. What is held, or cannot be read, stays.
func (d *Desk) Retention() (Retention, source.Problems, error) {
	today := measure.DateOf(d.at, d.clinic.Zone)
	here, problems := d.placeOn(today)
	if len(problems) > 0 {
		return Retention{}, problems, nil
	}
	years, err := strconv.Atoi(here.RetainYears.Value)
	if err != nil || years <= 0 {
		return Retention{}, one("problem.retention_unknown"), nil
	}
	r := Retention{Years: years, Basis: here.RetainYears}
	held, err := d.holds()
	if err != nil {
		return r, nil, err
	}
	limit := measure.Date{Year: today.Year - years, Month: today.Month, Day: today.Day}.In(d.clinic.Zone, 0, 0)
	err = d.search(Whole, func(x *index.Index) error {
		r.List = nil
		old, err := x.Before(limit)
		if err != nil {
			return err
		}
		seen := map[string]bool{}
		for _, l := range old {
			if l.Patient == "" || seen[l.Patient] {
				continue
			}
			seen[l.Patient] = true
			all, err := x.OfPatient(l.Patient)
			if err != nil {
				return err
			}
			last := all[len(all)-1]
			if !last.At.Before(limit) || slices.ContainsFunc(all, func(l index.Line) bool { return l.Unread }) {
				continue
			}
			on := measure.DateOf(last.At, d.clinic.Zone)
			e := Expired{Patient: l.Patient, Last: on, Until: measure.Date{Year: on.Year + years, Month: on.Month, Day: on.Day}.AddDays(1)}
			for _, v := range all {
				e.Visits = append(e.Visits, v.Visit)
			}
			e.Held = slices.ContainsFunc(held, func(h Hold) bool { return h.Patient == l.Patient && h.Released.IsZero() })
			r.List = append(r.List, e)
		}
		return nil
	})
	if err != nil {
		return r, nil, err
	}
	for i := range r.List {
		p, _, err := d.readPatient(r.List[i].Patient)
		if err != nil {
			return r, nil, err
		}
		if r.List[i].Number = p.Number; p.Number == "" {
			r.List[i].Number = r.List[i].Patient
		}
	}
	if r.Left, err = d.halfForgotten(); err != nil {
		return r, nil, err
	}
	r.Token = r.token()
	return r, nil, nil
}

// token is a digest of what may be deleted; holds and dates are part of it.
func (r Retention) token() string {
	var w strings.Builder
	for _, e := range r.List {
		if !e.Held {
			w.WriteString(e.Patient + " " + strings.Join(e.Visits, ",") + " " + e.Until.String() + "\n")
		}
	}
	for _, id := range r.Left {
		w.WriteString(id + "\n")
	}
	if w.Len() == 0 {
		return ""
	}
	return digest([]byte(w.String()))[:12]
}

// halfForgotten are the visits and patients that the journal calls forgotten and whose files are still there.
func (d *Desk) halfForgotten() ([]string, error) {
	entries, _, err := d.folder.Journal()
	if err != nil {
		return nil, err
	}
	var left []string
	for _, e := range entries {
		if e.What == journal.Kept || e.What == "tray" { // the same scan came again
			left = slices.DeleteFunc(left, func(id string) bool { return id == e.Subject })
		}
		if e.What == forgotten && !slices.Contains(left, e.Subject) {
			left = append(left, e.Subject)
		}
	}
	there := left[:0]
	for _, id := range left {
		shared, err := d.sharedFile(id)
		if err != nil {
			return nil, err
		}
		name, err := d.folder.PatientFile(id)
		if shared != "" || err == nil && d.folder.Has(name) || d.folder.HasVisit(id) {
			there = append(there, id)
		}
	}
	return there, nil
}

// forgotten is the word of a tombstone in the journal.
const forgotten = "forgotten"

// Tombstones are the subjects that were deleted for good.
func Tombstones(entries []journal.Entry) map[string]bool {
	gone := map[string]bool{}
	for _, e := range entries {
		if e.What == forgotten {
			gone[e.Subject] = true
		}
	}
	return gone
}

// Forget deletes exactly what a list named: files, papers and salts. First the tombstones go into the journal,
// all at once; so a command that is cut off is finished by the next. A list that is no longer the same is
// refused.
func (d *Desk) Forget(token, by string) (Retention, source.Problems, error) {
	if found := d.isStaff(by); len(found) > 0 {
		return Retention{}, found, nil
	}
	r, problems, err := d.Retention()
	if err != nil || len(problems) > 0 {
		return r, problems, err
	}
	if r.Token == "" || r.Token != token {
		return r, one("problem.other_list"), nil
	}
	batch := d.folder.Batch(d.at)
	if err := d.forgetElsewhere(batch, r.List); err != nil {
		return r, nil, err
	}
	var gone []string
	for _, e := range r.List {
		if e.Held {
			continue
		}
		for _, id := range append(slices.Clone(e.Visits), e.Patient) {
			batch.Enter(forgotten, id, "")
			gone = append(gone, id)
		}
	}
	deleted := map[string]bool{}
	for _, id := range append(slices.Clone(gone), r.Left...) {
		deleted[id] = true
	}
	scans, err := d.scansOf(deleted)
	if err != nil {
		return r, nil, err
	}
	// Scans and items first: the visits name them, and are still there for a command that is cut off.
	gone, r.Staying = append(scans.tombstones(batch), gone...), scans.staying
	if err := batch.Commit(); err != nil {
		return r, nil, err
	}
	for _, id := range append(gone, r.Left...) {
		if err := d.erase(id); err != nil {
			return r, nil, err
		}
	}
	if err := d.folder.ClearPrints(""); err != nil {
		return r, nil, err
	}
	return r, nil, d.Index(false)
}

// forgetElsewhere takes the patients out of the files of recalls, which stay with how many were reached, and
// what their released holds said.
func (d *Desk) forgetElsewhere(batch *folder.Batch, list []Expired) error {
	gone := func(patient string) bool {
		return slices.ContainsFunc(list, func(e Expired) bool { return !e.Held && e.Patient == patient })
	}
	recalls, _, err := d.Recalls()
	if err != nil {
		return err
	}
	for _, r := range recalls {
		if !slices.ContainsFunc(r.Reached, func(x Reached) bool { return gone(x.Patient) }) {
			continue
		}
		reached := source.List()
		for _, x := range r.Reached {
			if gone(x.Patient) {
				x.Patient, x.Note = forgotten, ""
			}
			reached.Items = append(reached.Items, x.node())
		}
		name := "recalls/" + r.ID + ".yaml"
		batch.Update(name, func(old []byte) ([]byte, error) {
			edited, problems := source.Edit(name, old, source.Change{Path: []string{"reached"}, Value: reached})
			return edited, problems.Err()
		})
	}
	holds, err := d.holds()
	for _, h := range holds {
		if !gone(h.Patient) {
			continue
		}
		name := "holds/" + h.ID + ".yaml"
		batch.Update(name, func(old []byte) ([]byte, error) {
			edited, problems := source.Edit(name, old,
				source.Change{Path: []string{"patient"}, Value: source.Text(forgotten)}, source.Change{Path: []string{"reason"}, Value: source.Text(forgotten)})
			return edited, problems.Err()
		})
	}
	return err
}

func (d *Desk) erase(id string) error {
	if d.folder.HasVisit(id) {
		name, err := d.folder.VisitFile(id)
		if err != nil {
			return err
		}
		return d.folder.Erase(path.Dir(name))
	}
	name, err := d.folder.PatientFile(id)
	if err == nil && d.folder.Has(name) {
		err = d.folder.Erase(name)
	} else if shared, found := d.sharedFile(id); found != nil || shared != "" {
		if err = found; err == nil {
			err = d.folder.Erase(shared)
		}
	}
	if errors.Is(err, folder.ErrNoFile) {
		return nil
	}
	return err
}
