package templates

import (
	"philtrum/forms/source"
	"philtrum/templates/layout"
)

// body reads what follows the key of a block's kind.
func (l *loader) body(kind string, n *source.Node, id string, lists []string) body {
	switch kind {
	case "title":
		return &titleBody{text: l.words(n, lists)}
	case "heading":
		return l.headingBody(n, lists)
	case "paragraph":
		return l.paragraphBody(n, lists)
	case "list":
		return l.listBody(n, lists)
	case "grid":
		return l.gridBody(n, lists)
	case "table":
		return l.tableBody(n, lists)
	case "panel":
		f := l.r.Fields(n, "tone", "blocks")
		tone := l.r.OneOf(f.Need("tone"), "plain", "notice", "warning")
		return &panelBody{tone: tones[tone], blocks: l.blocks(f.Need("blocks"), id, lists)}
	case "choices":
		return l.choicesBody(n, lists)
	case "questions":
		return l.questionsBody(n)
	case "signature":
		return l.signatureBody(n, lists)
	case "card":
		return l.cardBody(n, id, lists)
	case "timeline":
		return l.timelineBody(n, lists)
	case "dated":
		return l.datedBody(n, lists)
	case "figure":
		return l.figureBody(n, lists)
	case "columns":
		return l.columnsBody(n, id, lists)
	case "group":
		return &groupBody{blocks: l.blocks(n, id, lists)}
	case "space":
		return &spaceBody{mm: l.r.Int(n, 1, 100)}
	}
	return breakBody{}
}

var tones = map[string]layout.Tone{"plain": layout.TonePlain, "notice": layout.ToneNotice, "warning": layout.ToneWarning}

// leaf is the part of a body that holds no blocks.
type leaf struct{}

func (leaf) inner() []*block { return nil }

type titleBody struct {
	leaf
	text words
}

func (b *titleBody) texts(visit func(words, string)) { visit(b.text, "") }

func (b *titleBody) build(s *scope, m layout.Meta) []layout.Block {
	return []layout.Block{&layout.Title{Meta: m, Text: s.spans(b.text), Alt: s.alternative(b.text), Mark: s.c.paper.Mark}}
}

type headingBody struct {
	leaf
	level int
	text  words
}

func (l *loader) headingBody(n *source.Node, lists []string) body {
	if n != nil && n.Kind != source.Mapping {
		return &headingBody{level: 2, text: l.words(n, lists)}
	}
	f := l.r.Fields(n, "level", "text")
	return &headingBody{level: l.r.Int(f.Need("level"), 2, 4), text: l.words(f.Need("text"), lists)}
}

func (b *headingBody) texts(visit func(words, string)) { visit(b.text, "") }

func (b *headingBody) build(s *scope, m layout.Meta) []layout.Block {
	return []layout.Block{&layout.Heading{Meta: m, Level: b.level, Text: s.spans(b.text)}}
}

type paragraphBody struct {
	leaf
	role layout.Role
	text words
}

func (l *loader) paragraphBody(n *source.Node, lists []string) body {
	if n != nil && n.Kind != source.Mapping {
		return &paragraphBody{role: layout.RoleBody, text: l.words(n, lists)}
	}
	f := l.r.Fields(n, "role", "text")
	b := &paragraphBody{role: layout.RoleBody, text: l.words(f.Need("text"), lists)}
	if r := f.Get("role"); r != nil {
		b.role = layout.Role(l.r.OneOf(r, "body", "lead", "small", "number", "label", "table"))
	}
	return b
}

func (b *paragraphBody) texts(visit func(words, string)) { visit(b.text, "") }

func (b *paragraphBody) build(s *scope, m layout.Meta) []layout.Block {
	spans := s.spans(b.text)
	if len(spans) == 0 {
		return nil
	}
	return []layout.Block{&layout.Paragraph{Meta: m, Role: b.role, Text: spans}}
}

// line is an entry of a list, a grid, a table or choices: it may have a condition and stand once for each
// item of a list.
// source says where a figure or an advice comes from; it is not printed.
// trust says how the source was seen; a line that leaves it out says so in the words of its source.
type line struct {
	when   *condition
	each   string
	source string
	trust  string // read, secondary, memory or practice
}

// line reads the keys when, each and source of fields.
func (l *loader) line(f source.Fields, lists []string) (line, []string) {
	out := line{source: l.r.Text(f.Get("source"))}
	if n := f.Get("trust"); n != nil {
		out.trust = l.r.OneOf(n, clauseTrusts...)
	}
	if e := f.Get("each"); e != nil {
		out.each = l.list(e)
		lists = with(lists, out.each)
	}
	out.when = l.when(f.Get("when"), lists)
	return out, lists
}

