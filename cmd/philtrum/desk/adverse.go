package desk

import (
	"slices"

	"philtrum/forms/measure"
	"philtrum/forms/source"
	"philtrum/forms/visit"
)

// kindAdverse is the report of an adverse event to the authority and the maker.
const kindAdverse = "adverse"

// AdverseEvent is what the visit's record says of a complication, an empty one where it says nothing, and which
// fields of a report are still open.
func (d *Desk) AdverseEvent(id string) (visit.Event, []string, error) {
	v, _, err := d.readVisit(id)
	if err != nil {
		return visit.Event{}, nil, err
	}
	var e visit.Event
	if v.Treatment != nil && v.Treatment.Event != nil {
		e = *v.Treatment.Event
	}
	return e, e.Open(), nil
}

// NoteEvent adds to the record of a visit what a report of an adverse event asks for. It fills what is open and
// replaces nothing: a value that is there is corrected with its reason ([Desk.Amend]). Like everything after the
// needle it takes any value. Filled are the keys that were added; kept are those that stood there already with
// another value and were left alone.
func (d *Desk) NoteEvent(id string, event *source.Node) (filled, kept []string, problems source.Problems, err error) {
	name, err := d.folder.VisitFile(id)
	if err != nil {
		return nil, nil, nil, ErrNoVisit
	}
	if event == nil || event.Kind != source.Mapping {
		return nil, nil, nil, nil
	}
	problems, err = d.changeWith(id, name, "event", func(_ visit.Visit, root *source.Node) ([]source.Change, source.Problems) {
		filled, kept = nil, nil
		there := child(child(root, "treatment"), "event")
		var changes []source.Change
		for _, k := range event.Keys {
			if was := child(there, k.Name); was != nil && was.Kind != source.Empty {
				if k.Name != "reports" && !same(was, k.Value) {
					kept = append(kept, k.Name)
				}
				continue
			}
			filled = append(filled, k.Name)
			changes = append(changes, source.Change{Path: []string{"treatment", "event", k.Name}, Value: k.Value})
		}
		return changes, nil
	})
	slices.Sort(kept)
	return filled, kept, problems, err
}

func same(a, b *source.Node) bool {
	return a.Kind == b.Kind && a.Text == b.Text && len(a.Items) == 0 && len(b.Items) == 0
}

// Reported records that a report was sent: to whom, when, under which number, and by whom.
func (d *Desk) Reported(id string, r visit.Reported) (source.Problems, error) {
	return d.change(id, "reported", func(visit.Visit) ([]source.Change, source.Problems) {
		return []source.Change{{Path: []string{"treatment", "event", "reports"}, Append: true, Value: r.Node()}}, nil
	})
}

// Routes are the messages of the routes by which the clinic's place takes reports, on the desk's day.
func (d *Desk) Routes() []string {
	here, problems := d.placeOn(measure.DateOf(d.at, d.clinic.Zone))
	if len(problems) > 0 {
		return nil
	}
	var routes []string
	for _, r := range here.Reporting {
		if r.Value != "" {
			routes = append(routes, r.Value)
		}
	}
	return routes
}
