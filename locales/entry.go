package locales

import (
	"fmt"
	"strings"
)

// readMessages reads the entries of a message file.
func readMessages(file string, data []byte) ([]message, error) {
	entries, ok := readFlat(string(data))
	if !ok {
		return nil, fmt.Errorf("%s: not a message file", file)
	}
	messages := make([]message, len(entries))
	for i, e := range entries {
		m, err := readMessage(e)
		if err != nil {
			return nil, fmt.Errorf("%s: %w", file, err)
		}
		messages[i] = m
	}
	return messages, nil
}

func readMessage(e flatEntry) (message, error) {
	m := message{id: e.key, line: e.line}
	if e.text != "" {
		m.forms[5] = e.text
		return m, nil
	}
	plural := false
	for _, f := range e.fields {
		switch f.key {
		case "text":
			m.forms[5] = f.text
		case "note":
		case "args":
			for _, p := range f.pairs {
				kind, style, _ := strings.Cut(p.value, " ")
				m.holders = append(m.holders, holder{p.key, Kind(kind), style})
			}
		case "by":
			m.plural = f.text
		default:
			at := -1
			for i, c := range categories {
				if c == f.key {
					at = i
				}
			}
			if at < 0 {
				return m, fmt.Errorf("%s: unknown key %s", e.key, f.key)
			}
			plural, m.forms[at] = true, f.text
		}
	}
	if !plural {
		m.plural = ""
		return m, nil
	}
	for _, h := range m.holders {
		if m.plural == "" && h.kind == KindCount {
			m.plural = h.name
		}
	}
	return m, nil
}
