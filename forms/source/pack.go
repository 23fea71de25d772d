package source

import (
	"crypto/sha256"
	"encoding/binary"
	"errors"
	"slices"
)

// Packed holds trees of files that ship with the program, so that they need no parsing. A tree is known by
// the digest of its file's text: a file that says anything else is parsed.
type Packed struct{ trees map[[sha256.Size]byte]string }

// Pack writes the trees of files, given by their texts. Files with problems cannot be packed.
func Pack(texts ...[]byte) ([]byte, error) {
	type tree struct {
		sum  [sha256.Size]byte
		node *Node
	}
	var trees []tree
	for _, text := range texts {
		node, problems := Parse("", text)
		if len(problems) > 0 {
			return nil, errors.New("source: a file with problems cannot be packed")
		}
		trees = append(trees, tree{sha256.Sum256(text), node})
	}
	slices.SortFunc(trees, func(a, b tree) int { return slices.Compare(a.sum[:], b.sum[:]) })
	var out []byte
	for _, t := range trees {
		p := packer{}
		p.node(t.node)
		body := binary.AppendUvarint(nil, uint64(p.nodes))
		body = binary.AppendUvarint(body, uint64(p.keys))
		body = binary.AppendUvarint(body, uint64(p.items))
		body = append(body, p.out...)
		out = append(out, t.sum[:]...)
		out = binary.AppendUvarint(out, uint64(len(body)))
		out = append(out, body...)
	}
	return out, nil
}

// Unpack finds the trees in what Pack has written. Of what is not that it holds nothing.
func Unpack(data []byte) *Packed {
	p := &Packed{trees: map[[sha256.Size]byte]string{}}
	for rest := string(data); len(rest) > sha256.Size; {
		sum := [sha256.Size]byte([]byte(rest[:sha256.Size]))
		size, n := uvarint(rest[sha256.Size:])
		rest = rest[sha256.Size+n:]
		if n == 0 || size > uint64(len(rest)) {
			return &Packed{}
		}
		p.trees[sum], rest = rest[:size], rest[size:]
	}
	return p
}

// Has says whether the tree of a text is there.
func (p *Packed) Has(text []byte) bool {
	_, ok := p.trees[sha256.Sum256(text)]
	return ok
}

// Parse is [Parse], without parsing where the tree is known.
func (p *Packed) Parse(file string, text []byte) (*Node, Problems) {
	if packed, ok := p.trees[sha256.Sum256(text)]; ok {
		if root, ok := unpack(file, packed); ok {
			return root, nil
		}
	}
	return Parse(file, text)
}

type packer struct {
	out                []byte
	nodes, keys, items int
}

func (p *packer) number(n int) { p.out = binary.AppendUvarint(p.out, uint64(n)) }

func (p *packer) text(s string) {
	p.number(len(s))
	p.out = append(p.out, s...)
}

func (p *packer) span(s Span) {
	p.number(s.Line)
	p.number(s.Col)
	p.number(s.EndLine)
	p.number(s.EndCol)
}

func (p *packer) node(n *Node) {
	p.nodes++
	p.number(int(n.Kind))
	p.number(map[bool]int{true: 1}[n.Quoted])
	p.span(n.Span)
	p.text(n.Text)
	p.number(len(n.Keys))
	for _, k := range n.Keys {
		p.keys++
		p.text(k.Name)
		p.span(k.Span)
		p.node(k.Value)
	}
	p.number(len(n.Items))
	for _, item := range n.Items {
		p.items++
		p.node(item)
	}
}
