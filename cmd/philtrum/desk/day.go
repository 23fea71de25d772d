package desk

import (
	"context"
	"runtime"
	"slices"
	"sync"
	"time"

	"philtrum/cmd/philtrum/index"
	"philtrum/forms/measure"
	"philtrum/forms/source"
	"philtrum/templates"
)

// DayRequest is what to issue for a day, and how.
type DayRequest struct {
	Request
	On         measure.Date
	Own        bool // the clinic's language beside the patient's
	Separators bool // a sheet between two visits' papers
	Workers    int  // 0: as many as the machine has cores
}

// DayVisit is a visit of the day with what became of its papers.
type DayVisit struct {
	Visit    string
	Checked  Checked
	Papers   []Issued
	Problems source.Problems // of its files: nothing could be made
	done     bool
}

// Bad says whether something of the visit was not made.
func (v DayVisit) Bad() bool {
	return len(v.Problems) > 0 || slices.ContainsFunc(v.Papers, func(p Issued) bool { return !p.made() })
}

func (i Issued) made() bool { return len(i.Refused) == 0 && len(i.Problems) == 0 }

// Made counts the papers that were made.
func (v DayVisit) Made() int {
	n := 0
	for _, p := range v.Papers {
		if p.made() {
			n++
		}
	}
	return n
}

// DayResult is what was made for a day.
type DayResult struct {
	Visits  []DayVisit
	Prints  []string // files of the clinic folder to be printed, in the order in which they are
	Stopped bool     // interrupted: the visits that are done are kept, and the next run goes on
}

// Day issues the papers of every visit of a day, on several cores, keeps each visit's as soon as they are made,
// and puts them together for the printer: one file for what goes to patients, one for the clinic, led by the list
// of the day. A visit with problems stops nothing: it stands on the list. tell hears of each visit once it is
// done, one at a time.
func (d *Desk) Day(ctx context.Context, r DayRequest, tell func(done, total int, v DayVisit)) (DayResult, source.Problems, error) {
	if problems := d.load(); len(problems) > 0 {
		return DayResult{}, problems, nil
	}
	ids, err := d.visitsOn(r.On)
	if err != nil || len(ids) == 0 {
		return DayResult{}, nil, err
	}
	result := DayResult{Visits: make([]DayVisit, len(ids))}
	if err := d.makeDay(ctx, r, ids, result.Visits, tell); err != nil {
		return result, nil, err
	}
	if ctx.Err() != nil {
		result.Stopped = true
		result.Visits = slices.DeleteFunc(result.Visits, func(v DayVisit) bool { return !v.done })
		return result, nil, nil
	}
	slices.SortStableFunc(result.Visits, func(a, b DayVisit) int {
		return a.Checked.Case.Visit.Appointment.Compare(b.Checked.Case.Visit.Appointment)
	})
	problems, err := d.print(r, &result)
	return result, problems, err
}

// visitsOn are the visits of a day in the clinic's zone. One whose file cannot be read has no day: it stands on
// every list until it is mended.
func (d *Desk) visitsOn(on measure.Date) ([]string, error) {
	var ids []string
	err := d.search(Quick, func(x *index.Index) error {
		lines, err := x.Between(on.In(d.clinic.Zone, 0, 0), on.AddDays(1).In(d.clinic.Zone, 0, 0))
		for _, l := range lines {
			ids = append(ids, l.Visit)
		}
		if err != nil {
			return err
		}
		unread, err := x.Unreadable()
		for _, l := range unread {
			if l.At.Unix() <= 0 && l.Visit != "" && !slices.Contains(ids, l.Visit) {
				ids = append(ids, l.Visit)
			}
		}
		return err
	})
	return ids, err
}

// sibling is a desk for another goroutine: it shares what is only read, and what several may use at once.
func (d *Desk) sibling() *Desk {
	s := *d
	s.places, s.printing, s.texts = nil, d.besides(), nil
	return &s
}

// besides is a printer for a sibling. It shares the engine and the press, so that a language's texts are shaped
// and its fonts cut once for all.
func (d *Desk) besides() *printer {
	p := d.printer()
	return &printer{
		engine: p.engine, press: p.press, mark: p.mark,
		shelf:     templates.NewShelf(d.data("templates", templates.Default)),
		templates: map[string]*templates.Template{},
	}
}

func (d *Desk) makeDay(ctx context.Context, r DayRequest, ids []string, visits []DayVisit, tell func(int, int, DayVisit)) error {
	workers := r.Workers
	if workers == 0 {
		workers = runtime.GOMAXPROCS(0)
	}
	var group sync.WaitGroup
	var lock sync.Mutex // of tell, and of what follows
	var failed error
	next, done := 0, 0
	take := func() (int, bool) {
		lock.Lock()
		defer lock.Unlock()
		if next >= len(ids) || failed != nil || ctx.Err() != nil {
			return 0, false
		}
		next++
		return next - 1, true
	}
	for range min(workers, len(ids)) {
		worker := d.sibling()
		group.Go(func() {
			for i, ok := take(); ok; i, ok = take() {
				v, err := worker.makeVisit(ids[i], r)
				if err == nil {
					err = worker.keep(v.Visit, v.Papers)
				}
				lock.Lock()
				if err != nil && failed == nil {
					failed = err
				}
				done, v.done = done+1, err == nil
				visits[i] = v
				if tell != nil && err == nil {
					tell(done, len(ids), v)
				}
				lock.Unlock()
			}
		})
	}
	group.Wait()
	return failed
}

// makeVisit makes the papers of one visit.
func (d *Desk) makeVisit(id string, r DayRequest) (DayVisit, error) {
	v := DayVisit{Visit: id}
	var err error
	if v.Checked, err = d.Check(id); err != nil {
		return v, err
	}
	if v.Problems = unreadable(v.Checked); len(v.Problems) > 0 {
		return v, nil
	}
	request := r.Request
	if reads := v.Checked.Case.Patient.Reads; r.Own && reads != "" && reads != "none" && reads != d.clinic.Language {
		request.With = d.clinic.Language
	}
	v.Papers, err = d.makeAll(v.Checked, request)
	return v, err
}

// dueAt is a visit's appointment in the clinic's zone.
func (d *Desk) dueAt(v DayVisit) time.Time { return v.Checked.Case.Visit.Appointment.In(d.clinic.Zone) }
