package source

import (
	"bytes"
	"slices"
	"strings"
)

// Change is one edit of a file. Path leads through keys of mappings. With Append, Value is added to the
// sequence at Path, which is made when absent; otherwise Value is set there, or the entry is removed if
// Value is nil (of an entry that is not there: nothing happens).
type Change struct {
	Path   []string
	Append bool
	Value  *Node
}

// Edit makes changes in turn and gives the new content. Lines that do not belong to a changed entry stay
// as they are, comments, blank lines and line ends included; a comment inside a value that is replaced
// goes with it. The result is parsed again and compared with what was asked for, so that an edit either
// does exactly that or is a problem. Then the content is nil.
func Edit(file string, data []byte, changes ...Change) ([]byte, Problems) {
	for _, c := range changes {
		next, problems := edit(file, data, c)
		if len(problems) > 0 {
			return nil, problems
		}
		data = next
	}
	return data, nil
}

func edit(file string, data []byte, c Change) ([]byte, Problems) {
	root, problems := Parse(file, data)
	switch {
	case len(problems) == 1 && problems[0].ID == "problem.empty_file":
		root = &Node{Kind: Mapping}
	case len(problems) > 0:
		return nil, problems
	case root.Kind != Mapping:
		return nil, failed(root.Span, "problem.expected_mapping")
	}
	want, wrong := changed(root, c.Path, c)
	if wrong != nil {
		return nil, wrong
	}
	if same(root, want) {
		return data, nil
	}
	if len(want.Keys) == 0 {
		return nil, failed(root.Span, "problem.edit_empties")
	}
	l := cut(data)
	if !l.apply(root, want, c) {
		return nil, failed(Span{File: file}, "problem.edit_form")
	}
	result := l.join()
	got, problems := Parse(file, result)
	if len(problems) > 0 || !same(got, want) {
		return nil, failed(Span{File: file}, "problem.edit_form")
	}
	return result, nil
}

func failed(s Span, id string) Problems { return Problems{{ID: id, Span: s}} }

// changed is the tree that c asks for; n itself is left alone.
func changed(n *Node, path []string, c Change) (*Node, Problems) {
	if len(path) == 0 {
		if !c.Append {
			return c.Value, nil
		}
		list := &Node{Kind: Sequence}
		if n != nil && n.Kind != Empty {
			if n.Kind != Sequence {
				return nil, failed(n.Span, "problem.expected_list")
			}
			list.Span, list.Items = n.Span, slices.Clone(n.Items)
		}
		list.Items = append(list.Items, c.Value)
		return list, nil
	}
	out := &Node{Kind: Mapping}
	if n != nil && n.Kind != Empty {
		if n.Kind != Mapping {
			return nil, failed(n.Span, "problem.expected_mapping")
		}
		out.Span, out.Keys = n.Span, slices.Clone(n.Keys)
	}
	at := find(out, path[0])
	var old *Node
	if at >= 0 {
		old = out.Keys[at].Value
	} else if c.Value == nil {
		return n, nil
	}
	value, wrong := changed(old, path[1:], c)
	switch {
	case wrong != nil:
		return nil, wrong
	case value == nil && at >= 0:
		out.Keys = slices.Delete(out.Keys, at, at+1)
	case at >= 0:
		out.Keys[at].Value = value
	default:
		out.Keys = append(out.Keys, Key{Name: path[0], Value: value})
	}
	return out, nil
}

func find(n *Node, key string) int {
	return slices.IndexFunc(n.Keys, func(k Key) bool { return k.Name == key })
}

// same compares content: places and quotes do not count.
func same(a, b *Node) bool {
	if a == nil || b == nil {
		return (a == nil || a.Kind == Empty) && (b == nil || b.Kind == Empty)
	}
	return a.Kind == b.Kind && a.Text == b.Text && slices.EqualFunc(a.Items, b.Items, same) &&
		slices.EqualFunc(a.Keys, b.Keys, func(x, y Key) bool { return x.Name == y.Name && same(x.Value, y.Value) })
}

// cut splits a file into lines that keep their ends.
func cut(data []byte) *lines {
	l := &lines{end: "\n"}
	if bytes.Contains(data, []byte("\r\n")) {
		l.end = "\r\n"
	}
	if bytes.HasPrefix(data, byteOrderMark) {
		l.mark, data = string(byteOrderMark), data[len(byteOrderMark):]
	}
	l.all = slices.Collect(strings.Lines(string(data)))
	return l
}

// lines is a file being edited; line numbers of spans count from 1.
type lines struct {
	mark, end string
	all       []string
}

func (l *lines) join() []byte { return []byte(l.mark + strings.Join(l.all, "")) }
