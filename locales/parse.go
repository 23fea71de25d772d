package locales

import (
	"fmt"
	"strings"
)

// piece is a stretch of a message's text: words, or a placeholder's name.
type piece struct {
	text   string
	holder bool
	strong bool
}

// markup errors; the ids are messages.
type markupError struct {
	id  string
	arg string
}

func (e *markupError) Error() string {
	if e.arg == "" {
		return e.id
	}
	return fmt.Sprintf("%s: {%s}", e.id, e.arg)
}

// parseText cuts a message's text into pieces. "{name}" is a placeholder, "**" switches strong words on
// and off, "{{" and "}}" are braces.
func parseText(s string) ([]piece, error) {
	pieces := make([]piece, 0, 4)
	strong, start := false, 0
	flush := func(end int) {
		if end > start {
			pieces = append(pieces, piece{text: s[start:end], strong: strong})
		}
	}
	for i := 0; i < len(s); {
		switch {
		case strings.HasPrefix(s[i:], "{{"), strings.HasPrefix(s[i:], "}}"):
			flush(i + 1)
			i += 2
			start = i
		case s[i] == '{':
			flush(i)
			end := strings.IndexByte(s[i:], '}')
			if end < 0 {
				return nil, &markupError{id: "problem.message_brace_open"}
			}
			name := s[i+1 : i+end]
			if !isName(name) {
				return nil, &markupError{id: "problem.message_placeholder_name", arg: name}
			}
			pieces = append(pieces, piece{text: name, holder: true, strong: strong})
			i += end + 1
			start = i
		case s[i] == '}':
			return nil, &markupError{id: "problem.message_brace_close"}
		case strings.HasPrefix(s[i:], "**"):
			flush(i)
			strong = !strong
			i += 2
			start = i
		default:
			i++
		}
	}
	flush(len(s))
	if strong {
		return nil, &markupError{id: "problem.message_strong_open"}
	}
	return pieces, nil
}

// isName reports whether s may name a placeholder: small letters, digits and underscores, a letter first.
func isName(s string) bool {
	for i := range len(s) {
		c := s[i]
		if !(c >= 'a' && c <= 'z' || i > 0 && (c >= '0' && c <= '9' || c == '_')) {
			return false
		}
	}
	return s != ""
}