// over calls do for each scope in which the line stands.
func (e line) over(s *scope, do func(*scope)) {
	for _, at := range s.each(e.each) {
		if e.when.holds(at) {
			do(at)
		}
	}
}

type listBody struct {
	leaf
	ordered bool
	items   []listLine
}

type listLine struct {
	line
	text words
}

func (l *loader) listBody(n *source.Node, lists []string) body {
	b := &listBody{}
	if n != nil && n.Kind == source.Mapping {
		f := l.r.Fields(n, "ordered", "items")
		b.ordered = l.r.YesNo(f.Get("ordered"))
		n = f.Need("items")
	}
	for _, item := range l.r.List(n) {
		if item.Kind != source.Mapping {
			b.items = append(b.items, listLine{text: l.words(item, lists)})
			continue
		}
		f := l.r.Fields(item, "text", "when", "each", "source", "trust")
		e, inner := l.line(f, lists)
		b.items = append(b.items, listLine{line: e, text: l.words(f.Need("text"), inner)})
	}
	return b
}

func (b *listBody) texts(visit func(words, string)) {
	for _, i := range b.items {
		visit(i.text, i.each)
	}
}

func (b *listBody) build(s *scope, m layout.Meta) []layout.Block {
	out := &layout.List{Meta: m, Ordered: b.ordered}
	for _, i := range b.items {
		i.over(s, func(at *scope) {
			if spans := at.spans(i.text); len(spans) > 0 {
				out.Items = append(out.Items, layout.ListItem{Text: spans})
			}
		})
	}
	if len(out.Items) == 0 {
		return nil
	}
	return []layout.Block{out}
}

type panelBody struct {
	tone   layout.Tone
	blocks []*block
}

func (b *panelBody) texts(func(words, string)) {}
func (b *panelBody) inner() []*block           { return b.blocks }

func (b *panelBody) build(s *scope, m layout.Meta) []layout.Block {
	inner := s.blocks(b.blocks)
	if len(inner) == 0 {
		return nil
	}
	return []layout.Block{&layout.Panel{Meta: m, Tone: b.tone, Blocks: inner}}
}

// groupBody is a group; a bare one leaves its blocks in the flow of the page.
type groupBody struct {
	blocks []*block
	bare   bool
}

func (b *groupBody) texts(func(words, string)) {}
func (b *groupBody) inner() []*block           { return b.blocks }

func (b *groupBody) build(s *scope, m layout.Meta) []layout.Block {
	inner := s.blocks(b.blocks)
	if b.bare || len(inner) == 0 {
		return inner
	}
	return []layout.Block{&layout.Group{Meta: m, Blocks: inner}}
}

type columnsBody struct {
	shares  []int
	columns [][]*block
}

func (l *loader) columnsBody(n *source.Node, id string, lists []string) body {
	f := l.r.Fields(n, "shares", "columns")
	b := &columnsBody{}
	for _, s := range l.r.List(f.Need("shares")) {
		b.shares = append(b.shares, l.r.Int(s, 1, 12))
	}
	for i, c := range l.r.List(f.Need("columns")) {
		b.columns = append(b.columns, l.blocks(c, id+"."+string(rune('a'+i)), lists))
	}
	if len(b.shares) != len(b.columns) {
		l.r.Report(n, "problem.shares", nil)
	}
	return b
}

func (b *columnsBody) texts(func(words, string)) {}

func (b *columnsBody) inner() []*block {
	var all []*block
	for _, c := range b.columns {
		all = append(all, c...)
	}
	return all
}

func (b *columnsBody) build(s *scope, m layout.Meta) []layout.Block {
	out := &layout.Columns{Meta: m, Shares: b.shares}
	for _, c := range b.columns {
		out.Columns = append(out.Columns, s.blocks(c))
	}
	return []layout.Block{out}
}

type spaceBody struct {
	leaf
	mm int
}

func (b *spaceBody) texts(func(words, string)) {}

func (b *spaceBody) build(_ *scope, m layout.Meta) []layout.Block {
	return []layout.Block{&layout.Space{Meta: m, Height: millimetres(b.mm)}}
}

type breakBody struct{ leaf }

func (breakBody) texts(func(words, string)) {}

func (breakBody) build(_ *scope, m layout.Meta) []layout.Block {
	return []layout.Block{&layout.Break{Meta: m}}
}
