package desk

import (
	"path"
	"slices"
	"strings"
	"time"

	"philtrum/cmd/philtrum/folder"
	"philtrum/forms"
	"philtrum/forms/source"
	"philtrum/forms/visit"
)

// Step is one line of the timeline of a case.
type Step struct {
	At     time.Time
	What   string // a word of the messages search.case.step.<what>
	Visit  string // empty: of the patient
	Detail string // a word of the trade or an id: a paper's kind, a rule, a state
	By     string
	Words  string // what was written down: a reason, a note
	Entry  int    // number of the journal's entry that says so; 0: the file alone
	Digest string // of the file or paper, as the journal has it
}

// Dossier is everything that happened with a patient, in order of time, from files and journal.
type Dossier struct {
	Patient, Number string
	Steps           []Step
	Hold            *Hold    // nothing of it may be deleted
	Changed         []string // visits whose files are not as the journal knew them last: edited by hand
	ChainBroken     bool     // the journal does not hold; its entries up to there are given
	Problems        source.Problems
}

// Hold is holds/<id>.yaml: nothing about a patient may be deleted from At until Released.
type Hold struct {
	ID, Patient, By, Reason string
	At                      time.Time
	Released                time.Time
	ReleasedBy              string
}

// Dossier gathers the case of a patient.
func (d *Desk) Dossier(id string) (Dossier, error) {
	c := Dossier{Patient: id}
	p, problems, err := d.readPatient(id)
	if err != nil {
		return c, err
	}
	c.Number, c.Problems = p.Number, problems
	if hold, ok, err := d.holdOf(id); err != nil {
		return c, err
	} else if ok {
		c.Hold = &hold
	}
	visits, problems, err := d.visitsOf(id)
	if err != nil {
		return c, err
	}
	c.Problems = append(c.Problems, problems...)
	subjects := map[string]string{id: ""}
	for _, v := range visits {
		subjects[v.ID] = v.ID
		for _, paper := range v.Papers {
			subjects[paper.Document] = v.ID
		}
		c.Steps = append(c.Steps, steps(v)...)
	}
	if err := d.journalSteps(&c, subjects); err != nil {
		return c, err
	}
	if err := d.reachedSteps(&c); err != nil {
		return c, err
	}
	slices.SortStableFunc(c.Steps, func(a, b Step) int { return a.At.Compare(b.At) })
	return c, nil
}

// steps are what a visit's file says of when things happened.
func steps(v visit.Visit) []Step {
	var all []Step
	add := func(at time.Time, what, detail, by, words string) {
		if !at.IsZero() {
			all = append(all, Step{At: at, What: what, Visit: v.ID, Detail: detail, By: by, Words: words})
		}
	}
	add(v.Appointment, "appointment", string(v.Kind), v.Practitioner, "")
	add(v.Answered.At, "answers", v.Answered.Via, "", "")
	for _, s := range v.Shown {
		add(s.At, "shown", s.Question, "", "")
	}
	for _, x := range v.Decisions {
		add(x.At, "decision", x.Rule, x.By, x.Reason)
	}
	for _, x := range v.Met {
		add(x.At, "met", x.Rule, x.By, x.Note)
	}
	for _, h := range v.Handed {
		add(h.At, "handed", h.Paper, h.By, "")
	}
	for _, s := range v.States {
		add(s.At, "consent", string(s.State), s.By, s.Note)
	}
	for _, a := range v.Amendments {
		add(a.At, "amended", a.Where, a.By, a.Why)
	}
	if g := v.Treatment; g != nil {
		add(g.Start, "start", "", g.By, "")
		for _, check := range g.Checks {
			add(check.At, "check", check.What, "", check.Result)
		}
		add(g.End, "end", "", g.By, "")
		if g.Event != nil {
			add(g.Event.Onset, "onset", g.Event.Seriousness, "", g.Event.Signs)
			add(g.Event.Noticed, "noticed", g.Event.Seriousness, "", g.Event.Done)
		}
	}
	return all
}

