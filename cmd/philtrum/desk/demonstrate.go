package desk

import (
	"errors"
	"io/fs"
	"time"

	"philtrum/cmd/philtrum/folder"
	"philtrum/forms/measure"
	"philtrum/forms/source"
	"philtrum/forms/visit"
	"philtrum/locales"
)

// ErrOccupied says that the folder for a demonstration holds something else.
var ErrOccupied = errors.New("not a demonstration")

// Demonstration is the invented clinic after its story.
type Demonstration struct {
	Folder *folder.Folder
	Zone   *time.Location
	Visits []Shown
}

// Shown is one visit of the demonstration with the papers that were issued for it.
type Shown struct {
	Checked Checked
	Papers  []ShownPaper
}

// ShownPaper is an issued paper and where it is in the clinic folder.
type ShownPaper struct{ Kind, File string }

// shown lists the papers of a visit in the order in which they were issued.
func (d *Desk) shown(id string, checked Checked) Shown {
	s := Shown{Checked: checked}
	v, _, err := d.readVisit(id)
	if err != nil {
		return s
	}
	for _, paper := range v.Papers {
		if file, err := d.folder.PaperFile(id, paper.Document); err == nil {
			s.Papers = append(s.Papers, ShownPaper{paper.Kind, file})
		}
	}
	return s
}

// story is demo/story.yaml: patients, visits and what was done when.
type story struct {
	start    time.Time
	bases    map[string]*source.Node
	patients []source.Key
	later    map[string]*source.Node
	visits   []source.Key
}

// Demonstrate builds the invented clinic of data at path. Its clock and ids come from the data: the same
// data gives the same files. A demonstration that is there already is left as it is and shown again.
func Demonstrate(path string, data fs.FS, catalogue *locales.Catalogue) (Demonstration, source.Problems, error) {
	f, err := folder.Make(path)
	if errors.Is(err, folder.ErrExists) {
		return showAgain(path, data, catalogue)
	}
	if err != nil {
		return Demonstration{}, nil, err
	}
	s, problems, err := readStory(data)
	if err != nil || len(problems) > 0 {
		return Demonstration{}, problems, err
	}
	batch := f.Batch(s.start)
	for _, name := range []string{"clinic.yaml", "staff.yaml", "products.yaml", "mark.svg"} {
		file, err := fs.ReadFile(data, name)
		if err != nil {
			return Demonstration{}, nil, err
		}
		batch.Create(name, file)
	}
	batch.Enter("clinic", "clinic", "")
	if err := batch.Commit(); err != nil {
		return Demonstration{}, nil, err
	}
	d, problems, err := Open(f, catalogue, s.start, newIDs("philtrum demonstration"))
	if err != nil || len(problems) > 0 {
		return Demonstration{}, problems, err
	}
	problems, err = d.signAll("Oda Bergström (invented)", "Luis Amador (invented)", measure.DateOf(s.start, d.clinic.Zone))
	if err != nil || len(problems) > 0 {
		return Demonstration{}, problems, err
	}
	return d.tell(s)
}

// tell plays the story: every patient, then every visit with its steps, each at its own time.
func (d *Desk) tell(s story) (Demonstration, source.Problems, error) {
	shown := Demonstration{Folder: d.folder, Zone: d.clinic.Zone}
	patients, visits := map[string]string{}, map[string]string{}
	for _, p := range s.patients {
		d.at = s.start
		id, _, problems, err := d.NewPatient(p.Value)
		if err != nil || len(problems) > 0 {
			return shown, problems, err
		}
		patients[p.Name] = id
	}
	for _, v := range s.visits {
		if problems, err := d.meet(s, v.Value, patients); err != nil || len(problems) > 0 {
			return shown, problems, err
		}
		id, problems, err := d.tellVisit(s, v.Value, patients, visits)
		if err != nil || len(problems) > 0 {
			return shown, problems, err
		}
		visits[v.Name] = id
		checked, err := d.Check(id)
		if err != nil {
			return shown, nil, err
		}
		if _, problems, err := d.Issue(id, Request{}); err != nil || len(problems) > 0 {
			return shown, problems, err
		}
		shown.Visits = append(shown.Visits, d.shown(id, checked))
	}
	return shown, nil, nil
}

// meet enters the patient of a visit who was not there from the start.
func (d *Desk) meet(s story, visit *source.Node, patients map[string]string) (source.Problems, error) {
	r := &source.Reader{}
	for _, e := range r.Entries(visit) {
		if e.Name != "patient" || patients[e.Value.Text] != "" {
			continue
		}
		if later, ok := s.later[e.Value.Text]; ok {
			d.at = s.start
			id, _, problems, err := d.NewPatient(later)
			patients[e.Value.Text] = id
			return problems, err
		}
	}
	return nil, nil
}

