package desk

import (
	"philtrum/forms/clinic"
	"philtrum/forms/source"
	"philtrum/forms/visit"
	"philtrum/templates"
)

// Remarks are the findings of the visit's record: what a code says, what is expired, recalled or does not add
// up. They stand on the paper and hold nothing up.
func (c Checked) Remarks() []templates.RecordFinding {
	f := templates.Gather(templates.Issue{}, c.Case, c.Report)
	return f.RecordFindings()
}

// Recalled are the recalls that the plan falls under: a plan that names a recalled lot gets no consent to sign.
func (c Checked) Recalled() source.Problems { return recalled(c) }

func recalled(c Checked) source.Problems {
	if c.Case.Visit.Treatment != nil {
		return nil
	}
	var problems source.Problems
	for _, r := range c.Case.Visit.Plan.Recalled(c.Case.Stock) {
		problems = append(problems, source.Problem{ID: "problem.lot_recalled", Args: map[string]any{
			"lot": r.Lot, "on": r.On.String(), "reason": r.Reason}})
	}
	return problems
}

// Treat records the treatment. Nothing after the needle is refused: what cannot be read is kept as it was
// typed, and the record marks it. A record that was there before is amended: each value that changes keeps its
// old one, with who, when and why.
func (d *Desk) Treat(id string, treatment *source.Node) (source.Problems, error) {
	return d.recordAs(id, "treated", "treatment", treatment)
}

// Review records what was found at a review, and amends as [Desk.Treat] does.
func (d *Desk) Review(id string, review *source.Node) (source.Problems, error) {
	return d.recordAs(id, "reviewed", "review", review)
}

// recordAs writes a record under a key. The key "correction" in what is given says who corrects it and why; it
// goes with the amendments.
func (d *Desk) recordAs(id, what, key string, node *source.Node) (source.Problems, error) {
	name, err := d.folder.VisitFile(id)
	if err != nil {
		return nil, ErrNoVisit
	}
	node, by, why := corrected(node)
	if key == "treatment" {
		node = d.stamped(node)
	}
	return d.changeWith(id, name, what, func(_ visit.Visit, file *source.Node) ([]source.Change, source.Problems) {
		changes := []source.Change{{Path: []string{key}, Value: node}}
		was := child(file, key)
		if was == nil || was.Kind == source.Empty {
			return changes, nil
		}
		for _, a := range visit.Amend(was, node, "recorded") {
			a.Where, a.By, a.Why, a.At = key+"."+a.Where, by, why, d.now()
			changes = append(changes, source.Change{Path: []string{"amendments"}, Append: true, Value: a.Node()})
		}
		return changes, nil
	})
}

// stamped adds the moment at which the record is made, unless it says one itself.
func (d *Desk) stamped(node *source.Node) *source.Node {
	if node == nil || node.Kind != source.Mapping || child(node, "recorded") != nil {
		return node
	}
	out := *node
	out.Keys = append(append([]source.Key{}, node.Keys...), source.Map("recorded", d.now().Format(rfc3339)).Keys...)
	return &out
}

const rfc3339 = "2006-01-02T15:04:05Z07:00"

// corrected takes "correction: {by, why}" out of a record.
func corrected(node *source.Node) (rest *source.Node, by, why string) {
	c := child(node, "correction")
	if c == nil {
		return node, "", ""
	}
	out := *node
	out.Keys = nil
	for _, k := range node.Keys {
		if k.Name != "correction" {
			out.Keys = append(out.Keys, k)
		}
	}
	return &out, textOf(child(c, "by")), textOf(child(c, "why"))
}

func textOf(n *source.Node) string {
	if n == nil {
		return ""
	}
	return n.Text
}

// recalls are the clinic's products with every recall that is recorded, in products.yaml or as a file of its
// own. A file that cannot be read hides none of the others.
func (d *Desk) recalls() clinic.Stock {
	if d.recalled == nil {
		d.recalled = append([]clinic.Recall{}, d.stock.Recalls...)
		recorded, _, _ := d.Recalls()
		for _, r := range recorded {
			of := r.Product
			if p, ok := d.stock.Device(r.Device); ok && of == "" {
				of = p.ID
			}
			d.recalled = append(d.recalled, clinic.Recall{Lot: r.Lot, Product: of, Item: r.Item, On: r.On, Reason: r.Reason})
		}
	}
	stock := d.stock
	stock.Recalls = d.recalled
	return stock
}
