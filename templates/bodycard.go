package templates

import (
	"philtrum/forms/source"
	"philtrum/templates/layout"
)

// A card has the size of a bank card: ID-1 of ISO/IEC 7810, 85.60 mm by 53.98 mm.
var (
	cardWidth  = layout.Length(242_646)
	cardHeight = layout.Length(153_014)
)

// cardBody is a card to cut out, its faces side by side.
type cardBody struct{ faces [][]*block }

func (l *loader) cardBody(n *source.Node, id string, lists []string) body {
	b := &cardBody{}
	for i, face := range l.r.List(n) {
		b.faces = append(b.faces, l.blocks(face, id+"."+string(rune('a'+i)), lists))
	}
	return b
}

func (b *cardBody) texts(func(words, string)) {}

func (b *cardBody) inner() []*block {
	var all []*block
	for _, f := range b.faces {
		all = append(all, f...)
	}
	return all
}

func (b *cardBody) build(s *scope, m layout.Meta) []layout.Block {
	out := &layout.Card{Meta: m, Width: cardWidth, Height: cardHeight}
	for _, f := range b.faces {
		out.Faces = append(out.Faces, s.blocks(f))
	}
	return []layout.Block{out}
}
