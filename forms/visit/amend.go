package visit

import (
	"slices"
	"strconv"
	"strings"
	"time"

	"philtrum/forms/source"
)

// Amendment is a value of a record that was changed after it was written: the old one stays, with who changed
// it, when and why (T-22).
type Amendment struct {
	Where, Was, Now string // where it stands ("rows.2.volume"); empty: there was none, or there is none now
	By, Why         string
	At              time.Time
	Span            source.Span
}

func (v reader) amendment(n *source.Node) Amendment {
	f := v.Fields(n, "where", "was", "now", "by", "why", "at")
	return Amendment{
		Where: v.Text(f.Need("where")), Was: v.Text(f.Get("was")), Now: v.Text(f.Get("now")),
		By: v.Text(f.Get("by")), Why: v.Text(f.Get("why")), At: v.Time(f.Get("at")), Span: n.Span,
	}
}

// Node is an entry of amendments.
func (a Amendment) Node() *source.Node {
	return source.Map("where", text(a.Where), "was", text(a.Was), "now", text(a.Now), "by", text(a.By), "why", text(a.Why),
		"at", moment(a.At))
}

// Amend lists what differs between two records, value by value in the order of the old one, then of the new.
// Keys named in except are left out.
func Amend(was, now *source.Node, except ...string) []Amendment {
	before, after := flat(was), flat(now)
	var changed []Amendment
	seen := map[string]bool{}
	for _, part := range append(slices.Clone(before.order), after.order...) {
		root, _, _ := strings.Cut(part, ".")
		if seen[part] || slices.Contains(except, root) {
			continue
		}
		seen[part] = true
		if before.text[part] != after.text[part] {
			changed = append(changed, Amendment{Where: part, Was: before.text[part], Now: after.text[part]})
		}
	}
	return changed
}

type flattened struct {
	order []string
	text  map[string]string
}

func flat(n *source.Node) flattened {
	f := flattened{text: map[string]string{}}
	f.add("", n)
	return f
}

func (f *flattened) add(where string, n *source.Node) {
	if n == nil {
		return
	}
	inside := func(name string) string { return strings.TrimPrefix(where+"."+name, ".") }
	switch n.Kind {
	case source.Mapping:
		for _, k := range n.Keys {
			f.add(inside(k.Name), k.Value)
		}
	case source.Sequence:
		for i, item := range n.Items {
			f.add(inside(strconv.Itoa(i+1)), item)
		}
	case source.Scalar:
		if n.Text != "" {
			f.order = append(f.order, where)
			f.text[where] = n.Text
		}
	}
}
