package locales

import "philtrum/forms/source"

// readEntries gives the entries of a flat file: quickly where it has the plain shape, and otherwise, or to
// learn where everything stands (placed), by the strict reader, which reports what is wrong to r.
func readEntries(file string, data []byte, placed bool, r *source.Reader) []flatEntry {
	if !placed {
		if entries, ok := readFlat(string(data)); ok {
			return entries
		}
	}
	node, problems := source.Parse(file, data)
	for _, p := range problems {
		r.ReportAt(p.Span, p.ID, p.Args)
	}
	if node == nil {
		return nil
	}
	var entries []flatEntry
	for _, k := range r.Entries(node) {
		e := flatEntry{key: k.Name, span: k.Span, at: k.Span}
		if k.Value != nil && k.Value.Kind == source.Mapping {
			e.fields = strictFields(k.Value, r)
		} else {
			e.text, e.at = r.Text(k.Value), place(k)
		}
		entries = append(entries, e)
	}
	return entries
}

func strictFields(n *source.Node, r *source.Reader) []flatField {
	var fields []flatField
	for _, k := range r.Entries(n) {
		f := flatField{key: k.Name, span: k.Span, at: place(k)}
		if k.Value != nil && k.Value.Kind == source.Mapping {
			for _, p := range r.Entries(k.Value) {
				f.pairs = append(f.pairs, flatPair{key: p.Name, value: r.Text(p.Value), span: p.Span})
			}
		} else {
			f.text = r.Text(k.Value)
		}
		fields = append(fields, f)
	}
	return fields
}

// place is where a key's value stands, or the key when it has none.
func place(k source.Key) source.Span {
	if k.Value == nil || k.Value.Kind == source.Empty {
		return k.Span
	}
	return k.Value.Span
}

// reread runs read on a file's entries; if that finds anything wrong without places, it runs once more
// with them.
func reread[T any](file string, data []byte, read func([]flatEntry, *source.Reader) T) (T, source.Problems) {
	var r source.Reader
	out := read(readEntries(file, data, false, &r), &r)
	if len(r.Problems()) == 0 {
		return out, nil
	}
	r = source.Reader{}
	out = read(readEntries(file, data, true, &r), &r)
	return out, r.Problems()
}
