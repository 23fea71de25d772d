package source

import "encoding/binary"

// unpacker reads a packed tree. Its nodes, keys and items come out of one piece of memory each.
type unpacker struct {
	file  string
	rest  string
	nodes []Node
	keys  []Key
	items []*Node
	bad   bool
}

// unpack gives the tree of a file; ok is false where what was packed is cut short or of another shape.
func unpack(file, packed string) (root *Node, ok bool) {
	u := &unpacker{file: file, rest: packed}
	nodes, keys, items := u.number(), u.number(), u.number()
	if u.bad || nodes > len(packed) || keys > len(packed) || items > len(packed) {
		return nil, false
	}
	u.nodes, u.keys, u.items = make([]Node, nodes), make([]Key, keys), make([]*Node, items)
	root = u.node(0)
	return root, !u.bad && u.rest == ""
}

// uvarint reads a number and how many bytes it took, none where there is no number.
func uvarint(s string) (uint64, int) {
	if len(s) > 0 && s[0] < 0x80 {
		return uint64(s[0]), 1
	}
	v, n := binary.Uvarint([]byte(s[:min(len(s), binary.MaxVarintLen64)]))
	return v, max(n, 0)
}

func (u *unpacker) number() int {
	v, n := uvarint(u.rest)
	if n == 0 || v > MaxBytes {
		u.bad = true
		return 0
	}
	u.rest = u.rest[n:]
	return int(v)
}

func (u *unpacker) text() string {
	n := u.number()
	if n > len(u.rest) {
		u.bad = true
		return ""
	}
	s := u.rest[:n]
	u.rest = u.rest[n:]
	return s
}

func (u *unpacker) span() Span {
	return Span{File: u.file, Line: u.number(), Col: u.number(), EndLine: u.number(), EndCol: u.number()}
}

func (u *unpacker) node(depth int) *Node {
	if len(u.nodes) == 0 || depth > MaxDepth {
		u.bad = true
		return nil
	}
	n := &u.nodes[0]
	u.nodes = u.nodes[1:]
	n.Kind, n.Quoted = Kind(u.number()), u.number() == 1
	n.Span, n.Text = u.span(), u.text()
	if count := u.number(); count > len(u.keys) {
		u.bad = true
	} else if count > 0 {
		n.Keys, u.keys = u.keys[:count:count], u.keys[count:]
		for i := 0; i < count && !u.bad; i++ {
			n.Keys[i] = Key{Name: u.text(), Span: u.span(), Value: u.node(depth + 1)}
		}
	}
	if count := u.number(); count > len(u.items) {
		u.bad = true
	} else if count > 0 {
		n.Items, u.items = u.items[:count:count], u.items[count:]
		for i := 0; i < count && !u.bad; i++ {
			n.Items[i] = u.node(depth + 1)
		}
	}
	return n
}
