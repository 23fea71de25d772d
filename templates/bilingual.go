package templates

import (
	"strings"

	"philtrum/forms/source"
	"philtrum/locales"
	"philtrum/templates/layout"
)

// columnSizes is how wide a column of running text has to be for two languages to stand side by side, in sizes
// of the type: some 36 characters; common practice, no source.
const columnSizes = 18

// composeBoth makes a paper in two languages. Both say the same from the same template, so their blocks pair
// up one by one: running text stands side by side where the page is wide enough, everything else one below the
// other in its place. There is one set of boxes and one of signatures.
func composeBoth(c *composer, doc layout.Document) (layout.Document, source.Problems) {
	c.pair = true
	doc.Blocks = (&scope{c: c}).blocks(c.paper.Template.blocks)
	second := *c
	second.paper.Printer, second.args, second.problems = c.paper.With, map[string][]string{}, nil
	other := (&scope{c: &second}).blocks(c.paper.Template.blocks)
	p := pairing{lang: c.paper.With.Language().Region, beside: sideBySide(doc.Sheet)}
	doc.Blocks = p.blocks(doc.Blocks, other)
	doc.Closing = p.blocks((&scope{c: c}).blocks(c.paper.Template.closing), (&scope{c: &second}).blocks(c.paper.Template.closing))
	c.problems = append(c.problems, second.problems...)
	if p.uneven {
		c.report("revision.uneven", map[string]any{"language": p.lang})
	}
	return doc, c.problems
}

func sideBySide(s layout.Sheet) bool {
	column := (s.Width - s.Inner - s.Outer - s.Gutter) / 2
	return column >= columnSizes*s.Styles[layout.RoleBody].Size
}

// pairing joins the blocks of a paper with the same ones in another language.
type pairing struct {
	lang   string // of the second
	beside bool   // running text stands side by side
	uneven bool   // the two did not say the same
}

func (p *pairing) blocks(a, b []layout.Block) []layout.Block {
	if len(a) != len(b) {
		p.uneven = true
		return append(a, b...)
	}
	out := make([]layout.Block, 0, len(a))
	for i := range a {
		out = append(out, p.block(a[i], b[i])...)
	}
	return out
}

// block joins two blocks of one kind. What is joined is written into the first.
func (p *pairing) block(a, b layout.Block) []layout.Block {
	switch v := a.(type) {
	case *layout.Title:
		if w, ok := b.(*layout.Title); ok && plain(v.Text) != plain(w.Text) {
			v.Alt = p.own(w.Text)
		}
	case *layout.Heading:
		if w, ok := b.(*layout.Heading); ok {
			v.Text = p.stack(v.Text, w.Text)
		}
	case *layout.Paragraph:
		if w, ok := b.(*layout.Paragraph); ok {
			return p.paragraph(v, w)
		}
	case *layout.List:
		if w, ok := b.(*layout.List); ok {
			return p.list(v, w)
		}
	case *layout.Figure:
		if w, ok := b.(*layout.Figure); ok {
			return p.figure(v, w)
		}
	case *layout.Panel:
		if w, ok := b.(*layout.Panel); ok {
			if !p.beside && boxless(v.Blocks) {
				return []layout.Block{v, p.turned(w)}
			}
			v.Blocks = p.blocks(v.Blocks, w.Blocks)
		}
	case *layout.Group:
		if w, ok := b.(*layout.Group); ok {
			// What fits on a page in one language need not in two, but for a row and what is written to it.
			v.Keep = v.Keep && len(v.Blocks) <= 2
			v.Blocks = p.blocks(v.Blocks, w.Blocks)
		}
	case *layout.Columns:
		if w, ok := b.(*layout.Columns); ok {
			p.within(v.Columns, w.Columns)
		}
	case *layout.Card:
		if w, ok := b.(*layout.Card); ok {
			return []layout.Block{v, p.turned(w)} // no card has room for both
		}
	default:
		p.parts(a, b)
	}
	return []layout.Block{a}
}

// figure keeps one drawing, unless its labels say words: then each language has its own, one below the other.
func (p *pairing) figure(v, w *layout.Figure) []layout.Block {
	if !p.worded(v.Drawing, w.Drawing) {
		v.Caption = p.stack(v.Caption, w.Caption)
		return []layout.Block{v}
	}
	return []layout.Block{v, p.turned(w)}
}

