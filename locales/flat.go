package locales

import (
	"strings"
	"unicode/utf8"

	"philtrum/forms/source"
)

// A message file is flat: keys that hold a text, or a handful of fields that hold a text or one line of
// pairs. readFlat reads that shape in one pass; what it does not know for certain it leaves to the strict
// reader of forms/source, which also reports everything that is wrong. Whatever readFlat accepts means the
// same to both.

// The spans of entries, fields and pairs are set by the strict reader only.
type flatEntry struct {
	key    string
	span   source.Span
	text   string // short form: the text itself
	at     source.Span
	fields []flatField
}

type flatField struct {
	key   string
	span  source.Span // of the key
	text  string
	at    source.Span // of the value
	pairs []flatPair  // of a value that is a mapping, in order
}

type flatPair struct {
	key, value string
	span       source.Span
}

// readFlat gives the entries of a file; ok is false when the file is anything but flat.
func readFlat(data string) (entries []flatEntry, ok bool) {
	if !plainText(data) {
		return nil, false
	}
	r := flatReader{rest: data}
	seen := make(map[string]bool, strings.Count(data, "\n")/4+1)
	for r.next() {
		if r.indent != 0 {
			return nil, false
		}
		key, value, fine := splitKey(r.body)
		if !fine || seen[key] {
			return nil, false
		}
		seen[key] = true
		e := flatEntry{key: key}
		if value != "" {
			if e.text, fine = r.scalar(value, 0); !fine {
				return nil, false
			}
		} else if e.fields, fine = r.fields(); !fine {
			return nil, false
		}
		entries = append(entries, e)
	}
	return entries, true
}

// indexFlat finds the entries of a file without reading them: the text of each with its key, by key. ok is
// false when the file is not made of plain keys or has one twice.
func indexFlat(data string) (entries map[string]string, ok bool) {
	entries = make(map[string]string, strings.Count(data, "\n")/3+1)
	last, start := "", 0
	for at := 0; at < len(data); {
		line := data[at:]
		if end := strings.IndexByte(line, '\n'); end >= 0 {
			line = line[:end+1]
		}
		if line[0] != ' ' && line[0] != '#' && line[0] != '\n' && line[0] != '\r' {
			key, _, fine := splitKey(strings.TrimRight(line, "\r\n"))
			if _, twice := entries[key]; !fine || twice {
				return nil, false
			}
			if last != "" {
				entries[last] = data[start:at]
			}
			last, start = key, at
			entries[key] = ""
		}
		at += len(line)
	}
	if last == "" {
		return nil, false
	}
	entries[last] = data[start:]
	return entries, true
}

// plainText reports whether data holds nothing that the strict reader might refuse or read as a line break
// of its own.
func plainText(data string) bool {
	for i, r := range data {
		switch {
		case r >= ' ' && r < 0x7f, r == '\n':
		case r == '\r':
			if !strings.HasPrefix(data[i:], "\r\n") {
				return false
			}
		case r < 0xa0, r == '\u2028', r == '\u2029', r == '\ufeff', r == utf8.RuneError, r == 0xfffe, r == 0xffff:
			return false
		}
	}
	return true
}

type flatReader struct {
	rest   string
	indent int
	body   string // of the current line, without indent
}

// peek shows the next line without taking it. blank is true for one that holds nothing.
func (r *flatReader) peek() (indent int, body string, blank, ok bool) {
	if r.rest == "" {
		return 0, "", false, false
	}
	line, _, _ := strings.Cut(r.rest, "\n")
	line = strings.TrimSuffix(line, "\r")
	body = strings.TrimLeft(line, " ")
	return len(line) - len(body), body, body == "", true
}

func (r *flatReader) take() {
	_, r.rest, _ = strings.Cut(r.rest, "\n")
}

// next moves to the next line that is neither blank nor a comment.
func (r *flatReader) next() bool {
	for {
		indent, body, blank, ok := r.peek()
		if !ok {
			return false
		}
		r.take()
		if blank || body[0] == '#' {
			continue
		}
		r.indent, r.body = indent, body
		return true
	}
}

// upcoming shows the indent of the next line that holds something, skipping comments and blank lines.
func (r *flatReader) upcoming() int {
	for {
		indent, body, blank, ok := r.peek()
		switch {
		case !ok:
			return -1
		case blank, body[0] == '#':
			r.take()
		default:
			return indent
		}
	}
}

func (r *flatReader) fields() ([]flatField, bool) {
	depth := r.upcoming()
	if depth <= 0 {
		return nil, false
	}
	fields := make([]flatField, 0, 4)
	for r.upcoming() == depth {
		r.next()
		key, value, ok := splitKey(r.body)
		if !ok {
			return nil, false
		}
		for _, f := range fields {
			if f.key == key {
				return nil, false
			}
		}
		f := flatField{key: key}
		switch {
		case value == "":
			f.pairs, ok = r.pairs(depth)
		case value[0] == '{':
			f.pairs, ok = flatPairs(value)
			ok = ok && r.upcoming() <= depth
		default:
			f.text, ok = r.scalar(value, depth)
		}
		if !ok {
			return nil, false
		}
		fields = append(fields, f)
	}
	return fields, r.upcoming() <= 0
}

// pairs reads pairs that stand on lines of their own, deeper than outer.
func (r *flatReader) pairs(outer int) ([]flatPair, bool) {
	depth := r.upcoming()
	if depth <= outer {
		return nil, false
	}
	var pairs []flatPair
	for r.upcoming() == depth {
		r.next()
		key, value, ok := splitKey(r.body)
		if !ok || !isPlainWord(value) || hasPair(pairs, key) {
			return nil, false
		}
		pairs = append(pairs, flatPair{key: key, value: value})
	}
	return pairs, r.upcoming() <= outer
}

func hasPair(pairs []flatPair, key string) bool {
	for _, p := range pairs {
		if p.key == key {
			return true
		}
	}
	return false
}

// isPlainWord reports whether s is made of key bytes and single spaces only, a letter or digit first.
func isPlainWord(s string) bool {
	for i := range len(s) {
		if !isKeyByte(s[i]) && s[i] != ' ' {
			return false
		}
	}
	return s != "" && strings.IndexByte(".-_ ", s[0]) < 0 && s != "null"
}

// splitKey cuts "key: value" and "key:". Keys are plain: letters, digits, dot, dash, underscore.
func splitKey(body string) (key, value string, ok bool) {
	i := 0
	for i < len(body) && isKeyByte(body[i]) {
		i++
	}
	if i == 0 || i == len(body) || body[i] != ':' || strings.IndexByte(".-_", body[0]) >= 0 {
		return "", "", false
	}
	key, value = body[:i], body[i+1:]
	if value == "" {
		return key, "", true
	}
	if value[0] != ' ' {
		return "", "", false
	}
	value = strings.Trim(value, " ")
	if strings.HasPrefix(value, "#") {
		return key, "", true
	}
	return key, value, true
}

func isKeyByte(c byte) bool {
	return c >= 'a' && c <= 'z' || c >= 'A' && c <= 'Z' || c >= '0' && c <= '9' ||
		c == '.' || c == '_' || c == '-'
}
