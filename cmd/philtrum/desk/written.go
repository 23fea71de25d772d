package desk

import (
	"slices"

	"philtrum/forms/source"
	"philtrum/forms/visit"
)

// WriteIn says in which language the sentences are that this desk records from here on, as a tag (BCP 47); empty: the
// files say nothing, and papers take the clinic's.
func (d *Desk) WriteIn(tag string) { d.written = tag }

// withLanguages adds to a visit's file that was changed in which language its new sentences are. before is the visit
// as it was.
func (d *Desk) withLanguages(name string, data []byte, before visit.Visit) ([]byte, source.Problems) {
	if d.written == "" && len(before.WrittenIn) == 0 {
		return data, nil
	}
	node, problems := source.Parse(name, data)
	if len(problems) > 0 {
		return nil, problems
	}
	return source.Edit(name, data, d.languages(before, visit.Read(node, &source.Reader{}, d.clinic.Zone))...)
}

// languages are the changes by which written_in speaks of the new sentences. What was said of a sentence that another
// has replaced goes: it spoke of the words that stood there. An entry that was there before its sentence stays.
func (d *Desk) languages(before, after visit.Visit) []source.Change {
	path := []string{"written_in"}
	kept := slices.DeleteFunc(slices.Clone(after.WrittenIn), func(w visit.WrittenIn) bool {
		was, is := before.TextAt(w.Where), after.TextAt(w.Where)
		return w.Where != "" && was != is && (was != "" || d.written != "" && is != "")
	})
	var changes []source.Change
	// A list with entries that cannot be read is left as it is: they are a person's to mend.
	unread := slices.ContainsFunc(kept, func(w visit.WrittenIn) bool { return w.Where == "" || w.Language == "" })
	if len(kept) < len(after.WrittenIn) && !unread {
		changes = append(changes, source.Change{Path: path, Value: visit.WrittenNode(kept)})
	}
	for _, where := range after.Written() {
		if d.written != "" && after.TextAt(where) != before.TextAt(where) {
			entry := visit.WrittenIn{Where: where, Language: d.written}
			changes = append(changes, source.Change{Path: path, Append: true, Value: entry.Node()})
		}
	}
	return changes
}