// worded says whether the labels of two drawings differ in more than figures and their units.
func (p *pairing) worded(a, b *layout.Drawing) bool {
	if a == nil || b == nil || len(a.Labels) != len(b.Labels) {
		return a != nil && b != nil
	}
	for i := range a.Labels {
		if !p.same(a.Labels[i].Text, b.Labels[i].Text) && sentence(plain(b.Labels[i].Text)) {
			return true
		}
	}
	return false
}

// within joins blocks in columns, where there is no room for two languages side by side.
func (p *pairing) within(a, b [][]layout.Block) {
	inner := pairing{lang: p.lang}
	for i := range a {
		if i < len(b) {
			a[i] = inner.blocks(a[i], b[i])
		}
	}
	p.uneven = p.uneven || inner.uneven || len(a) != len(b)
}

func (p *pairing) parts(a, b layout.Block) {
	switch v := a.(type) {
	case *layout.Grid:
		if w, ok := b.(*layout.Grid); ok {
			p.grid(v, w)
		}
	case *layout.Table:
		if w, ok := b.(*layout.Table); ok {
			p.table(v, w)
		}
	case *layout.Choices:
		if w, ok := b.(*layout.Choices); ok {
			p.choices(v, w)
		}
	case *layout.Questions:
		if w, ok := b.(*layout.Questions); ok {
			p.questions(v, w)
		}
	case *layout.Signature:
		if w, ok := b.(*layout.Signature); ok {
			p.signature(v, w)
		}
	case *layout.Dated:
		if w, ok := b.(*layout.Dated); ok {
			p.dated(v, w)
		}
	}
}

// paragraph sets two paragraphs side by side, or one below the other.
func (p *pairing) paragraph(v, w *layout.Paragraph) []layout.Block {
	if !p.beside || p.same(v.Text, w.Text) || v.Role == layout.RoleNumber {
		v.Text = p.stack(v.Text, w.Text)
		return []layout.Block{v}
	}
	w.Text = p.own(w.Text)
	return []layout.Block{p.columns(v.Meta, v, w)}
}

func (p *pairing) columns(m layout.Meta, a, b layout.Block) layout.Block {
	m.Keep = false
	return &layout.Columns{Meta: m, Shares: []int{1, 1}, Columns: [][]layout.Block{{a}, {b}}, Langs: []string{"", p.lang}}
}

// list sets each item beside the same one, so that one can point from line to line.
func (p *pairing) list(v, w *layout.List) []layout.Block {
	if len(v.Items) != len(w.Items) {
		p.uneven = true
		return []layout.Block{v, w}
	}
	if !p.beside || v.Ordered {
		inner := pairing{lang: p.lang}
		for i := range v.Items {
			v.Items[i].Text = p.stack(v.Items[i].Text, w.Items[i].Text)
			v.Items[i].Blocks = inner.blocks(v.Items[i].Blocks, w.Items[i].Blocks)
		}
		p.uneven = p.uneven || inner.uneven
		return []layout.Block{v}
	}
	out := make([]layout.Block, 0, len(v.Items))
	for i := range v.Items {
		other := w.Items[i]
		other.Text = p.own(other.Text)
		out = append(out, p.columns(v.Meta,
			&layout.List{Meta: v.Meta, Items: v.Items[i : i+1]}, &layout.List{Meta: v.Meta, Items: []layout.ListItem{other}}))
	}
	return out
}

func (p *pairing) grid(v, w *layout.Grid) {
	if p.differ(len(v.Items), len(w.Items)) {
		return
	}
	for i := range v.Items {
		v.Items[i].Label = p.inline(v.Items[i].Label, w.Items[i].Label)
		v.Items[i].Value = p.stack(v.Items[i].Value, w.Items[i].Value)
	}
}

