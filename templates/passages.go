package templates

import (
	"slices"
	"strings"

	"philtrum/locales"
	"philtrum/templates/layout"
)

// Passages are the running texts that a template can print in a language, in its order: paragraphs, lines of
// lists and dated lists, choices, and what signatures mean. Labels, cells of tables, furniture and small print
// are left out, as they are no sentences. All alternatives of a text are there, since every one of them has to
// be read by somebody; values are samples of their kind. Passages of [Template.Prove] with problems are left
// out.
func (t *Template) Passages(p *locales.Printer) []string {
	g := &passages{t: t, p: p, seen: map[string]bool{}}
	g.blocks(t.blocks, nil)
	return g.out
}

type passages struct {
	t    *Template
	p    *locales.Printer
	seen map[string]bool
	out  []string
}

func (g *passages) blocks(all []*block, within []string) {
	for _, b := range all {
		in := within
		if b.each != "" {
			in = with(in, b.each)
		}
		for _, w := range sentencesOf(b.body) {
			g.words(w.words, w.list, in)
		}
		g.blocks(b.body.inner(), in)
	}
}

// runningText is a text of a block with the list in scope, if any.
type runningText struct {
	words words
	list  string
}

func sentencesOf(b body) []runningText {
	var out []runningText
	switch b := b.(type) {
	case *paragraphBody:
		if b.role != layout.RoleSmall && b.role != layout.RoleNumber && b.role != layout.RoleLabel {
			out = append(out, runningText{b.text, ""})
		}
	case *listBody:
		for _, i := range b.items {
			out = append(out, runningText{i.text, i.each})
		}
	case *datedBody:
		for _, i := range b.items {
			out = append(out, runningText{i.text, i.each})
		}
	case *choicesBody:
		for _, i := range b.items {
			out = append(out, runningText{i.text, i.each})
		}
	case *signatureBody:
		out = append(out, runningText{b.meaning, ""})
	}
	return out
}

func (g *passages) words(w words, list string, within []string) {
	if list != "" {
		within = with(within, list)
	}
	for _, s := range w {
		if s.message == "" || g.seen[s.message] {
			continue
		}
		g.seen[s.message] = true
		if text := g.message(s.message, within); text != "" {
			g.out = append(g.out, text)
		}
	}
}

// message renders a message with a sample for each placeholder.
func (g *passages) message(id string, within []string) string {
	args := locales.Args{}
	for {
		spans, err := g.p.Spans(id, args)
		if err == nil {
			var b strings.Builder
			for _, s := range spans {
				b.WriteString(s.Text)
			}
			return strings.TrimSpace(b.String())
		}
		name := missingArgument(err, args)
		kind, known := valueKind(name, within)
		if name == "" || !known {
			return ""
		}
		args[name] = sample(kind)
	}
}

// Unexplained are the terms of a glossary that want an explanation and that passages use before they give it. Endings
// of long words are left out of account, as many languages bend them.
func Unexplained(all []string, terms []locales.Term) []string {
	var out []string
	for _, t := range terms {
		if t.Explain == "" {
			continue
		}
		stem, explain := []rune(strings.ToLower(t.Use)), strings.ToLower(t.Explain)
		if len(stem) > bendable {
			stem = stem[:len(stem)-1]
		}
		first := slices.IndexFunc(all, func(s string) bool { return strings.Contains(strings.ToLower(s), string(stem)) })
		if first >= 0 && !strings.Contains(strings.ToLower(all[first]), explain) {
			out = append(out, t.Use)
		}
	}
	return out
}

// bendable is from how many letters on a word may have another ending.
const bendable = 6

// Explained are the terms that passages may count as known: those of a glossary whose explanation stands in the
// passage that uses them first.
func Explained(all []string, terms []locales.Term) []string {
	var out []string
	for _, t := range terms {
		if t.Explain == "" {
			continue
		}
		use, explain := strings.ToLower(t.Use), strings.ToLower(t.Explain)
		first := slices.IndexFunc(all, func(s string) bool { return strings.Contains(strings.ToLower(s), use) })
		if first >= 0 && strings.Contains(strings.ToLower(all[first]), explain) {
			out = append(out, t.Use)
		}
	}
	return out
}
