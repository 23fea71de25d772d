package desk

import (
	"strings"
	"time"

	"philtrum/cmd/philtrum/folder"
	"philtrum/forms"
	"philtrum/forms/intake"
	"philtrum/forms/measure"
	"philtrum/forms/source"
	"philtrum/forms/visit"
)

// NewPatient enters a patient: node is what was read or asked, without id and number, which are given here.
func (d *Desk) NewPatient(node *source.Node) (id, number string, problems source.Problems, err error) {
	if id, err = folder.NewID(d.random); err != nil {
		return "", "", nil, err
	}
	if number, err = folder.NewID(d.random); err != nil {
		return "", "", nil, err
	}
	whole := source.Map("id", id, "number", number)
	whole.Keys = append(whole.Keys, node.Keys...)
	reader := &source.Reader{}
	visit.ReadPatient(whole, reader)
	if problems = reader.Problems(); len(problems) > 0 {
		return "", "", problems, nil
	}
	name, err := d.folder.PatientFile(id)
	if err != nil {
		return "", "", nil, err
	}
	return id, number, nil, d.create(name, "entered", id, source.Write(whole))
}

// Opening is what is known of a visit when it is opened.
type Opening struct {
	Patient      string // number or id
	Kind         visit.Kind
	At           time.Time
	Practitioner string
	After        string // earlier visit of the course
	Answers      *source.Node
	Booking      string // the id that the clinic's booking system gave
}

// OpenVisit makes a visit's file.
func (d *Desk) OpenVisit(o Opening) (id string, problems source.Problems, err error) {
	if problems = d.load(); len(problems) > 0 {
		return "", problems, nil
	}
	patient, found, err := d.patientOf(o.Patient)
	if err != nil || len(found) > 0 {
		return "", found, err
	}
	if found := d.isStaff(o.Practitioner); len(found) > 0 {
		return "", found, nil
	}
	if o.After != "" && !d.folder.HasVisit(o.After) {
		return "", one("problem.no_earlier_visit"), nil
	}
	if id, err = folder.NewID(d.random); err != nil {
		return "", nil, err
	}
	salt, err := folder.NewID(d.random)
	if err != nil {
		return "", nil, err
	}
	node := visit.Visit{
		ID: id, Patient: patient, Kind: o.Kind, Appointment: o.At.In(d.clinic.Zone), Practitioner: o.Practitioner,
		After: o.After, Salt: salt, Answers: o.Answers, Booking: o.Booking,
		Form:  visit.Version{ID: d.form.ID, Version: d.form.Version},
		Rules: visit.Version{ID: d.form.ID, Version: d.rules.Version},
	}.Node()
	name, err := d.folder.NewVisitFile(id, measure.DateOf(o.At, d.clinic.Zone).Year)
	if err != nil {
		return "", nil, err
	}
	return id, nil, d.create(name, "opened", id, source.Write(node))
}

// patientOf finds the patient that goes by an opaque id or number.
func (d *Desk) patientOf(word string) (string, source.Problems, error) {
	ids, err := d.folder.Patients()
	if err != nil {
		return "", nil, err
	}
	if len(ids) > manyVisits && d.indexFile != "" {
		if id, err := d.indexed(word); err != nil || id != "" {
			return id, nil, err
		}
	}
	for _, id := range ids {
		if id == word {
			return id, nil, nil
		}
	}
	for _, id := range ids {
		p, _, err := d.readPatient(id)
		if err != nil {
			return "", nil, err
		}
		if p.Number == word && word != "" {
			return id, nil, nil
		}
	}
	return "", one("problem.no_such_patient"), nil
}

// Answer puts an answer into the visit's file. An answer that takes the place of another keeps it; one that
// changes an answer behind a finding that was shown says why. One that the form's checks do not take is not
// written, and the problems come back.
func (d *Desk) Answer(id, question string, answer forms.Answer) (source.Problems, error) {
	if problems := d.load(); len(problems) > 0 {
		return problems, nil
	}
	if _, ok := d.form.Question(question); !ok {
		return one("problem.no_such_question", "question", question), nil
	}
	return d.change(id, "answered", func(v visit.Visit) ([]source.Change, source.Problems) {
		if changesShown(v, question, answer) && strings.TrimSpace(answer.Why) == "" {
			return nil, one("problem.change_without_why", "question", question)
		}
		before := intake.Read(d.form, v, &source.Reader{})
		if old, ok := before.Answer(question); ok {
			before := old.Replaced
			old.Replaced = nil
			answer.Replaced = append([]forms.Answer{old}, before...)
		}
		node := intake.Node(answer, d.clinic.Zone)
		alone, reader := v, &source.Reader{}
		alone.Answers = source.Map(question, node)
		intake.Read(d.form, alone, reader)
		return []source.Change{{Path: []string{"answers", question}, Value: node}}, reader.Problems()
	})
}

// Unanswered are the questions that matter for a visit and have no answer that counts on the day, in the
// order of the form.
func (d *Desk) Unanswered(id string) ([]*forms.Question, source.Problems, error) {
	c, problems, err := d.Case(id)
	if err != nil || len(problems) > 0 {
		return nil, problems, err
	}
	var open []*forms.Question
	for _, asked := range d.rules.Relevant(c) {
		if asked.State != "" {
			q, _ := d.form.Question(asked.Question)
			open = append(open, q)
		}
	}
	return open, nil, nil
}

// Question finds a question of the form in force.
func (d *Desk) Question(id string) (*forms.Question, bool) {
	if d.load() != nil {
		return nil, false
	}
	return d.form.Question(id)
}
