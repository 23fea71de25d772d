package desk

import (
	"bytes"
	"errors"
	"fmt"
	"slices"
	"strings"
	"time"
	"unicode"

	"philtrum/cmd/philtrum/folder"
	"philtrum/forms"
	"philtrum/forms/intake"
	"philtrum/forms/measure"
	"philtrum/forms/screen"
	"philtrum/forms/source"
	"philtrum/forms/visit"
)

// ErrNoVisit says that no visit goes by that id or time; ErrSeveral that a time names more than one.
var (
	ErrNoVisit = errors.New("no such visit")
	ErrSeveral = errors.New("several visits at that time")
)

// VisitLine is a visit as a list shows it: initials, never a name.
type VisitLine struct {
	ID       string     `json:"visit"`
	Patient  string     `json:"patient"`
	Initials string     `json:"-"`
	Kind     visit.Kind `json:"kind"`
	At       time.Time  `json:"appointment"`
}

// Visits lists all visits in order of time. Files with problems are left to those who check them.
func (d *Desk) Visits() ([]VisitLine, error) {
	ids, err := d.folder.Visits()
	if err != nil {
		return nil, err
	}
	var lines []VisitLine
	for _, id := range ids {
		v, _, err := d.readVisit(id)
		if err != nil {
			return nil, err
		}
		line := VisitLine{ID: id, Patient: v.Patient, Kind: v.Kind, At: v.Appointment}
		if p, _, err := d.readPatient(v.Patient); err == nil {
			line.Initials = Initials(p)
		}
		lines = append(lines, line)
	}
	slices.SortStableFunc(lines, func(a, b VisitLine) int { return a.At.Compare(b.At) })
	return lines, nil
}

// Resolve finds the visit that a person means: an id, a time of today's list ("10:30"), or one of another day
// ("2026-12-04 10:30").
func (d *Desk) Resolve(word string) (string, error) {
	if _, _, err := measure.ParseClock(word); err == nil {
		word = measure.DateOf(d.at, d.clinic.Zone).String() + " " + word
	}
	meant, err := measure.ParseTime(word, d.clinic.Zone)
	if err != nil {
		if !d.folder.HasVisit(word) {
			return "", ErrNoVisit
		}
		return word, nil
	}
	lines, err := d.Visits()
	if err != nil {
		return "", err
	}
	var found []string
	for _, line := range lines {
		if line.At.Truncate(time.Minute).Equal(meant) {
			found = append(found, line.ID)
		}
	}
	switch len(found) {
	case 0:
		return "", ErrNoVisit
	case 1:
		return found[0], nil
	}
	return "", ErrSeveral
}

// readVisit reads a visit's file. What cannot be read of its treatment is no problem here: it stands in the
// treatment itself, because it may block nothing.
func (d *Desk) readVisit(id string) (v visit.Visit, problems source.Problems, err error) {
	name, err := d.folder.VisitFile(id)
	if err != nil {
		return visit.Visit{}, nil, fmt.Errorf("%w: %s", ErrNoVisit, id)
	}
	data, err := d.folder.Read(name)
	if err != nil {
		return visit.Visit{}, nil, err
	}
	node, found := source.Parse(name, data)
	if len(found) > 0 {
		return visit.Visit{}, found, nil
	}
	reader := &source.Reader{}
	v = visit.Read(node, reader, d.clinic.Zone)
	if v.Treatment != nil {
		v.Treatment.Resolve(d.stock)
	}
	return v, reader.Problems(), nil
}

func (d *Desk) readPatient(id string) (visit.Patient, source.Problems, error) {
	name, err := d.folder.PatientFile(id)
	if err != nil {
		return visit.Patient{}, one("problem.no_such_patient"), nil
	}
	data, err := d.folder.Read(name)
	if errors.Is(err, folder.ErrNoFile) {
		return visit.Patient{}, source.Problems{{ID: "problem.no_patient_file", Span: source.Span{File: name}}}, nil
	}
	if err != nil {
		return visit.Patient{}, nil, err
	}
	node, problems := source.Parse(name, data)
	if len(problems) > 0 {
		return visit.Patient{}, problems, nil
	}
	reader := &source.Reader{}
	p := visit.ReadPatient(node, reader)
	return p, reader.Problems(), nil
}