func (p *pairing) table(v, w *layout.Table) {
	if p.differ(len(v.Columns), len(w.Columns)) || p.differ(len(v.Rows), len(w.Rows)) {
		return
	}
	v.Caption = p.stack(v.Caption, w.Caption)
	for i := range v.Columns {
		v.Columns[i].Head = p.stack(v.Columns[i].Head, w.Columns[i].Head)
	}
	for i := range v.Rows {
		if p.differ(len(v.Rows[i].Cells), len(w.Rows[i].Cells)) {
			continue
		}
		for k := range v.Rows[i].Cells {
			cell := &v.Rows[i].Cells[k]
			cell.Text = p.stack(cell.Text, w.Rows[i].Cells[k].Text)
		}
	}
}

func (p *pairing) choices(v, w *layout.Choices) {
	if p.differ(len(v.Items), len(w.Items)) {
		return
	}
	for i := range v.Items {
		v.Items[i].Text = p.stack(v.Items[i].Text, w.Items[i].Text)
		if p.differ(len(v.Items[i].Boxes), len(w.Items[i].Boxes)) {
			continue
		}
		for k := range v.Items[i].Boxes {
			v.Items[i].Boxes[k] = p.inline(v.Items[i].Boxes[k], w.Items[i].Boxes[k])
		}
	}
}

func (p *pairing) signature(v, w *layout.Signature) {
	v.Meaning = p.stack(v.Meaning, w.Meaning)
	if p.differ(len(v.Fields), len(w.Fields)) {
		return
	}
	for i := range v.Fields {
		v.Fields[i].Label = p.inline(v.Fields[i].Label, w.Fields[i].Label)
		v.Fields[i].Value = p.stack(v.Fields[i].Value, w.Fields[i].Value)
	}
}

func (p *pairing) dated(v, w *layout.Dated) {
	if p.differ(len(v.Items), len(w.Items)) {
		return
	}
	for i := range v.Items {
		a, b := &v.Items[i], &w.Items[i]
		a.When, a.Note = p.stack(a.When, b.When), p.stack(a.Note, b.Note)
		if p.differ(len(a.Texts), len(b.Texts)) {
			continue
		}
		for k := range a.Texts {
			a.Texts[k] = p.stack(a.Texts[k], b.Texts[k])
		}
	}
}

func (p *pairing) differ(a, b int) bool {
	p.uneven = p.uneven || a != b
	return a != b
}

// stack puts the second text below the first, quiet; one that says nothing else is left out.
func (p *pairing) stack(a, b []layout.Span) []layout.Span {
	if p.same(a, b) {
		return a
	}
	if silent(a) {
		return p.own(b)
	}
	return append(append(append([]layout.Span{}, a...), layout.Below), p.quiet(b)...)
}

// inline puts the second text behind the first, as the prompts of signatures are written.
func (p *pairing) inline(a, b []layout.Span) []layout.Span {
	if p.same(a, b) || silent(a) {
		return a
	}
	out := append(append([]layout.Span{}, a...), layout.Beside)
	return append(out, p.quiet(b)...)
}

// same says whether the second text adds nothing to the first.
func (p *pairing) same(a, b []layout.Span) bool {
	if x, ok := unmarked(a); ok {
		a = x
	}
	if y, ok := unmarked(b); ok {
		b = y // what staff typed says the same, whatever its language is called
	}
	return silent(b) || spaces.Replace(plain(a)) == spaces.Replace(plain(b)) && len(plain(b)) > 0
}

var spaces = strings.NewReplacer("\u00a0", " ", "\u202f", " ")

func silent(spans []layout.Span) bool {
	for _, s := range spans {
		if s.Text != "" || s.Blank > 0 || s.Page || s.Pages {
			return false
		}
	}
	return true
}

// own marks spans as the second language's.
func (p *pairing) own(spans []layout.Span) []layout.Span {
	out := append([]layout.Span{}, spans...)
	for i := range out {
		if out[i].Lang == "" {
			out[i].Lang = p.lang
		}
	}
	return out
}

func (p *pairing) quiet(spans []layout.Span) []layout.Span {
	out := p.own(spans)
	for i := range out {
		if out[i].Ink == layout.InkText {
			out[i].Ink = layout.InkQuiet
		}
	}
	return out
}

// otherThan is the second printer, nil where it is none or of the same language.
func otherThan(first, second *locales.Printer) *locales.Printer {
	if second == nil || second.Language().Tag == first.Language().Tag {
		return nil
	}
	return second
}
