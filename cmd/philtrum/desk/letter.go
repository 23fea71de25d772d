package desk

import (
	"philtrum/forms/source"
	"philtrum/forms/visit"
)

// kindLetter is the letter to the family doctor.
const kindLetter = "letter"

// Letter records what the patient chose about a letter to the family doctor, and who took it down.
func (d *Desk) Letter(id string, agreed bool, by string) (source.Problems, error) {
	if found := d.isStaff(by); len(found) > 0 {
		return found, nil
	}
	chosen := visit.Letter{Agreed: agreed, By: by, At: d.now()}
	return d.change(id, kindLetter, func(visit.Visit) ([]source.Change, source.Problems) {
		return []source.Change{{Path: []string{"letter"}, Value: chosen.Node()}}, nil
	})
}

// mayWrite says what stands in the way of a letter: the patient's own word, which nobody else has.
func mayWrite(v visit.Visit) source.Problems {
	switch {
	case v.Letter == nil:
		return one("letter.not_asked")
	case !v.Letter.Agreed:
		return one("letter.declined")
	}
	return nil
}
