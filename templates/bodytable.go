package templates

import (
	"slices"

	"philtrum/forms/source"
	"philtrum/templates/layout"
)

type gridBody struct {
	leaf
	columns int
	items   []gridLine
}

type gridLine struct {
	line
	label, value words
	across       int
}

func (l *loader) gridBody(n *source.Node, lists []string) body {
	f := l.r.Fields(n, "columns", "items")
	b := &gridBody{columns: l.r.Int(f.Need("columns"), 1, 4)}
	for _, item := range l.r.List(f.Need("items")) {
		f := l.r.Fields(item, "label", "value", "across", "when", "each", "source", "trust")
		e, inner := l.line(f, lists)
		g := gridLine{line: e, label: l.words(f.Need("label"), inner), value: l.words(f.Get("value"), inner)}
		if a := f.Get("across"); a != nil {
			g.across = l.r.Int(a, 1, b.columns)
		}
		b.items = append(b.items, g)
	}
	return b
}

func (b *gridBody) texts(visit func(words, string)) {
	for _, i := range b.items {
		visit(i.label, i.each)
		visit(i.value, i.each)
	}
}

func (b *gridBody) build(s *scope, m layout.Meta) []layout.Block {
	out := &layout.Grid{Meta: m, Columns: b.columns}
	for _, i := range b.items {
		i.over(s, func(at *scope) {
			out.Items = append(out.Items, layout.GridItem{
				Label: at.spans(i.label), Value: unlessBlank(at.spans(i.value)), Across: i.across,
			})
		})
	}
	if len(out.Items) == 0 {
		return nil
	}
	return []layout.Block{out}
}

// unlessBlank drops a text that is a single blank, so that the cell keeps its own line to write on.
func unlessBlank(spans []layout.Span) []layout.Span {
	if len(spans) == 1 && spans[0].Blank > 0 {
		return nil
	}
	return spans
}

type tableBody struct {
	leaf
	caption words
	columns []tableColumn
	rows    []tableLine
}

type tableColumn struct {
	head   words
	share  int
	align  layout.Align
	noWrap bool
	// unlessEmpty leaves the column out where no row says anything in it and none is there to be filled in.
	unlessEmpty bool
}

type tableLine struct {
	line
	cells              []tableCell
	total, pen, header bool
	days               []int // first and last, counted from the day of treatment
	times              int
	columns            int
}

type tableCell struct {
	text   words
	box    bool
	across int
}

var aligns = map[string]layout.Align{"start": layout.AlignStart, "end": layout.AlignEnd,
	"centre": layout.AlignCentre, "decimal": layout.AlignDecimal}

func (l *loader) tableBody(n *source.Node, lists []string) body {
	f := l.r.Fields(n, "caption", "columns", "rows")
	b := &tableBody{caption: l.words(f.Get("caption"), lists)}
	for _, c := range l.r.List(f.Need("columns")) {
		f := l.r.Fields(c, "head", "share", "align", "no_wrap", "unless_empty")
		col := tableColumn{head: l.words(f.Get("head"), lists), share: l.r.Int(f.Need("share"), 1, 100), noWrap: l.r.YesNo(f.Get("no_wrap")), unlessEmpty: l.r.YesNo(f.Get("unless_empty"))}
		if a := f.Get("align"); a != nil {
			col.align = aligns[l.r.OneOf(a, "start", "end", "centre", "decimal")]
		}
		b.columns = append(b.columns, col)
	}
	for _, row := range l.r.List(f.Need("rows")) {
		b.rows = append(b.rows, l.tableLine(row, len(b.columns), lists))
	}
	return b
}

