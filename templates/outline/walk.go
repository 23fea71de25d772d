package outline

import (
	"strings"

	"philtrum/templates/layout"
)

// running are the texts of a running line that do not hang on a page, a part a line.
func running(f layout.Furniture) [][]layout.Span {
	var out [][]layout.Span
	var line []layout.Span
	flush := func() {
		if hasText(line) {
			out = append(out, line)
		}
		line = nil
	}
	for _, s := range f.Start {
		if s == layout.NewLine {
			flush()
			continue
		}
		line = append(line, s)
	}
	flush()
	if !hasPage(f.End) && hasText(f.End) {
		out = append(out, f.End)
	}
	return out
}

func hasPage(spans []layout.Span) bool {
	for i := range spans {
		if spans[i].Page || spans[i].Pages {
			return true
		}
	}
	return false
}

func hasText(spans []layout.Span) bool {
	for i := range spans {
		if spans[i].Blank > 0 || strings.TrimSpace(spans[i].Text) != "" {
			return true
		}
	}
	return false
}

// levels keeps the levels of headings without a gap, whatever a paper asks for.
type levels struct{ last int }

func (l *levels) next(asked int) int {
	l.last = min(max(asked, 2), max(l.last, 1)+1, 6)
	return l.last
}