// Case gathers everything that screening judges of a visit.
//
// With problems it holds what could be read all the same, for what comes after the needle.
func (d *Desk) Case(id string) (screen.Case, source.Problems, error) {
	v, problems, err := d.readVisit(id)
	if err != nil || v.ID == "" {
		return screen.Case{}, problems, err
	}
	if found := d.load(); len(found) > 0 {
		c, more, err := d.afterNeedle(v)
		return c, append(append(problems, found...), more...), err
	}
	reader := &source.Reader{}
	answers := intake.Read(d.form, v, reader)
	problems = append(problems, reader.Problems()...)
	p, found, err := d.readPatient(v.Patient)
	if err != nil {
		return screen.Case{}, nil, err
	}
	problems = append(problems, found...)
	earlier, found, err := d.earlier(v)
	if err != nil {
		return screen.Case{}, nil, err
	}
	problems = append(problems, found...)
	where, found := d.placeOn(measure.DateOf(v.Appointment, d.clinic.Zone))
	problems = append(problems, found...)
	return screen.Case{
		Intake: answers, Visit: v, Patient: p, Earlier: earlier,
		Clinic: d.clinic, Staff: d.staff, Stock: d.recalls(), Place: where,
	}, problems, nil
}

// manyVisits are more than are quickly looked into one by one; the index then says whose they are.
const manyVisits = 1000

// earlier gives the same patient's visits before this one, oldest first. What an earlier visit says counts, so
// one whose file cannot be read is a problem: nothing that was done to this patient may drop out unseen.
func (d *Desk) earlier(v visit.Visit) ([]visit.Visit, source.Problems, error) {
	ids, err := d.folder.Visits()
	if err == nil && len(ids) > manyVisits && d.indexFile != "" {
		ids, err = d.visitIDs(v.Patient, Whole)
	}
	if err != nil {
		return nil, nil, err
	}
	var visits []visit.Visit
	var problems source.Problems
	for _, id := range ids {
		if id == v.ID {
			continue
		}
		about, err := d.mentions(id, v.Patient)
		if err != nil {
			return nil, nil, err
		}
		if !about {
			continue
		}
		other, found, err := d.readVisit(id)
		if err != nil {
			return nil, nil, err
		}
		if other.ID == "" || other.Patient == "" || other.Appointment.IsZero() {
			problems = append(problems, found...)
		}
		if other.Patient == v.Patient && other.Appointment.Before(v.Appointment) {
			visits = append(visits, other)
		}
	}
	slices.SortStableFunc(visits, func(a, b visit.Visit) int { return a.Appointment.Compare(b.Appointment) })
	return visits, problems, nil
}

// afterNeedle is what is known of a visit where the clinic's own files or rules cannot be read: enough to
// record and print what was done. Where the clinic's zone is not known, times are those of the visit's file.
func (d *Desk) afterNeedle(v visit.Visit) (screen.Case, source.Problems, error) {
	p, problems, err := d.readPatient(v.Patient)
	if err != nil {
		return screen.Case{}, nil, err
	}
	if slices.ContainsFunc(d.broken, func(p source.Problem) bool { return p.Span.File == "clinic.yaml" }) {
		d.clinic.Zone = v.Appointment.Location()
		if d.clinic.Language == "" {
			d.clinic.Language = "en"
		}
	}
	where, found := d.placeOn(measure.DateOf(v.Appointment, d.clinic.Zone))
	return screen.Case{Visit: v, Patient: p, Clinic: d.clinic, Staff: d.staff, Stock: d.recalls(), Place: where},
		append(problems, found...), nil
}

// mentions says whether a visit's file names a patient at all: most do not, and need no reading.
func (d *Desk) mentions(id, patient string) (bool, error) {
	name, err := d.folder.VisitFile(id)
	if err != nil {
		return false, err
	}
	data, err := d.folder.Read(name)
	return bytes.Contains(data, []byte(patient)), err
}

// Form is the questionnaire in force here.
func (d *Desk) Form() (*forms.Form, source.Problems) {
	problems := d.load()
	return d.form, problems
}

// Initials are the first letters of a patient's names, for lists that others may see.
func Initials(p visit.Patient) string {
	var letters []string
	for _, word := range strings.Fields(p.Name()) {
		for _, r := range word { // of ’t and (Mia), the letter
			if unicode.IsLetter(r) {
				letters = append(letters, string(unicode.ToUpper(r))+".")
				break
			}
		}
	}
	return strings.Join(letters, " ")
}