func (l *loader) tableLine(n *source.Node, columns int, lists []string) tableLine {
	f := l.r.Fields(n, "cells", "total", "pen", "header", "days", "times", "when", "each", "source", "trust")
	e, lists := l.line(f, lists)
	t := tableLine{line: e, total: l.r.YesNo(f.Get("total")), pen: l.r.YesNo(f.Get("pen")),
		header: l.r.YesNo(f.Get("header")), times: 1, columns: columns}
	if d := f.Get("days"); d != nil {
		for _, day := range l.r.List(d) {
			t.days = append(t.days, l.r.Int(day, 0, 365))
		}
		if len(t.days) != 2 {
			l.r.Report(d, "problem.days", nil)
			t.days = nil
		}
		lists = with(lists, listDays)
	}
	if n := f.Get("times"); n != nil {
		t.times = l.r.Int(n, 1, 30)
	}
	across := 0
	for _, c := range l.r.List(f.Get("cells")) {
		cell := tableCell{across: 1}
		text := c
		if c.Kind == source.Mapping && !hasKey(c, "in") {
			f := l.r.Fields(c, "text", "box", "across")
			text = f.Get("text")
			cell.box = l.r.YesNo(f.Get("box"))
			if a := f.Get("across"); a != nil {
				cell.across = l.r.Int(a, 1, columns)
			}
		}
		cell.text = l.words(text, lists)
		across += cell.across
		t.cells = append(t.cells, cell)
	}
	if across > columns {
		l.r.Report(n, "problem.cells", map[string]any{"columns": columns})
	}
	return t
}

func hasKey(n *source.Node, name string) bool {
	for _, k := range n.Keys {
		if k.Name == name {
			return true
		}
	}
	return false
}

func (b *tableBody) texts(visit func(words, string)) {
	visit(b.caption, "")
	for _, c := range b.columns {
		visit(c.head, "")
	}
	for _, r := range b.rows {
		list := r.each
		if r.days != nil {
			list = listDays
		}
		for _, c := range r.cells {
			visit(c.text, list)
		}
	}
}

func (b *tableBody) build(s *scope, m layout.Meta) []layout.Block {
	out := &layout.Table{Meta: m, Caption: s.spans(b.caption)}
	for _, c := range b.columns {
		out.Columns = append(out.Columns, layout.Column{Head: s.spans(c.head), Share: c.share, Align: c.align, NoWrap: c.noWrap})
	}
	for _, r := range b.rows {
		r.over(s, func(at *scope) {
			if r.days != nil {
				at = at.days(r.days[0], r.days[1])
			}
			for range r.times {
				out.Rows = append(out.Rows, r.build(at))
			}
		})
	}
	if len(out.Rows) == 0 {
		return nil
	}
	for col := len(b.columns) - 1; col >= 0; col-- {
		if b.columns[col].unlessEmpty && empty(out, col) {
			dropColumn(out, col)
		}
	}
	return []layout.Block{out}
}

// empty says that no row has anything in a column of its own; a row without any text is to be filled in.
func empty(t *layout.Table, col int) bool {
	for _, r := range t.Rows {
		at, blank := 0, true
		for _, c := range r.Cells {
			if len(c.Text) > 0 || c.Box {
				blank = false
				if at == col && c.Across <= 1 {
					return false
				}
			}
			at += max(c.Across, 1)
		}
		if blank {
			return false
		}
	}
	return true
}

func dropColumn(t *layout.Table, col int) {
	t.Columns = slices.Delete(t.Columns, col, col+1)
	for i := range t.Rows {
		at := 0
		for k := range t.Rows[i].Cells {
			c := &t.Rows[i].Cells[k]
			next := at + max(c.Across, 1)
			if at <= col && col < next {
				if c.Across > 1 {
					c.Across--
				} else {
					t.Rows[i].Cells = slices.Delete(t.Rows[i].Cells, k, k+1)
				}
				break
			}
			at = next
		}
	}
}

func (r tableLine) build(s *scope) layout.Row {
	row := layout.Row{Total: r.total, Pen: r.pen, Header: r.header}
	across := 0
	for _, c := range r.cells {
		cell := layout.Cell{Text: unlessBlank(s.spans(c.text)), Box: c.box}
		if c.across > 1 {
			cell.Across = c.across
		}
		across += c.across
		row.Cells = append(row.Cells, cell)
	}
	for ; across < r.columns; across++ {
		row.Cells = append(row.Cells, layout.Cell{})
	}
	return row
}
