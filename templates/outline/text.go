package outline

import (
	"strings"
	"unicode/utf8"

	"philtrum/templates/layout"
)

// Marks of plain text. A row of stars sets off what a page sets in a warning panel: short, since it is read aloud.
const (
	blankMark   = "________"
	boxMark     = "[ ] "
	bulletMark  = "- "
	warningMark = "* * *"
)

// Text writes a document as plain text: UTF-8, lines ending in a line feed and never broken in the middle of a
// sentence, so that any screen folds them as it needs. In a document that reads from the right, values stand
// in isolates (U+2068, U+2069), as the words around them would turn them otherwise.
func Text(doc layout.Document) string {
	w := &textWriter{rtl: doc.Direction == layout.RightToLeft}
	for _, line := range running(doc.Head) {
		w.line(w.spans(line))
	}
	w.blocks(doc.Blocks)
	w.gap()
	for _, line := range running(doc.Foot) {
		w.line(w.spans(line))
	}
	return strings.TrimRight(w.out.String(), "\n") + "\n"
}

type textWriter struct {
	out strings.Builder
	rtl bool
}

func (w *textWriter) line(s string) {
	if s = strings.TrimRight(s, " "); s != "" {
		w.out.WriteString(s + "\n")
	}
}

// gap leaves one empty line, never two.
func (w *textWriter) gap() {
	if s := w.out.String(); s != "" && !strings.HasSuffix(s, "\n\n") {
		w.out.WriteByte('\n')
	}
}

var plainText = strings.NewReplacer("\u00a0", " ", "\u200b", "", "\u00ad", "", "\n", " ")

func (w *textWriter) spans(spans []layout.Span) string {
	var b strings.Builder
	for i := range spans {
		s := &spans[i]
		switch {
		case s.Page || s.Pages:
		case s.Blank > 0:
			b.WriteString(blankMark)
		case w.rtl && s.Value:
			b.WriteString("\u2068" + plainText.Replace(s.Text) + "\u2069")
		default:
			b.WriteString(plainText.Replace(s.Text))
		}
	}
	return strings.TrimSpace(b.String())
}

func (w *textWriter) underlined(spans []layout.Span, with string) {
	s := w.spans(spans)
	if s == "" {
		return
	}
	w.gap()
	w.line(s)
	w.line(strings.Repeat(with, min(utf8.RuneCountInString(s), 60)))
}

func (w *textWriter) blocks(blocks []layout.Block) {
	for _, b := range blocks {
		w.block(b)
	}
}

func (w *textWriter) block(b layout.Block) {
	switch b := b.(type) {
	case *layout.Title:
		w.underlined(b.Text, "=")
		w.line(w.spans(b.Alt))
	case *layout.Heading:
		w.underlined(b.Text, "-")
	case *layout.Paragraph:
		w.gap()
		w.line(w.spans(b.Text))
	case *layout.Panel:
		w.panel(b)
	case *layout.Group:
		w.blocks(b.Blocks)
	case *layout.Columns:
		for _, c := range b.Columns {
			w.blocks(c)
		}
	case *layout.Card:
		for _, f := range b.Faces {
			w.blocks(f)
		}
	case *layout.Figure:
		w.gap()
		w.line(w.spans([]layout.Span{{Text: b.Alt}}))
	default:
		w.parts(b)
	}
}

func (w *textWriter) panel(b *layout.Panel) {
	warning := b.Tone == layout.ToneWarning
	if w.gap(); warning {
		w.line(warningMark)
	}
	w.blocks(b.Blocks)
	if warning {
		w.line(warningMark)
		w.gap()
	}
}

// parts writes the blocks that are made of items.
func (w *textWriter) parts(b layout.Block) {
	w.gap()
	switch b := b.(type) {
	case *layout.List:
		for _, i := range b.Items {
			w.line(bulletMark + w.spans(i.Text))
			w.blocks(i.Blocks)
		}
	case *layout.Grid:
		for _, i := range b.Items {
			w.pair(w.spans(i.Label), i.Value)
		}
	case *layout.Table:
		w.table(b)
	case *layout.Choices:
		for _, c := range b.Items {
			w.line(boxMark + w.spans(c.Text))
			for _, label := range c.Boxes {
				w.line("  " + boxMark + w.spans(label))
			}
		}
	case *layout.Signature:
		w.line(w.spans(b.Meaning))
		for _, f := range b.Fields {
			w.pair(w.spans(f.Label), f.Value)
		}
	case *layout.Dated:
		before := ""
		for _, i := range b.Items {
			if when := w.spans(i.When); when != before {
				w.line(when)
				before = when
			}
			w.line(w.spans(i.Note))
			for _, t := range i.Texts {
				w.line("  " + bulletMark + w.spans(t))
			}
		}
	}
	w.gap()
}

func (w *textWriter) pair(label string, value []layout.Span) {
	said := blankMark
	if hasText(value) {
		said = w.spans(value)
	}
	if label == "" {
		w.line(said)
		return
	}
	w.line(joined(label) + said)
}

// joined ends a label before its value: with a colon, unless it ends in a sign of its own.
func joined(label string) string {
	last, _ := utf8.DecodeLastRuneInString(label)
	switch last {
	case ':', '?', '؟', '：', '？':
		return label + " "
	}
	return label + ": "
}

// table writes a row as a short list: its first cell, then each cell behind the head of its column.
func (w *textWriter) table(t *layout.Table) {
	w.line(w.spans(t.Caption))
	for _, r := range t.Rows {
		at := 0
		for i, c := range r.Cells {
			text, lead := w.spans(c.Text), ""
			if at < len(t.Columns) {
				lead = w.spans(t.Columns[at].Head)
			}
			at += max(c.Across, 1)
			switch {
			case c.Box:
				text = strings.TrimSpace(boxMark + text)
			case text == "" && r.Pen:
				text = blankMark
			}
			switch {
			case text == "":
			case i == 0:
				w.line(bulletMark + text)
			case lead == "":
				w.line("  " + text)
			default:
				w.line("  " + joined(lead) + text)
			}
		}
	}
}