// journalSteps adds the entries about the case and finds the files that were changed without one.
func (d *Desk) journalSteps(c *Dossier, subjects map[string]string) error {
	entries, problems, err := d.folder.Journal()
	if err != nil {
		return err
	}
	c.ChainBroken = len(problems) > 0
	last := map[string]string{}
	for _, e := range entries {
		visitID, ours := subjects[e.Subject]
		if !ours {
			continue
		}
		c.Steps = append(c.Steps, Step{At: e.At.In(d.clinic.Zone), What: "journal", Visit: visitID, Detail: e.What, Entry: e.Seq, Digest: e.Digest})
		if visitID == e.Subject && e.Digest != "" && e.What != "copied" {
			last[visitID] = e.Digest
		}
		if visitID != "" && visitID != e.Subject {
			last[visitID] = "" // issuing a paper writes the visit too; the entry has the paper's digest
		}
	}
	for id, known := range last {
		name, err := d.folder.VisitFile(id)
		if err != nil || known == "" {
			continue
		}
		data, err := d.folder.Read(name)
		if err != nil {
			return err
		}
		if digest(data) != known {
			c.Changed = append(c.Changed, id)
		}
	}
	slices.Sort(c.Changed)
	return nil
}

func (d *Desk) reachedSteps(c *Dossier) error {
	recalls, _, err := d.Recalls()
	for _, r := range recalls {
		for _, x := range r.reached(c.Patient) {
			what := "tried"
			if x.Answered {
				what = "reached"
			}
			c.Steps = append(c.Steps, Step{At: x.At, What: what, Detail: r.Lot, By: x.By, Words: x.Note})
		}
	}
	return err
}

// holdOf finds the hold that stands for a patient.
func (d *Desk) holdOf(patient string) (Hold, bool, error) {
	all, err := d.holds()
	for _, h := range all {
		if h.Patient == patient && h.Released.IsZero() {
			return h, true, err
		}
	}
	return Hold{}, false, err
}

func (d *Desk) holds() ([]Hold, error) {
	names, err := d.folder.Names("holds")
	if err != nil {
		return nil, err
	}
	var all []Hold
	for _, name := range names {
		if !strings.HasSuffix(name, ".yaml") {
			continue
		}
		file := path.Join("holds", name)
		data, err := d.folder.Read(file)
		if err != nil {
			return nil, err
		}
		node, problems := source.Parse(file, data)
		v := forms.Values{Reader: &source.Reader{}, Private: true, Zone: d.clinic.Zone}
		f := v.Fields(node, "id", "patient", "by", "at", "reason", "released", "released_by")
		h := Hold{ID: v.ID(f.Need("id")), Patient: v.ID(f.Need("patient")), By: v.ID(f.Get("by")), At: v.Time(f.Get("at")),
			Reason: v.Text(f.Get("reason")), Released: v.Time(f.Get("released")), ReleasedBy: v.ID(f.Get("released_by"))}
		if problems = append(problems, v.Problems()...); len(problems) > 0 {
			return nil, problems.Err() // a hold that cannot be read must not let anything be deleted
		}
		all = append(all, h)
	}
	return all, nil
}

// Hold keeps everything about a patient from being deleted, until it is released.
func (d *Desk) Hold(patient, by, reason string) (source.Problems, error) {
	if found := d.isStaff(by); len(found) > 0 {
		return found, nil
	}
	if strings.TrimSpace(reason) == "" {
		return one("problem.no_hold_reason"), nil
	}
	if _, held, err := d.holdOf(patient); err != nil || held {
		return one("problem.held_already"), err
	}
	id, err := folder.NewID(d.random)
	if err != nil {
		return nil, err
	}
	node := source.Map("id", id, "patient", patient, "by", by, "at", d.now().Format(time.RFC3339), "reason", reason)
	name := "holds/" + id + ".yaml"
	batch := d.folder.Batch(d.at)
	batch.Create(name, source.Write(node))
	batch.EnterFile("held", patient, name)
	return nil, batch.Commit()
}

// Release ends the hold of a patient.
func (d *Desk) Release(patient, by string) (source.Problems, error) {
	if found := d.isStaff(by); len(found) > 0 {
		return found, nil
	}
	h, held, err := d.holdOf(patient)
	if err != nil {
		return nil, err
	}
	if !held {
		return one("problem.not_held"), nil
	}
	name := "holds/" + h.ID + ".yaml"
	var problems source.Problems
	batch := d.folder.Batch(d.at)
	batch.Update(name, func(old []byte) ([]byte, error) {
		edited, found := source.Edit(name, old,
			source.Change{Path: []string{"released"}, Value: source.Text(d.now().Format(time.RFC3339))},
			source.Change{Path: []string{"released_by"}, Value: source.Text(by)})
		if problems = found; len(found) > 0 {
			return nil, errUnchanged
		}
		return edited, nil
	})
	batch.EnterFile("released", patient, name)
	if err := batch.Commit(); len(problems) == 0 {
		return nil, err
	}
	return problems, nil
}
