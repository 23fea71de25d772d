package desk

import (
	"slices"
	"time"

	"philtrum/forms/source"
	"philtrum/forms/visit"
)

// Picture is a photograph of a patient without what the camera wrote into it. Of the file as it came only the
// digest is kept: where a photograph was taken and with whose device is nobody's business, and the pixels are the
// same.
type Picture struct {
	Data      []byte
	Extension string    // jpg or png
	Original  string    // SHA-256 and extension of the file as it came
	Taken     time.Time // by the camera's clock, without a zone; zero: not known
}

// Photograph attaches photographs of a view to a visit. Without the patient's agreement, as it stands on the last
// confirmed consent, they wait in the tray.
func (d *Desk) Photograph(id string, p visit.Photograph, pictures []Picture) ([]Attached, source.Problems, error) {
	v, problems, err := d.readVisit(id)
	if err != nil || len(problems) > 0 {
		return nil, problems, err
	}
	may, err := d.mayPhotograph(v, "record")
	if err != nil {
		return nil, nil, err
	}
	batch := d.folder.Batch(d.at)
	var all []Attached
	var nodes []*source.Node
	for i, picture := range pictures {
		sum := digest(picture.Data)
		at := Attached{File: i, Visit: id}
		owner := id
		entry := d.photograph(p, picture, sum)
		at.Before = slices.ContainsFunc(v.Photographs, func(q visit.Photograph) bool { return q.Copy == entry.Copy })
		switch {
		case at.Before:
		case may:
			nodes = append(nodes, entry.Node())
			v.Photographs = append(v.Photographs, entry)
		default:
			at.Why, owner = NoAgreement, ""
			item := trayItem{ID: itemID(entry.Copy, 0), File: entry.Copy, Why: NoAgreement, At: d.now(), By: p.By, Original: entry.File}
			at.Item = item.ID
			name, err := d.folder.TrayFile(item.ID)
			if err != nil {
				return nil, nil, err
			}
			if at.Before = d.folder.Has(name) || batch.Creates(name); !at.Before {
				batch.Create(name, item.text())
				batch.Enter("tray", item.ID, sum)
			}
		}
		all = append(all, at)
		name, err := d.folder.EvidenceFile(owner, sum, picture.Extension)
		if err != nil {
			return nil, nil, err
		}
		if !at.Before && !d.folder.Has(name) && !batch.Creates(name) {
			batch.Create(name, picture.Data)
			batch.Enter("kept", sum[:32], sum)
		}
	}
	if err := d.addTo(batch, id, "photographed", "photographs", nodes); err != nil {
		return nil, nil, err
	}
	return all, nil, batch.Commit()
}

// photograph is the entry of a picture. The camera's clock is taken to show the clinic's time.
func (d *Desk) photograph(p visit.Photograph, picture Picture, sum string) visit.Photograph {
	p.File, p.Copy, p.At = picture.Original, sum+"."+picture.Extension, d.now()
	if t := picture.Taken; !t.IsZero() {
		p.Taken = time.Date(t.Year(), t.Month(), t.Day(), t.Hour(), t.Minute(), t.Second(), 0, d.clinic.Zone)
	}
	return p
}

// mayPhotograph says whether the patient agreed to a use of photographs: what the newest confirmed consent of
// this visit or an earlier one says. After a withdrawal only the record may hold them.
func (d *Desk) mayPhotograph(v visit.Visit, use string) (bool, error) {
	earlier, _, err := d.earlier(v)
	if err != nil {
		return false, err
	}
	for _, w := range append([]visit.Visit{v}, reversed(earlier)...) {
		agreed, said := w.PhotoUses()
		if !said {
			continue
		}
		return slices.Contains(agreed, use) && (use == "record" || w.Consent() != visit.Withdrawn), nil
	}
	return false, nil
}

func reversed(visits []visit.Visit) []visit.Visit {
	out := slices.Clone(visits)
	slices.Reverse(out)
	return out
}

// Agreed binds a photograph that waits in the tray, once the patient has agreed.
func (d *Desk) Agreed(id, visitID string, p visit.Photograph, taken time.Time) (source.Problems, error) {
	item, problems, err := d.readItem(id)
	if err != nil || len(problems) > 0 {
		return problems, err
	}
	v, problems, err := d.readVisit(visitID)
	if err != nil || len(problems) > 0 {
		return problems, err
	}
	may, err := d.mayPhotograph(v, "record")
	switch {
	case err != nil:
		return nil, err
	case item.Bound != nil:
		return one("attach.bound_already", "item", item.ID), nil
	case item.Why != NoAgreement:
		return one("attach.no_photograph", "item", item.ID), nil
	case !may:
		return one("attach.photograph_waits", "item", item.ID), nil
	}
	entry := d.photograph(p, Picture{Taken: taken, Original: item.Original}, "")
	entry.Copy = item.File
	batch := d.folder.Batch(d.at)
	if err := d.addTo(batch, v.ID, "photographed", "photographs", []*source.Node{entry.Node()}); err != nil {
		return nil, err
	}
	return nil, d.settle(batch, item, bound{Visit: v.ID, By: p.By, At: d.now()})
}

// PhotographsFor are the files of a visit's photographs, for a use that the patient has agreed to; the problem
// says that they have not.
func (d *Desk) PhotographsFor(id, use string) ([]string, source.Problems, error) {
	v, problems, err := d.readVisit(id)
	if err != nil || len(problems) > 0 {
		return nil, problems, err
	}
	may, err := d.mayPhotograph(v, use)
	if err != nil {
		return nil, nil, err
	}
	if !may {
		return nil, one("attach.use_not_agreed"), nil
	}
	var files []string
	for _, p := range v.Photographs {
		name, err := d.folder.FindEvidence(id, p.Copy)
		if err != nil {
			return nil, nil, err
		}
		files = append(files, name)
	}
	return files, nil, nil
}

// WaitingFile is the file of an item of the tray in the clinic folder.
func (d *Desk) WaitingFile(id string) (string, source.Problems, error) {
	item, problems, err := d.readItem(id)
	if err != nil || len(problems) > 0 {
		return "", problems, err
	}
	name, err := d.folder.FindEvidence("", item.File)
	return name, nil, err
}
