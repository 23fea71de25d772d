package locales

import "strings"

// scalar reads a value that starts on the current line, of a key that stands at column depth.
func (r *flatReader) scalar(value string, depth int) (string, bool) {
	switch value[0] {
	case '"':
		text, rest, ok := doubleQuoted(value)
		return text, ok && isTail(rest) && r.upcoming() <= depth
	case '\'':
		text, rest, ok := singleQuoted(value)
		return text, ok && isTail(rest) && r.upcoming() <= depth
	case '|', '>':
		return r.block(value, depth)
	}
	text, ok := plainLine(value, true)
	if !ok {
		return "", false
	}
	for {
		indent, body, blank, more := r.peek()
		if !more || indent <= depth && !blank {
			return text, true
		}
		if blank || body[0] == '#' {
			// A comment or a gap ends a plain scalar only if nothing of it follows.
			return text, r.upcoming() <= depth
		}
		if strings.Contains(value, " #") {
			return "", false
		}
		next, ok := plainLine(strings.TrimRight(body, " "), false)
		if !ok {
			return "", false
		}
		r.take()
		value = body
		text += " " + next
	}
}

// plainLine reads one line of an unquoted scalar; a comment behind it is cut off. Lines that begin with a sign
// are left to the strict reader, even where YAML would let them go on.
func plainLine(s string, first bool) (string, bool) {
	if strings.IndexByte("!&*-?:,[]#|>@`%", s[0]) >= 0 || first && strings.IndexByte("{}\"'", s[0]) >= 0 {
		return "", false
	}
	if i := strings.Index(s, " #"); i >= 0 {
		s = strings.TrimRight(s[:i], " ")
	}
	if first && (s == "~" || strings.EqualFold(s, "null")) {
		return "", false
	}
	if strings.Contains(s, ": ") || strings.HasSuffix(s, ":") || strings.ContainsAny(s, "\t\x00") {
		return "", false
	}
	return s, s != ""
}

func isTail(s string) bool {
	s = strings.TrimLeft(s, " ")
	return s == "" || s[0] == '#'
}

func doubleQuoted(s string) (text, rest string, ok bool) {
	if end := strings.IndexByte(s[1:], '"'); end >= 0 && strings.IndexByte(s[1:1+end], '\\') < 0 {
		return s[1 : 1+end], s[2+end:], true
	}
	var b strings.Builder
	for i := 1; i < len(s); i++ {
		switch s[i] {
		case '"':
			return b.String(), s[i+1:], true
		case '\\':
			i++
			if i == len(s) {
				return "", "", false
			}
			switch s[i] {
			case '"', '\\':
				b.WriteByte(s[i])
			case 'n':
				b.WriteByte('\n')
			default:
				return "", "", false
			}
		default:
			b.WriteByte(s[i])
		}
	}
	return "", "", false
}

func singleQuoted(s string) (text, rest string, ok bool) {
	var b strings.Builder
	for i := 1; i < len(s); i++ {
		if s[i] != '\'' {
			b.WriteByte(s[i])
			continue
		}
		if i+1 < len(s) && s[i+1] == '\'' {
			b.WriteByte('\'')
			i++
			continue
		}
		return b.String(), s[i+1:], true
	}
	return "", "", false
}

// block reads a literal (|) or folded (>) scalar whose lines all stand at one indent. The line break at
// its end, if any, is dropped: a message has none there.
func (r *flatReader) block(header string, depth int) (string, bool) {
	if header != "|" && header != ">" && header != "|-" && header != ">-" {
		return "", false
	}
	var lines []string
	width := -1
	for {
		indent, body, blank, ok := r.peek()
		if !ok || !blank && indent <= depth {
			break
		}
		if !blank && width < 0 {
			width = indent
		}
		if !blank && indent != width || strings.HasPrefix(body, "\t") || strings.HasSuffix(body, " ") {
			return "", false
		}
		r.take()
		lines = append(lines, body)
	}
	for len(lines) > 0 && lines[len(lines)-1] == "" {
		lines = lines[:len(lines)-1]
	}
	if len(lines) == 0 || lines[0] == "" {
		return "", false
	}
	if header[0] == '|' {
		return strings.Join(lines, "\n"), true
	}
	return fold(lines), true
}

func fold(lines []string) string {
	var b strings.Builder
	breaks := 0
	for i, line := range lines {
		if line == "" {
			breaks++
			continue
		}
		switch {
		case i == 0:
		case breaks > 0:
			b.WriteString(strings.Repeat("\n", breaks))
		default:
			b.WriteByte(' ')
		}
		b.WriteString(line)
		breaks = 0
	}
	return b.String()
}

// flatPairs reads "{a: b, c: d}" whose words are plain, with nothing but a comment behind it.
func flatPairs(s string) ([]flatPair, bool) {
	end := strings.IndexByte(s, '}')
	if end < 0 || !isTail(s[end+1:]) {
		return nil, false
	}
	var pairs []flatPair
	for part := range strings.SplitSeq(s[1:end], ",") {
		key, value, ok := splitKey(strings.Trim(part, " "))
		if !ok || !isPlainWord(value) || hasPair(pairs, key) {
			return nil, false
		}
		pairs = append(pairs, flatPair{key: key, value: value})
	}
	return pairs, true
}
