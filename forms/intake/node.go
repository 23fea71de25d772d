package intake

import (
	"maps"
	"slices"
	"time"

	"philtrum/forms"
	"philtrum/forms/source"
)

// Node writes an answer in full as it stands in a visit's file; Read gives it back.
func Node(a forms.Answer, zone *time.Location) *source.Node {
	n := source.Map("state", string(a.State))
	add := func(key string, value *source.Node) {
		if value != nil {
			n.Keys = append(n.Keys, source.Key{Name: key, Value: value})
		}
	}
	if a.State == forms.Given {
		add("value", valueNode(a, zone))
	}
	add("by", textNode(a.By))
	if !a.At.IsZero() {
		add("at", source.Text(a.At.In(zone).Format(time.RFC3339)))
	}
	add("via", textNode(a.Via))
	add("why", textNode(a.Why))
	if len(a.Replaced) > 0 {
		var before []*source.Node
		for _, old := range a.Replaced {
			before = append(before, Node(old, zone))
		}
		add("replaced", source.List(before...))
	}
	return n
}

func textNode(s string) *source.Node {
	if s == "" {
		return nil
	}
	return source.Text(s)
}

func valueNode(a forms.Answer, zone *time.Location) *source.Node {
	v := a.Value
	if v.NotApplicable {
		return source.Text("n/a")
	}
	switch v.Kind {
	case forms.YesNo:
		if v.Yes {
			return source.Text("yes")
		}
		return source.Text("no")
	case forms.OneOf:
		return source.Text(v.Choice)
	case forms.SomeOf:
		return textsNode(v.Choices)
	case forms.DateKind:
		return source.Text(v.Date.String())
	case forms.Number:
		return source.Text(v.Number.String())
	case forms.Medicines:
		return textsNode(v.Names)
	case forms.Entries:
		return entriesNode(a, zone)
	}
	n := source.Text(v.Text)
	n.Quoted = slices.Contains(forms.StateWords, v.Text) // without quotes it would be a state
	return n
}

func textsNode(texts []string) *source.Node {
	list := source.List()
	for _, text := range texts {
		list.Items = append(list.Items, source.Text(text))
	}
	return list
}

// entriesNode writes each entry with its fields in the order of their names, so that the same answer is the
// same text. A field is written in short where it was signed like the whole answer.
func entriesNode(whole forms.Answer, zone *time.Location) *source.Node {
	list := source.List()
	for _, entry := range whole.Value.Entries {
		n := source.Map()
		for _, name := range slices.Sorted(maps.Keys(entry)) {
			n.Keys = append(n.Keys, source.Key{Name: name, Value: fieldNode(entry[name], whole, zone)})
		}
		list.Items = append(list.Items, n)
	}
	return list
}

func fieldNode(a, whole forms.Answer, zone *time.Location) *source.Node {
	same := a.By == whole.By && a.Via == whole.Via && a.At.Equal(whole.At) && a.Why == "" && len(a.Replaced) == 0
	switch {
	case !same:
		return Node(a, zone)
	case a.State != forms.Given:
		return source.Map("state", string(a.State))
	}
	return valueNode(a, zone)
}
