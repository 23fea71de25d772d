package outline

import (
	_ "embed"
	"html"
	"strconv"
	"strings"

	"philtrum/templates/layout"
)

//go:embed page.css
var style string

// HTML writes a document as one file that asks for nothing: no script, no picture, no address. It has landmarks
// and headings for those who listen, follows the phone's own size of letters and its dark colours, and folds
// tables where a screen is narrow. Telephone numbers can be dialled.
func HTML(doc layout.Document) string {
	w := &htmlWriter{lang: doc.Lang}
	direction := "ltr"
	if doc.Direction == layout.RightToLeft {
		direction = "rtl"
	}
	w.raw(`<!doctype html>` + "\n" + `<html lang="` + attr(doc.Lang) + `" dir="` + direction + `">` + "\n<head>\n" +
		`<meta charset="utf-8">` + "\n" +
		`<meta name="viewport" content="width=device-width, initial-scale=1">` + "\n" +
		`<meta name="referrer" content="no-referrer">` + "\n" +
		`<meta name="robots" content="noindex">` + "\n" +
		`<meta name="color-scheme" content="light dark">` + "\n" +
		`<title>` + html.EscapeString(doc.Title) + "</title>\n<style>\n" + style + "</style>\n</head>\n<body>\n")
	rest := doc.Blocks
	w.raw("<header>\n")
	for _, line := range running(doc.Head) {
		w.element("p", "running", line)
	}
	if len(rest) > 0 {
		if title, ok := rest[0].(*layout.Title); ok {
			w.block(title)
			rest = rest[1:]
		}
	}
	w.raw("</header>\n<main>\n")
	w.blocks(rest)
	w.raw("</main>\n<footer>\n")
	for _, line := range running(doc.Foot) {
		w.element("p", "running", line)
	}
	w.raw("</footer>\n</body>\n</html>\n")
	return w.out.String()
}

type htmlWriter struct {
	out    strings.Builder
	lang   string
	levels levels
	ids    int
}

func (w *htmlWriter) raw(s string) { w.out.WriteString(s) }

func attr(s string) string { return html.EscapeString(plainText.Replace(s)) }

// element writes a text in an element, nothing where there is no text.
func (w *htmlWriter) element(name, class string, spans []layout.Span) {
	if !hasText(spans) {
		return
	}
	w.raw("<" + name)
	if class != "" {
		w.raw(` class="` + class + `"`)
	}
	w.raw(">" + w.spans(spans) + "</" + name + ">\n")
}

// telephones are the fields that can be dialled.
var telephones = map[string]bool{"clinic.telephone": true, "clinic.night_telephone": true, "place.emergency": true}

// undivided keeps a date on one line, as [layout.Span] asks.
var undivided = strings.NewReplacer(" \u200b", " ", " ", "\u00a0")

func (w *htmlWriter) spans(spans []layout.Span) string {
	var b strings.Builder
	for i := range spans {
		s := &spans[i]
		if s.Page || s.Pages {
			continue
		}
		text := s.Text
		if s.Whole {
			text = undivided.Replace(text)
		}
		text = html.EscapeString(strings.ReplaceAll(text, "\u200b", ""))
		switch number := dialled(s); {
		case s.Blank > 0:
			text = `<span class="blank" role="img" aria-label="` + attr(s.Text) + `"></span>`
		case number != "":
			text = `<a href="tel:` + number + `">` + text + "</a>"
		}
		if s.Value && s.Blank == 0 {
			text = w.isolated(s, text)
		} else if s.Lang != "" && s.Lang != w.lang {
			text = `<span lang="` + attr(s.Lang) + `">` + text + "</span>"
		}
		if s.Strong {
			text = "<strong>" + text + "</strong>"
		}
		b.WriteString(text)
	}
	return b.String()
}

func (w *htmlWriter) isolated(s *layout.Span, text string) string {
	if s.Lang != "" && s.Lang != w.lang {
		return `<bdi lang="` + attr(s.Lang) + `">` + text + "</bdi>"
	}
	return "<bdi>" + text + "</bdi>"
}

// dialled is the number of a span that can be dialled: digits and a plus in front; empty for anything else.
func dialled(s *layout.Span) string {
	if !telephones[s.Field] {
		return ""
	}
	var b strings.Builder
	for i, r := range strings.TrimSpace(s.Text) {
		if r >= '0' && r <= '9' || r == '+' && i == 0 {
			b.WriteRune(r)
		}
	}
	return b.String()
}

func (w *htmlWriter) blocks(blocks []layout.Block) {
	for _, b := range blocks {
		w.block(b)
	}
}

func (w *htmlWriter) block(b layout.Block) {
	switch b := b.(type) {
	case *layout.Title:
		w.levels.last = 1
		w.element("h1", "", b.Text)
		w.element("p", "quiet", b.Alt)
	case *layout.Heading:
		if hasText(b.Text) {
			w.element("h"+strconv.Itoa(w.levels.next(b.Level)), "", b.Text)
		}
	case *layout.Paragraph:
		w.element("p", paragraphs[b.Role], b.Text)
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
			w.raw(`<div class="panel">` + "\n")
			w.blocks(f)
			w.raw("</div>\n")
		}
	case *layout.Figure:
		w.element("p", "", []layout.Span{{Text: b.Alt}}) // the caption is of the drawing
	default:
		w.parts(b)
	}
}

var paragraphs = map[layout.Role]string{layout.RoleNumber: "number", layout.RoleSmall: "quiet", layout.RoleLabel: "quiet", layout.RoleLead: "lead"}

// panel makes a landmark of a panel that begins with a heading, so that a listener can jump to it.
func (w *htmlWriter) panel(b *layout.Panel) {
	class := "panel"
	if b.Tone == layout.ToneWarning {
		class = "panel warning"
	}
	head, ok := (*layout.Heading)(nil), false
	if len(b.Blocks) > 0 {
		head, ok = b.Blocks[0].(*layout.Heading)
	}
	if !ok || !hasText(head.Text) {
		w.raw(`<div class="` + class + `">` + "\n")
		w.blocks(b.Blocks)
		w.raw("</div>\n")
		return
	}
	w.ids++
	id, level := "p"+strconv.Itoa(w.ids), "h"+strconv.Itoa(w.levels.next(head.Level))
	w.raw(`<section class="` + class + `" aria-labelledby="` + id + `">` + "\n")
	w.raw("<" + level + ` id="` + id + `">` + w.spans(head.Text) + "</" + level + ">\n")
	w.blocks(b.Blocks[1:])
	w.raw("</section>\n")
}
