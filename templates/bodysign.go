package templates

import (
	"philtrum/forms/source"
	"philtrum/templates/layout"
)

type choicesBody struct {
	leaf
	items []choiceLine
}

type choiceLine struct {
	line
	text  words
	boxes []words
}

func (l *loader) choicesBody(n *source.Node, lists []string) body {
	b := &choicesBody{}
	for _, item := range l.r.List(n) {
		if item.Kind != source.Mapping {
			b.items = append(b.items, choiceLine{text: l.words(item, lists)})
			continue
		}
		f := l.r.Fields(item, "text", "boxes", "when", "each", "source", "trust")
		e, inner := l.line(f, lists)
		b.items = append(b.items, choiceLine{line: e, text: l.words(f.Need("text"), inner), boxes: l.wordsList(f.Get("boxes"), inner)})
	}
	return b
}

func (b *choicesBody) texts(visit func(words, string)) {
	for _, i := range b.items {
		visit(i.text, i.each)
		for _, w := range i.boxes {
			visit(w, i.each)
		}
	}
}

func (b *choicesBody) build(s *scope, m layout.Meta) []layout.Block {
	out := &layout.Choices{Meta: m}
	for _, i := range b.items {
		i.over(s, func(at *scope) {
			c := layout.Choice{Text: at.spans(i.text)}
			for _, w := range i.boxes {
				c.Boxes = append(c.Boxes, at.both(w))
			}
			out.Items = append(out.Items, c)
		})
	}
	if len(out.Items) == 0 {
		return nil
	}
	return []layout.Block{out}
}

type signatureBody struct {
	leaf
	meaning words
	fields  []signLine
}

type signLine struct {
	line
	label, value words
	hand, newRow bool
	share        int
}

func (l *loader) signatureBody(n *source.Node, lists []string) body {
	f := l.r.Fields(n, "meaning", "fields")
	b := &signatureBody{meaning: l.words(f.Need("meaning"), lists)}
	for _, item := range l.r.List(f.Need("fields")) {
		f := l.r.Fields(item, "label", "value", "hand", "share", "new_row", "when", "each", "source", "trust")
		e, inner := l.line(f, lists)
		s := signLine{line: e, label: l.words(f.Need("label"), inner), value: l.words(f.Get("value"), inner),
			hand: l.r.YesNo(f.Get("hand")), newRow: l.r.YesNo(f.Get("new_row")), share: 1}
		if n := f.Get("share"); n != nil {
			s.share = l.r.Int(n, 1, 12)
		}
		b.fields = append(b.fields, s)
	}
	return b
}

func (b *signatureBody) texts(visit func(words, string)) {
	visit(b.meaning, "")
	for _, f := range b.fields {
		visit(f.label, f.each)
		visit(f.value, f.each)
	}
}

// build gives the prompts in the clinic's language too, so that both who sign can read them.
func (b *signatureBody) build(s *scope, m layout.Meta) []layout.Block {
	if s.c.facts.Issue.Reading != "" && s.c.paper.Template.ForPatient() {
		return nil
	}
	m.Keep = true
	out := &layout.Signature{Meta: m, Meaning: s.spans(b.meaning)}
	for _, f := range b.fields {
		f.over(s, func(at *scope) {
			out.Fields = append(out.Fields, layout.SignField{
				Label: at.both(f.label), Value: unlessBlank(at.spans(f.value)),
				Hand: f.hand, Share: f.share, NewRow: f.newRow,
			})
		})
	}
	return []layout.Block{out}
}

// millimetres rounds to the thousandth of a point, as [loader.mm] does.
func millimetres(mm int) layout.Length { return layout.Length((int64(mm)*720_000 + 127) / 254) }
