package source

import (
	"bytes"
	"strings"
	"unicode/utf8"
)

// text is a file's content as the parser sees it: without byte order mark, lines ended by LF alone.
type text struct {
	file  string
	raw   []byte
	body  string
	lines []string
	wide  []bool // of each line: it has a rune of several bytes, so that columns are no byte offsets
}

var byteOrderMark = []byte("\ufeff")

func newText(file string, data []byte) *text {
	t := &text{file: file, raw: data}
	if len(data) > MaxBytes {
		return t
	}
	t.body = strings.ReplaceAll(string(bytes.TrimPrefix(data, byteOrderMark)), "\r\n", "\n")
	t.lines = strings.Split(t.body, "\n")
	t.wide = make([]bool, len(t.lines))
	for i, line := range t.lines {
		t.wide[i] = wide(line)
	}
	return t
}

func wide(line string) bool {
	for i := range len(line) {
		if line[i] >= utf8.RuneSelf {
			return true
		}
	}
	return false
}

// sound reports what makes a file unreadable as text.
func (t *text) sound(out *Problems) bool {
	report := func(line, col int, id string, args map[string]any) {
		s := Span{File: t.file, Line: line, Col: col, EndLine: line, EndCol: col}
		if line > 0 {
			s.EndCol++
		}
		*out = append(*out, Problem{ID: id, Args: args, Span: s})
	}
	if len(t.raw) > MaxBytes {
		report(0, 0, "problem.too_large", map[string]any{"most": MaxBytes >> 20})
		return false
	}
	for i, line := range t.lines {
		col := 0
		for at, r := range line {
			col++
			if id := unfit(line[at:], r); id != "" {
				report(i+1, col, id, nil)
				break // one per line says enough
			}
		}
	}
	return len(*out) == 0
}

// unfit names what is wrong with the rune r that rest begins with. The sets are those that YAML 1.2.2
// (5.1) calls not printable, and the tab, which looks like spaces and is not.
func unfit(rest string, r rune) string {
	switch {
	case r == utf8.RuneError:
		if _, size := utf8.DecodeRuneInString(rest); size == 1 {
			return "problem.broken_utf8"
		}
	case r == '\t':
		return "problem.tab"
	case r < ' ', r >= 0x7f && r < 0xa0 && r != 0x85, r == 0xfffe, r == 0xffff, r == 0xfeff:
		return "problem.control_character"
	}
	return ""
}

// clamp moves a span into the file: positions of the library at the end of a file may lie just outside.
func (t *text) clamp(s Span) Span {
	s.File = t.file
	s.Line, s.Col = t.inside(s.Line, s.Col)
	s.EndLine, s.EndCol = t.inside(s.EndLine, s.EndCol)
	return s
}

func (t *text) inside(line, col int) (int, int) {
	line = min(max(line, 1), len(t.lines))
	return line, min(max(col, 1), t.width(line)+1)
}

// width is the number of runes of a line.
func (t *text) width(line int) int {
	if !t.wide[line-1] {
		return len(t.lines[line-1])
	}
	return utf8.RuneCountInString(t.lines[line-1])
}

// from is the rest of a line from where a span begins.
func (t *text) from(s Span) string {
	line := t.lines[s.Line-1]
	if !t.wide[s.Line-1] {
		return line[min(s.Col-1, len(line)):]
	}
	col := 0
	for at := range line {
		if col == s.Col-1 {
			return line[at:]
		}
		col++
	}
	return ""
}

// words is the span of a text that begins at s and whose words may be spread over lines.
func (t *text) words(s Span, value string) (Span, bool) {
	rest := t.from(s)
	s.EndLine, s.EndCol = s.Line, s.Col
	for i, word := range strings.FieldsFunc(value, func(r rune) bool { return r == ' ' || r == '\n' }) {
		for trimmed := strings.TrimLeft(rest, " "); i > 0; trimmed = strings.TrimLeft(rest, " ") {
			s.EndCol += len(rest) - len(trimmed)
			rest = trimmed
			if rest != "" || s.EndLine == len(t.lines) {
				break
			}
			rest, s.EndLine, s.EndCol = t.lines[s.EndLine], s.EndLine+1, 1
		}
		if !strings.HasPrefix(rest, word) {
			return s, false
		}
		rest = rest[len(word):]
		s.EndCol += utf8.RuneCountInString(word)
	}
	return s, true
}

// listLike says whether a further line of an unquoted text begins like an item of a list: YAML lets it be
// part of the text, but nobody means that.
func (t *text) listLike(s Span) bool {
	for _, line := range t.lines[s.Line:s.EndLine] {
		if line = strings.TrimLeft(line, " "); line == "-" || strings.HasPrefix(line, "- ") {
			return true
		}
	}
	return false
}

// quoted is the span of the quoted scalar that starts at s. The library's own copy of the source loses
// escapes, so the closing quote is looked for in the file.
func (t *text) quoted(s Span) Span {
	var quote rune
	skip := false
	for line := s.Line; line <= len(t.lines); line++ {
		col := 0
		runes := []rune(t.lines[line-1])
		if line == s.Line {
			if s.Col > len(runes) {
				return s
			}
			quote, col = runes[s.Col-1], s.Col
		}
		for ; col < len(runes); col++ {
			switch r := runes[col]; {
			case skip:
				skip = false
			case quote == '"' && r == '\\':
				skip = true
			case r == quote && quote == '\'' && col+1 < len(runes) && runes[col+1] == quote:
				skip = true
			case r == quote:
				s.EndLine, s.EndCol = line, col+2
				return s
			}
		}
		skip = false
	}
	return s
}

// block is the span of a block scalar whose header stands at s below a key or dash in column outer: all
// lines that are indented deeper. Trailing blank ones belong to it only if the header keeps them ("+").
func (t *text) block(s Span, outer int) Span {
	header := string([]rune(t.lines[s.Line-1])[s.Col-1:])
	header, _, _ = strings.Cut(header, "#")
	keep := strings.Contains(header, "+")
	for line := s.Line + 1; line <= len(t.lines); line++ {
		content := t.lines[line-1]
		trimmed := strings.TrimLeft(content, " ")
		if strings.TrimRight(trimmed, " ") == "" && !(keep && line < len(t.lines)) {
			continue
		}
		if trimmed != "" && len(content)-len(trimmed) < outer {
			break
		}
		s.EndLine, s.EndCol = line, utf8.RuneCountInString(content)+1
	}
	return s
}
