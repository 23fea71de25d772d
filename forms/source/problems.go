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
