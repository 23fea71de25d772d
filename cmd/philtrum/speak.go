package main

import (
	"encoding/json"
	"fmt"
	"io"
	"path/filepath"
	"slices"
	"strings"

	"philtrum/forms/source"
	"philtrum/locales"
)

// How the tool speaks, in one place:
//
//   - standard output carries results only; everything else goes to standard error, after "philtrum: ";
//   - a sentence starts small and has no full stop; every word comes from locales;
//   - a problem is file:line:col, what was found, what is allowed; then the line with a caret, unless the
//     file holds a patient's data, where key and place are all that is shown;
//   - colour only on a terminal, and never as the only sign.
type voice struct {
	out, err io.Writer
	printer  *locales.Printer
	colour   bool
	given    map[string]bool // files that a person gave for a patient or a visit, with --from
}

// text renders a message. A message that is missing is a defect of ours: its id is shown rather than
// nothing, so that the person at the desk can report it.
func (v *voice) text(id string, args locales.Args) string {
	text, err := v.printer.Text(id, args)
	if err != nil {
		return "[" + id + "]"
	}
	return text
}

// say tells something that is not a result.
func (v *voice) say(id string, args locales.Args) {
	_, _ = fmt.Fprintf(v.err, "philtrum: %s\n", v.text(id, args))
}

// result writes a line of the result.
func (v *voice) result(text string) { _, _ = fmt.Fprintln(v.out, text) }

// json writes a result for programs.
func (v *voice) json(value any) error {
	encoder := json.NewEncoder(v.out)
	encoder.SetEscapeHTML(false)
	encoder.SetIndent("", "  ")
	return encoder.Encode(value)
}

// problemJSON is a problem as programs read it; README.md documents the keys.
type problemJSON struct {
	ID      string `json:"id"`
	File    string `json:"file,omitempty"`
	Line    int    `json:"line,omitempty"`
	Column  int    `json:"column,omitempty"`
	Message string `json:"message"`
	Help    string `json:"help,omitempty"`
}

// asJSON gives problems in the shape of --json.
func (v *voice) asJSON(problems source.Problems) []problemJSON {
	list := make([]problemJSON, 0, len(problems))
	for _, p := range problems {
		if v.isPrivate(p.Span.File) {
			p = p.Private()
		}
		item := problemJSON{ID: p.ID, File: filepath.ToSlash(p.Span.File), Line: p.Span.Line, Column: p.Span.Col, Message: v.text(p.ID, wordArgs(p.Args))}
		if p.Help != "" {
			item.Help = v.help(p)
		}
		list = append(list, item)
	}
	return list
}

// help is what to do about a problem. It may do without what the problem itself names.
func (v *voice) help(p source.Problem) string {
	if text, err := v.printer.Text(p.Help, wordArgs(p.Args)); err == nil {
		return text
	}
	return v.text(p.Help, nil)
}

// problems tells all problems, sorted, and how many there were. lines gives the lines of a file whose text
// may be shown; it returns nil for files with a patient's data.
func (v *voice) problems(problems source.Problems, lines func(file string) []string) {
	sorted := slices.Clone(problems)
	sorted.Sort()
	for _, p := range sorted {
		if v.isPrivate(p.Span.File) {
			p = p.Private()
		}
		_, _ = fmt.Fprintf(v.err, "%s%s\n", place(p.Span), v.text(p.ID, wordArgs(p.Args)))
		if text := lines(p.Span.File); p.Span.Line > 0 && p.Span.Line <= len(text) {
			v.caret(text[p.Span.Line-1], p.Span.Col)
		}
		if p.Help != "" {
			_, _ = fmt.Fprintf(v.err, "  %s\n", v.help(p))
		}
	}
	v.say("cmd.problems", locales.Args{"n": locales.Count(len(problems))})
}

// caret shows a line with a mark below the column; tabs stay tabs, so that the mark stands where the eye
// expects it.
func (v *voice) caret(line string, column int) {
	var pad strings.Builder
	for i, r := range []rune(line) {
		if i >= column-1 {
			break
		}
		if r == '\t' {
			pad.WriteRune('\t')
		} else {
			pad.WriteByte(' ')
		}
	}
	_, _ = fmt.Fprintf(v.err, "  %s\n  %s^\n", line, pad.String())
}

// place writes where something stands, as editors understand it.
func place(s source.Span) string {
	switch {
	case s.File == "":
		return ""
	case s.Line == 0:
		return s.File + ": "
	}
	return fmt.Sprintf("%s:%d:%d: ", s.File, s.Line, s.Col)
}

// wordArgs turns a problem's arguments into those of a message.
func wordArgs(args map[string]any) locales.Args {
	words := make(locales.Args, len(args))
	for key, value := range args {
		switch value := value.(type) {
		case int:
			words[key] = locales.Count(value)
		case []string:
			words[key] = locales.Text(strings.Join(value, ", "))
		default:
			words[key] = locales.Text(fmt.Sprint(value))
		}
	}
	return words
}

// isPrivate says whether a file holds a patient's data, whose lines are never shown.
func (v *voice) isPrivate(file string) bool {
	if v.given[file] {
		return true
	}
	for _, part := range strings.Split(filepath.ToSlash(file), "/") {
		if part == "patients" || part == "visits" || part == "recalls" || part == "holds" || part == "-" {
			return true
		}
	}
	return false
}
