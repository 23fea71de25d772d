package main

import "philtrum/templates/layout"

const pt = layout.Pt

func style(size, leading, before, after layout.Length, w layout.Weight) layout.TextStyle {
	return layout.TextStyle{Size: size, Leading: leading, Before: before, After: after, Weight: w}
}

// sheet is A4 with text of 10 points.
func sheet() layout.Sheet {
	return layout.Sheet{
		Name: "a4", Width: layout.MM(210), Height: layout.MM(297),
		Top: layout.MM(20), Bottom: layout.MM(22), Inner: layout.MM(20), Outer: layout.MM(20),
		Styles: map[layout.Role]layout.TextStyle{
			layout.RoleTitle: style(14*pt, 18*pt, 0, 6*pt, layout.Bold), layout.RoleH1: style(14*pt, 18*pt, 12*pt, 5*pt, layout.Bold),
			layout.RoleH2: style(12*pt, 16*pt, 10*pt, 4*pt, layout.Bold), layout.RoleH3: style(10*pt, 14*pt, 8*pt, 3*pt, layout.Bold),
			layout.RoleLead: style(11*pt, 15*pt, 0, 5*pt, layout.Regular), layout.RoleBody: style(10*pt, 14*pt, 0, 5*pt, layout.Regular),
			layout.RoleSmall: style(8*pt, 11*pt, 0, 3*pt, layout.Regular), layout.RoleLabel: style(8*pt, 11*pt, 0, 0, layout.Regular),
			layout.RoleTable: style(10*pt, 14*pt, 0, 0, layout.Regular), layout.RoleNumber: style(14*pt, 18*pt, 0, 2*pt, layout.Bold),
			layout.RoleFoot: style(8*pt, 11*pt, 0, 0, layout.Regular),
		},
		Gutter: 12 * pt, Indent: 14 * pt, Rule: 400, HeavyRule: 1200, Bar: 4 * pt, Tint: 5, PenRow: 22 * pt, Box: 10 * pt,
		SignHeight: 34 * pt, SignWidth: 150 * pt, MinLines: 2,
		TextInk: [3]uint8{20, 20, 24}, QuietInk: [3]uint8{90, 92, 100}, Accent: [3]uint8{29, 111, 165},
	}
}

// document is paper k of packet i.
func (c *content) document(k, i int) layout.Document {
	doc, v := &c.Docs[k], c.values(i)
	d := layout.Document{Lang: c.Lang, Title: doc.Title, Sheet: sheet()}
	if c.Dir == "rtl" {
		d.Direction = layout.RightToLeft
	}
	d.Foot = layout.Furniture{Start: filled("{ref}", v), End: []layout.Span{
		{Text: c.Page + " "}, {Page: true}, {Text: " " + c.Of + " "}, {Pages: true},
	}}
	d.Blocks = append(d.Blocks, &layout.Title{Text: filled(doc.Title, v)})
	for j := range doc.Blocks {
		d.Blocks = append(d.Blocks, c.block(&doc.Blocks[j], v))
	}
	return d
}

func (c *content) block(b *block, v map[string]string) layout.Block {
	switch b.T {
	case "h":
		return &layout.Heading{Level: 2, Text: filled(b.Text, v)}
	case "ul":
		return &layout.List{Items: items(b.list, v)}
	case "kv":
		g := &layout.Grid{Columns: 2}
		for _, row := range b.Rows {
			g.Items = append(g.Items, layout.GridItem{Label: filled(row[0], v), Value: filled(row[1], v)})
		}
		return g
	case "table":
		return table(b, v)
	case "dated":
		d := &layout.Dated{}
		for _, pair := range b.pairs {
			d.Items = append(d.Items, layout.DatedItem{When: filled(pair[0], v), Texts: [][]layout.Span{filled(pair[1], v)}})
		}
		return d
	case "diagram":
		alt := ""
		for _, l := range b.Labels {
			alt += l + "; "
		}
		return &layout.Columns{Shares: []int{45, 55}, Columns: [][]layout.Block{
			{&layout.Figure{Drawing: c.drawing, Alt: alt}}, {&layout.List{Ordered: true, Items: items(b.Labels, v)}},
		}}
	case "sign":
		s := &layout.Signature{}
		for _, label := range b.list {
			s.Fields = append(s.Fields, layout.SignField{Label: filled(label, v), Hand: true, Share: 1})
		}
		return s
	}
	return &layout.Paragraph{Text: filled(b.Text, v)}
}

func items(texts []string, v map[string]string) []layout.ListItem {
	var all []layout.ListItem
	for _, s := range texts {
		all = append(all, layout.ListItem{Text: filled(s, v)})
	}
	return all
}

func table(b *block, v map[string]string) *layout.Table {
	t := &layout.Table{}
	for i, head := range b.Head {
		t.Columns = append(t.Columns, layout.Column{Head: filled(head, v), Share: b.Widths[i]})
	}
	for _, row := range b.Rows {
		r := layout.Row{}
		for _, cell := range row {
			r.Cells = append(r.Cells, layout.Cell{Text: filled(cell, v)})
		}
		t.Rows = append(t.Rows, r)
	}
	return t
}
