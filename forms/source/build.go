package source

import (
	"fmt"
)

// Text is a scalar node.
func Text(s string) *Node { return &Node{Kind: Scalar, Text: s} }

// List is a sequence node; nil items are skipped.
func List(items ...*Node) *Node {
	n := &Node{Kind: Sequence}
	for _, i := range items {
		if i != nil {
			n.Items = append(n.Items, i)
		}
	}
	return n
}

// Map is a mapping node of keys and values in turn: "key", value, "key", value. A value is a *Node or a
// string; nil values are left out with their key. Anything else is a programmer's mistake and panics.
func Map(kv ...any) *Node {
	if len(kv)%2 != 0 {
		panic("source.Map: a key without a value")
	}
	n := &Node{Kind: Mapping}
	for i := 0; i < len(kv); i += 2 {
		key, ok := kv[i].(string)
		if !ok {
			panic(fmt.Sprintf("source.Map: key %d is a %T", i/2, kv[i]))
		}
		switch v := kv[i+1].(type) {
		case nil:
		case string:
			n.Keys = append(n.Keys, Key{Name: key, Value: Text(v)})
		case *Node:
			if v != nil {
				n.Keys = append(n.Keys, Key{Name: key, Value: v})
			}
		default:
			panic(fmt.Sprintf("source.Map: value of %q is a %T", key, v))
		}
	}
	return n
}
