package desk

import (
	"strconv"
	"strings"

	"philtrum/forms/journal"
	"philtrum/forms/source"
	"philtrum/forms/visit"
)

// reviewPart is the beginning of the place of a value of a review; others are of the treatment.
const reviewPart = "review"

// Recorded is the value at a place of a visit's record ("rows.2.volume", "review.swelling"), as it was typed; an
// empty one is not there.
func (d *Desk) Recorded(id, where string) (string, source.Problems, error) {
	name, err := d.folder.VisitFile(id)
	if err != nil {
		return "", nil, ErrNoVisit
	}
	data, err := d.folder.Read(name)
	if err != nil {
		return "", nil, err
	}
	root, problems := source.Parse(name, data)
	if len(problems) > 0 {
		return "", problems, nil
	}
	path := recordPath(where)
	was, _, ok := replaced(child(root, path[0]), path[1:], nil)
	if !ok {
		return "", one("amend.no_place", "where", where), nil
	}
	return was, nil, nil
}

// Amend corrects a value of a record after it was written: the new value takes its place, and what it was, who
// changed it, when and why stay in the file (T-22). It takes any name and any value, like everything after the
// needle, but not a change without its reason.
func (d *Desk) Amend(id string, a visit.Amendment) (source.Problems, error) {
	if strings.TrimSpace(a.Why) == "" {
		return one("amend.no_reason"), nil
	}
	name, err := d.folder.VisitFile(id)
	if err != nil {
		return nil, ErrNoVisit
	}
	var problems source.Problems
	batch := d.folder.Batch(d.at)
	batch.Update(name, func(old []byte) ([]byte, error) {
		root, found := source.Parse(name, old)
		var changes []source.Change
		if problems = found; len(found) == 0 {
			changes, problems = d.amendment(root, a)
		}
		if len(problems) > 0 {
			return nil, errUnchanged
		}
		edited, found := source.Edit(name, old, changes...)
		if problems = found; len(found) > 0 {
			return nil, errUnchanged
		}
		return edited, nil
	})
	batch.EnterFile(journal.Amended, id, name)
	err = batch.Commit()
	if len(problems) > 0 {
		return problems, nil
	}
	return nil, err
}

func (d *Desk) amendment(root *source.Node, a visit.Amendment) ([]source.Change, source.Problems) {
	path := recordPath(a.Where)
	part := child(root, path[0])
	if part == nil || part.Kind != source.Mapping {
		return nil, one("amend.no_record")
	}
	var value *source.Node
	if a.Now != "" {
		value = source.Text(a.Now)
	}
	was, now, ok := replaced(part, path[1:], value)
	switch {
	case !ok:
		return nil, one("amend.no_place", "where", a.Where)
	case was == a.Now:
		return nil, one("amend.same")
	}
	a.Was, a.At = was, d.now()
	// Only the part that the value stands in is written anew: up to the first list.
	keep := 1
	for keep < len(path)-1 && !isNumber(path[keep]) && !isNumber(path[keep+1]) {
		keep++
	}
	keep = min(keep, len(path)-1)
	changed := now
	for _, key := range path[1 : keep+1] {
		changed = child(changed, key)
	}
	return []source.Change{
		{Path: path[:keep+1], Value: changed},
		{Path: []string{"amendments"}, Append: true, Value: a.Node()},
	}, nil
}

// Explain says who edited the file of a patient or visit by hand, and why: from then on the file as it stands is
// what the journal knows. Who and why stand in the visit's file; a patient's has no place for them.
func (d *Desk) Explain(id, by, why string) (source.Problems, error) {
	if strings.TrimSpace(why) == "" {
		return one("amend.no_reason"), nil
	}
	if !d.folder.HasVisit(id) {
		name, err := d.folder.PatientFile(id)
		if err != nil || !d.folder.Has(name) {
			return nil, ErrNoVisit
		}
		batch := d.folder.Batch(d.at)
		batch.Update(name, func(old []byte) ([]byte, error) { return old, nil })
		batch.EnterFile(journal.Explained, id, name)
		return nil, batch.Commit()
	}
	return d.change(id, journal.Explained, func(visit.Visit) ([]source.Change, source.Problems) {
		return []source.Change{{Path: []string{"amendments"}, Append: true, Value: visit.Amendment{
			Where: "visit.yaml", By: by, Why: why, At: d.now(),
		}.Node()}}, nil
	})
}

// recordPath leads from the root of a visit's file to a value of its record.
func recordPath(where string) []string {
	path := strings.Split(where, ".")
	if path[0] == reviewPart || path[0] == "treatment" {
		return path
	}
	return append([]string{"treatment"}, path...)
}

func isNumber(part string) bool {
	n, err := strconv.Atoi(part)
	return err == nil && n > 0
}

func child(n *source.Node, key string) *source.Node {
	if n == nil {
		return nil
	}
	for _, k := range n.Keys {
		if k.Name == key {
			return k.Value
		}
	}
	return nil
}

// replaced gives the scalar at path and the tree with value in its place; n is left alone. A list is counted
// from 1. ok is false where path leads nowhere, or to something that is no single value.
func replaced(n *source.Node, path []string, value *source.Node) (was string, now *source.Node, ok bool) {
	if len(path) == 0 {
		if n != nil && n.Kind != source.Scalar && n.Kind != source.Empty {
			return "", nil, false
		}
		if n != nil {
			was = n.Text
		}
		return was, value, true
	}
	if n == nil {
		return "", nil, false
	}
	out := *n
	switch n.Kind {
	case source.Sequence:
		i, err := strconv.Atoi(path[0])
		if err != nil || i < 1 || i > len(n.Items) {
			return "", nil, false
		}
		was, item, ok := replaced(n.Items[i-1], path[1:], value)
		if !ok {
			return "", nil, false
		}
		out.Items = append([]*source.Node(nil), n.Items...)
		if out.Items[i-1] = item; item == nil {
			out.Items = append(out.Items[:i-1], out.Items[i:]...)
		}
		return was, &out, true
	case source.Mapping:
		out.Keys = nil
		found := false
		for _, k := range n.Keys {
			if k.Name != path[0] {
				out.Keys = append(out.Keys, k)
				continue
			}
			found = true
			var item *source.Node
			if was, item, ok = replaced(k.Value, path[1:], value); !ok {
				return "", nil, false
			}
			if item != nil {
				out.Keys = append(out.Keys, source.Key{Name: k.Name, Value: item})
			}
		}
		if !found && len(path) == 1 && value != nil {
			out.Keys = append(out.Keys, source.Key{Name: path[0], Value: value})
			found = true
		}
		return was, &out, found || len(path) == 1
	}
	return "", nil, false
}
