package source

import (
	"cmp"
	"fmt"
	"slices"
)

// Sort puts problems in the order in which a person meets them: by file, line, column, then message.
// Problems of the same place and message keep their order.
func (p Problems) Sort() {
	slices.SortStableFunc(p, func(a, b Problem) int {
		return cmp.Or(
			cmp.Compare(a.Span.File, b.Span.File),
			cmp.Compare(a.Span.Line, b.Span.Line),
			cmp.Compare(a.Span.Col, b.Span.Col),
			cmp.Compare(a.ID, b.ID),
		)
	})
}

// Err is nil if there are no problems, and otherwise an error of type *Problems.
func (p Problems) Err() error {
	if len(p) == 0 {
		return nil
	}
	return &p
}

// Error names the first problem by its message id and place, for programmers; people are told in words
// made from locales.
func (p *Problems) Error() string {
	if len(*p) == 0 {
		return "no problems"
	}
	first := (*p)[0]
	return fmt.Sprintf("%s: %s (%d in all)", first.Span, first.ID, len(*p))
}

// String is file:line:col as editors understand it, or the file alone.
func (s Span) String() string {
	if s.Line == 0 {
		return s.File
	}
	return fmt.Sprintf("%s:%d:%d", s.File, s.Line, s.Col)
}

// unsaid maps the messages that repeat a value of the file, as the readings of a date do, to those that
// say the same without it.
var unsaid = map[string]string{
	"problem.unknown_key":      "problem.unknown_key_private",
	"problem.unknown_key_near": "problem.unknown_key_near_private",
	"problem.date_ambiguous":   "problem.date_ambiguous_private",
	"problem.date_order":       "problem.date_form",
}

// Private is p as it is told about the file of a patient or a visit: without any value of the file.
func (p Problem) Private() Problem {
	id := unsaid[p.ID]
	if id == "" {
		return p
	}
	var said map[string]any
	for _, name := range []string{"allowed", "near"} { // words of ours, not of the file
		if value, ok := p.Args[name]; ok {
			if said == nil {
				said = map[string]any{}
			}
			said[name] = value
		}
	}
	p.ID, p.Args = id, said
	return p
}