// tellVisit opens one visit of the story and plays its steps.
func (d *Desk) tellVisit(s story, n *source.Node, patients, visits map[string]string) (string, source.Problems, error) {
	r := &source.Reader{}
	f := r.Fields(n, "patient", "kind", "at", "practitioner", "after", "opened", "base", "answers", "answered", "more", "steps")
	at, opened := d.moment(r, f.Need("at")), d.moment(r, f.Get("opened"))
	if opened.IsZero() {
		opened = s.start
	}
	d.at = opened
	o := Opening{
		Patient: patients[r.Text(f.Need("patient"))], Kind: visit.Kind(r.Text(f.Need("kind"))), At: at,
		Practitioner: r.Text(f.Need("practitioner")), After: visits[r.Text(f.Get("after"))],
		Answers: merged(s.bases[r.Text(f.Get("base"))], f.Get("answers")),
	}
	answered, more, steps := f.Get("answered"), f.Get("more"), r.List(f.Get("steps"))
	if problems := r.Problems(); len(problems) > 0 {
		return "", problems, nil
	}
	id, problems, err := d.OpenVisit(o)
	if err != nil || len(problems) > 0 {
		return "", problems, err
	}
	problems, err = d.change(id, "answered", func(visit.Visit) ([]source.Change, source.Problems) {
		var changes []source.Change
		if answered != nil {
			changes = append(changes, source.Change{Path: []string{"answered"}, Value: answered})
		}
		for _, key := range r.Entries(more) {
			changes = append(changes, source.Change{Path: []string{key.Name}, Value: key.Value})
		}
		return changes, nil
	})
	if err != nil || len(problems) > 0 {
		return "", problems, err
	}
	for _, step := range steps {
		if problems, err := d.tellStep(id, step); err != nil || len(problems) > 0 {
			return "", problems, err
		}
	}
	return id, nil, nil
}

// tellStep plays one step: what a person would have done with a command at that time.
func (d *Desk) tellStep(id string, n *source.Node) (source.Problems, error) {
	r := &source.Reader{}
	f := r.Fields(n, "at", "do", "by", "rule", "outcome", "reason", "paper", "how", "explained", "state", "note", "treatment", "end")
	d.at = d.moment(r, f.Need("at"))
	do, by := r.OneOf(f.Need("do"), "handed", "decide", "met", "state", "treat", "close", "issue"), r.Text(f.Get("by"))
	rule, outcome := r.Text(f.Get("rule")), r.Text(f.Get("outcome"))
	if problems := r.Problems(); len(problems) > 0 {
		return problems, nil
	}
	switch do {
	case "handed":
		return d.Handed(id, visit.Handed{Paper: r.Text(f.Need("paper")), At: d.at, How: "paper", By: by, Explained: true})
	case "decide":
		return d.Decide(id, Decision{Rule: rule, Outcome: outcome, Reason: r.Text(f.Need("reason")), By: by})
	case "met":
		return d.Met(id, rule, outcome, by, r.Text(f.Get("note")))
	case "state":
		return d.State(id, visit.ConsentState(r.Text(f.Need("state"))), by, r.Text(f.Get("note")))
	case "treat":
		return d.Treat(id, f.Get("treatment"))
	case "close":
		return d.Close(id, d.moment(r, f.Need("end")), by)
	}
	issued, problems, err := d.Issue(id, Request{Kinds: []string{r.Text(f.Need("paper"))}})
	for _, paper := range issued {
		problems = append(problems, paper.Problems...)
	}
	return problems, err
}

func (d *Desk) moment(r *source.Reader, n *source.Node) time.Time {
	text := r.Text(n)
	if text == "" {
		return time.Time{}
	}
	at, err := measure.ParseTime(text, d.clinic.Zone)
	if err != nil {
		r.Report(n, "problem.time", nil)
	}
	return at
}

// merged is a mapping with the keys of over in place of its own.
func merged(base, over *source.Node) *source.Node {
	whole := &source.Node{Kind: source.Mapping}
	replaced := map[string]bool{}
	if over != nil {
		for _, key := range over.Keys {
			replaced[key.Name] = true
		}
	}
	for _, side := range []*source.Node{base, over} {
		if side == nil {
			continue
		}
		for _, key := range side.Keys {
			if side == base && replaced[key.Name] {
				continue
			}
			whole.Keys = append(whole.Keys, key)
		}
	}
	return whole
}

// readStory reads demo/story.yaml.
func readStory(data fs.FS) (story, source.Problems, error) {
	file, err := fs.ReadFile(data, "story.yaml")
	if err != nil {
		return story{}, nil, err
	}
	node, problems := source.Parse("story.yaml", file)
	if len(problems) > 0 {
		return story{}, problems, nil
	}
	r := &source.Reader{}
	f := r.Fields(node, "start", "bases", "patients", "later", "visits")
	s := story{bases: map[string]*source.Node{}, patients: r.Entries(f.Need("patients")), visits: r.Entries(f.Need("visits"))}
	s.later = map[string]*source.Node{}
	for _, key := range r.Entries(f.Get("later")) {
		s.later[key.Name] = key.Value
	}
	for _, key := range r.Entries(f.Get("bases")) {
		s.bases[key.Name] = key.Value
	}
	if s.start, err = time.Parse(time.RFC3339, r.Text(f.Need("start"))); err != nil {
		r.Report(f.Get("start"), "problem.time", nil)
	}
	return s, r.Problems(), nil
}

// showAgain shows a demonstration that is there already.
func showAgain(path string, data fs.FS, catalogue *locales.Catalogue) (Demonstration, source.Problems, error) {
	f, err := folder.Open(path)
	if err != nil {
		return Demonstration{}, nil, ErrOccupied
	}
	s, problems, err := readStory(data)
	if err != nil || len(problems) > 0 {
		return Demonstration{}, problems, err
	}
	d, problems, err := Open(f, catalogue, s.start, newIDs("again"))
	if err != nil || len(problems) > 0 {
		return Demonstration{}, problems, err
	}
	if !d.clinic.Demonstration {
		return Demonstration{}, nil, ErrOccupied
	}
	shown := Demonstration{Folder: f, Zone: d.clinic.Zone}
	lines, err := d.Visits()
	if err != nil {
		return shown, nil, err
	}
	for _, line := range lines {
		checked, err := d.Check(line.ID)
		if err != nil {
			return shown, nil, err
		}
		shown.Visits = append(shown.Visits, d.shown(line.ID, checked))
	}
	return shown, nil, nil
}
