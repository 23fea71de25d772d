package desk

import (
	"philtrum/forms/measure"
	"philtrum/forms/place"
	"philtrum/forms/source"
	"philtrum/forms/visit"
)

// Stay records where the patient will be after the treatment. known says whether the table has the place:
// otherwise its emergency number stays open, to be filled in by pen.
func (d *Desk) Stay(id string, node *source.Node) (known bool, problems source.Problems, err error) {
	v := visit.Visit{}
	problems, err = d.change(id, "stay", func(before visit.Visit) ([]source.Change, source.Problems) {
		v = before
		return []source.Change{{Path: []string{"stay"}, Value: node}}, nil
	})
	if err != nil || len(problems) > 0 {
		return false, problems, err
	}
	for _, k := range node.Keys {
		if k.Name == "place" && k.Value != nil {
			v.Stay.Place = k.Value.Text
		}
	}
	return d.stayOf(v).Known, nil, nil
}

// stayOf is the place where the patient will be; nothing where it is not recorded or not in the table.
func (d *Desk) stayOf(v visit.Visit) place.Place {
	if v.Stay.Place == "" {
		return place.Place{}
	}
	found, problems := d.placeAt(v.Stay.Place, measure.DateOf(v.Appointment, d.clinic.Zone))
	if len(problems) > 0 || !found.Known {
		return place.Place{}
	}
	return found
}
