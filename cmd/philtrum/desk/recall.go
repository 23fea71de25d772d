package desk

import (
	"path"
	"slices"
	"strings"
	"time"

	"philtrum/cmd/philtrum/folder"
	"philtrum/forms"
	"philtrum/forms/device"
	"philtrum/forms/measure"
	"philtrum/forms/source"
)

// Recall is recalls/<id>.yaml: that a lot was recalled, and who has been reached since.
type Recall struct {
	ID, Lot, Device, Product, Item string
	On                             measure.Date
	Reason, By                     string
	At                             time.Time
	Reached                        []Reached
}

// Reached records that somebody tried to reach a patient: how, when, who, and whether they were reached.
type Reached struct {
	Patient, How, By, Note string
	At                     time.Time
	Answered               bool
}

// Hows are the ways of reaching a patient.
var Hows = []string{"telephone", "in_person", "letter", "email", "message"}

func (r Recall) reached(patient string) []Reached {
	var all []Reached
	for _, reached := range r.Reached {
		if reached.Patient == patient {
			all = append(all, reached)
		}
	}
	return all
}

func (r Recall) node() *source.Node {
	return source.Map("id", r.ID, "lot", r.Lot, "device", said(r.Device), "product", said(r.Product), "item", said(r.Item),
		"on", r.On.String(), "reason", r.Reason, "by", r.By, "at", r.At.Format(time.RFC3339))
}

func said(s string) *source.Node {
	if s == "" {
		return nil
	}
	return source.Text(s)
}

func (r Reached) node() *source.Node {
	answered := "no"
	if r.Answered {
		answered = "yes"
	}
	return source.Map("patient", r.Patient, "at", r.At.Format(time.RFC3339), "how", r.How, "by", r.By, "answered", answered, "note", said(r.Note))
}

func (d *Desk) readRecall(name string) (Recall, source.Problems, error) {
	data, err := d.folder.Read(name)
	if err != nil {
		return Recall{}, nil, err
	}
	node, problems := source.Parse(name, data)
	if len(problems) > 0 {
		return Recall{}, problems, nil
	}
	v := forms.Values{Reader: &source.Reader{}, Private: true, Zone: d.clinic.Zone}
	f := v.Fields(node, "id", "lot", "device", "product", "item", "on", "reason", "by", "at", "reached")
	r := Recall{
		ID: v.ID(f.Need("id")), Lot: v.Text(f.Need("lot")), Device: v.Text(f.Get("device")), Product: v.ID(f.Get("product")),
		Item: v.Text(f.Get("item")), On: v.Date(f.Need("on")), Reason: v.Text(f.Need("reason")), By: v.ID(f.Get("by")), At: v.Time(f.Get("at")),
	}
	for _, item := range v.List(f.Get("reached")) {
		g := v.Fields(item, "patient", "at", "how", "by", "answered", "note")
		r.Reached = append(r.Reached, Reached{
			Patient: v.ID(g.Need("patient")), At: v.Time(g.Need("at")), How: v.OneOf(g.Get("how"), Hows...), By: v.ID(g.Get("by")),
			Answered: v.YesNo(g.Get("answered")), Note: v.Text(g.Get("note")),
		})
	}
	return r, v.Problems(), nil
}

// recallOf finds the recall that is recorded of a lot; the newest of several. One of another device does not
// count where a device is named.
func (d *Desk) recallOf(lot, deviceID string) (Recall, bool, error) {
	all, _, err := d.Recalls()
	for _, r := range slices.Backward(all) {
		if device.SameLot(r.Lot, lot) && (deviceID == "" || r.Device == "" || device.Normal(r.Device) == deviceID) {
			return r, true, err
		}
	}
	return Recall{}, false, err
}

// Recalls are all recorded recalls in order of time.
func (d *Desk) Recalls() ([]Recall, source.Problems, error) {
	names, err := d.folder.Names("recalls")
	if err != nil {
		return nil, nil, err
	}
	var all []Recall
	var problems source.Problems
	for _, name := range names {
		if !strings.HasSuffix(name, ".yaml") {
			continue
		}
		r, found, err := d.readRecall(path.Join("recalls", name))
		if err != nil {
			return nil, nil, err
		}
		problems = append(problems, found...)
		if r.ID != "" {
			all = append(all, r)
		}
	}
	slices.SortStableFunc(all, func(a, b Recall) int { return a.At.Compare(b.At) })
	return all, problems, nil
}

// Recall records that a lot was recalled: in products.yaml, from where every check knows it, and in a file of
// its own, which keeps who has been reached.
func (d *Desk) Recall(r Recall) (source.Problems, error) {
	r.Lot, r.Device = strings.TrimSpace(r.Lot), device.Normal(r.Device)
	if r.Lot == "" {
		return nil, ErrNoLot
	}
	if strings.TrimSpace(r.Reason) == "" {
		return one("problem.no_reason", "rule", r.Lot), nil
	}
	if found := d.isStaff(r.By); len(found) > 0 {
		return found, nil
	}
	if _, known, err := d.recallOf(r.Lot, r.Device); err != nil || known {
		return one("problem.recalled_already"), err
	}
	if lines := d.linesOf(r.Lot, r.Device); r.Product == "" && r.Item == "" && len(lines) == 1 {
		r.Product = lines[0]
	}
	if r.On.IsZero() {
		r.On = measure.DateOf(d.at, d.clinic.Zone)
	}
	id, err := folder.NewID(d.random)
	if err != nil {
		return nil, err
	}
	r.ID, r.At = id, d.now()
	entry := source.Map("number", r.Lot, "product", said(r.Product), "item", said(r.Item), "on", r.On.String(), "reason", r.Reason)
	var problems source.Problems
	batch := d.folder.Batch(d.at)
	batch.Update("products.yaml", func(old []byte) ([]byte, error) {
		edited, found := source.Edit("products.yaml", old, source.Change{Path: []string{"recalled"}, Append: true, Value: entry})
		if problems = found; len(found) > 0 {
			return nil, errUnchanged
		}
		return edited, nil
	})
	name := "recalls/" + id + ".yaml"
	batch.Create(name, source.Write(r.node()))
	batch.EnterFile("recalled", id, name)
	if err := batch.Commit(); len(problems) == 0 {
		return nil, err
	}
	return problems, nil
}

// Reach records that a patient was reached about a recalled lot, or that somebody tried.
func (d *Desk) Reach(lot, deviceID, number string, reached Reached) (source.Problems, error) {
	r, known, err := d.recallOf(lot, device.Normal(deviceID))
	if err != nil {
		return nil, err
	}
	if !known {
		return one("problem.recall_not_recorded"), nil
	}
	if !slices.Contains(Hows, reached.How) {
		return one("problem.reached_how", "allowed", Hows), nil
	}
	if found := d.isStaff(reached.By); len(found) > 0 {
		return found, nil
	}
	patient, problems, err := d.Person(number)
	if err != nil || len(problems) > 0 {
		return problems, err
	}
	reached.Patient = patient
	if reached.At.IsZero() {
		reached.At = d.now()
	}
	name := "recalls/" + r.ID + ".yaml"
	batch := d.folder.Batch(d.at)
	batch.Update(name, func(old []byte) ([]byte, error) {
		edited, found := source.Edit(name, old, source.Change{Path: []string{"reached"}, Append: true, Value: reached.node()})
		if problems = found; len(found) > 0 {
			return nil, errUnchanged
		}
		return edited, nil
	})
	batch.EnterFile("reached", r.ID, name)
	if err := batch.Commit(); len(problems) == 0 {
		return nil, err
	}
	return problems, nil
}
