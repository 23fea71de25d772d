package read

// literal reads a string in parentheses (ISO 32000-1, 7.3.4.2).
func (l *lexer) literal() (String, error) {
	var b []byte
	depth := 0
	for l.at < len(l.b) {
		c := l.b[l.at]
		l.at++
		switch c {
		case '(':
			if depth++; depth == 1 {
				continue
			}
		case ')':
			if depth--; depth == 0 {
				return String(b), nil
			}
		case '\\':
			b = l.escape(b)
			continue
		case '\r':
			// Any line end in a string reads as a line feed.
			if l.at < len(l.b) && l.b[l.at] == '\n' {
				l.at++
			}
			c = '\n'
		}
		b = append(b, c)
	}
	return "", errContent
}

// escape reads what follows a backslash.
func (l *lexer) escape(b []byte) []byte {
	if l.at >= len(l.b) {
		return b
	}
	c := l.b[l.at]
	l.at++
	switch c {
	case 'n':
		return append(b, '\n')
	case 'r':
		return append(b, '\r')
	case 't':
		return append(b, '\t')
	case 'b':
		return append(b, '\b')
	case 'f':
		return append(b, '\f')
	case '\n':
		return b
	case '\r':
		if l.at < len(l.b) && l.b[l.at] == '\n' {
			l.at++
		}
		return b
	}
	if c < '0' || c > '7' {
		return append(b, c)
	}
	v := int(c - '0')
	for n := 1; n < 3 && l.at < len(l.b) && l.b[l.at] >= '0' && l.b[l.at] <= '7'; n++ {
		v = v*8 + int(l.b[l.at]-'0')
		l.at++
	}
	return append(b, byte(v))
}
