package outline

import (
	"strings"

	"philtrum/templates/layout"
)

// parts writes the blocks that are made of items.
func (w *htmlWriter) parts(b layout.Block) {
	switch b := b.(type) {
	case *layout.List:
		name := "ul"
		if b.Ordered {
			name = "ol"
		}
		w.raw("<" + name + ">\n")
		for _, i := range b.Items {
			w.raw("<li>" + w.spans(i.Text))
			w.blocks(i.Blocks)
			w.raw("</li>\n")
		}
		w.raw("</" + name + ">\n")
	case *layout.Grid:
		w.raw(`<dl>` + "\n")
		for _, i := range b.Items {
			w.pair(i.Label, i.Value)
		}
		w.raw("</dl>\n")
	case *layout.Table:
		w.table(b)
	case *layout.Choices:
		w.raw(`<ul class="choices">` + "\n")
		for _, c := range b.Items {
			w.raw("<li>" + w.spans(c.Text))
			for _, label := range c.Boxes {
				w.raw(` <span class="box">` + w.spans(label) + "</span>")
			}
			w.raw("</li>\n")
		}
		w.raw("</ul>\n")
	case *layout.Signature:
		w.element("p", "", b.Meaning)
		w.raw("<dl>\n")
		for _, f := range b.Fields {
			w.pair(f.Label, f.Value)
		}
		w.raw("</dl>\n")
	case *layout.Dated:
		w.dated(b)
	}
}

func (w *htmlWriter) pair(label, value []layout.Span) {
	said := w.spans(value)
	if !hasText(value) {
		said = `<span class="blank"></span>`
	}
	w.raw("<div><dt>" + w.spans(label) + "</dt><dd>" + said + "</dd></div>\n")
}

// dated writes a list by date; entries of one date share it.
func (w *htmlWriter) dated(b *layout.Dated) {
	w.raw(`<dl class="dated">` + "\n")
	before := ""
	for _, i := range b.Items {
		when := w.spans(i.When)
		if when != before {
			if before != "" {
				w.raw("</div>\n")
			}
			w.raw("<div><dt>" + when)
			if hasText(i.Note) {
				w.raw(` <span class="quiet">` + w.spans(i.Note) + "</span>")
			}
			w.raw("</dt>\n")
			before = when
		}
		for _, t := range i.Texts {
			text := w.spans(t)
			if i.Strong {
				text = "<strong>" + text + "</strong>"
			}
			w.raw("<dd>" + text + "</dd>\n")
		}
	}
	if before != "" {
		w.raw("</div>\n")
	}
	w.raw("</dl>\n")
}

// table says its roles aloud, because the narrow screen's style takes them from its rows and cells.
func (w *htmlWriter) table(t *layout.Table) {
	w.raw(`<table role="table">` + "\n")
	w.element("caption", "", t.Caption)
	if heads(t) {
		w.raw(`<thead role="rowgroup"><tr role="row">`)
		for _, c := range t.Columns {
			if hasText(c.Head) {
				w.raw(`<th role="columnheader" scope="col">` + w.spans(c.Head) + "</th>")
			} else {
				w.raw(`<td role="cell"></td>`)
			}
		}
		w.raw("</tr></thead>\n")
	}
	w.raw(`<tbody role="rowgroup">` + "\n")
	for _, r := range t.Rows {
		class := ""
		if r.Total {
			class = ` class="total"`
		}
		w.raw(`<tr role="row"` + class + ">")
		w.cells(t, r)
		w.raw("</tr>\n")
	}
	w.raw("</tbody>\n</table>\n")
}

func heads(t *layout.Table) bool {
	for _, c := range t.Columns {
		if hasText(c.Head) {
			return true
		}
	}
	return false
}

func (w *htmlWriter) cells(t *layout.Table, r layout.Row) {
	at := 0
	for i, c := range r.Cells {
		text, said := w.spans(c.Text), ""
		if at < len(t.Columns) {
			said = plainSpans(t.Columns[at].Head)
		}
		at += max(c.Across, 1)
		if c.Box {
			text = `<span class="box">` + text + "</span>"
		}
		if i == 0 && (r.Header || r.Total) && text != "" {
			w.raw(`<th role="rowheader" scope="row"` + span(c.Across) + ">" + text + "</th>")
			continue
		}
		head := ""
		if said != "" && text != "" {
			head = ` data-head="` + attr(joined(said)) + `"`
		}
		w.raw(`<td role="cell"` + span(c.Across) + head + ">" + text + "</td>")
	}
}

func plainSpans(spans []layout.Span) string {
	var b strings.Builder
	for i := range spans {
		b.WriteString(spans[i].Text)
	}
	return strings.TrimSpace(b.String())
}

func span(across int) string {
	if across < 2 {
		return ""
	}
	return ` colspan="` + string(rune('0'+min(across, 9))) + `"`
}
