package read

import (
	"bytes"
	"errors"
	"strconv"
)

// Operation is an operator of a content stream with its operands. An inline image is one operation, BI.
type Operation struct {
	Operator string
	Operands []Object
}

// Operations reads a content stream (ISO 32000-1, 7.8.2).
func Operations(content []byte) ([]Operation, error) {
	l := lexer{b: content}
	var ops []Operation
	var operands []Object
	for {
		o, word, err := l.next(0)
		switch {
		case err != nil:
			return ops, err
		case word == "":
			if l.done {
				if len(operands) > 0 {
					return ops, errors.New("read: content ends without an operator")
				}
				return ops, nil
			}
			operands = append(operands, o)
			continue
		case word == "BI":
			if err := l.skipImage(); err != nil {
				return ops, err
			}
		}
		ops = append(ops, Operation{word, operands})
		operands = nil
	}
}

// lexer reads the objects and words of a content stream or CMap.
type lexer struct {
	b    []byte
	at   int
	done bool
}

var errContent = errors.New("read: broken content")

// next gives an object, or a word that is none; done is set at the end.
func (l *lexer) next(depth int) (Object, string, error) {
	l.space()
	if l.at >= len(l.b) {
		l.done = true
		return nil, "", nil
	}
	if depth > maxDepth {
		return nil, "", errContent
	}
	switch c := l.b[l.at]; {
	case c == '/':
		l.at++
		return l.name(), "", nil
	case c == '(':
		s, err := l.literal()
		return s, "", err
	case c == '[':
		l.at++
		a, err := l.until("]", depth)
		return Array(a), "", err
	case c == '<' && l.at+1 < len(l.b) && l.b[l.at+1] == '<':
		l.at += 2
		d, err := l.dict(depth)
		return d, "", err
	case c == '<':
		s, err := l.hex()
		return s, "", err
	case c == ']' || c == '>' || c == '{' || c == '}' || c == ')':
		n := 1
		if c == '>' && l.at+1 < len(l.b) && l.b[l.at+1] == '>' {
			n = 2
		}
		l.at += n
		return nil, string(l.b[l.at-n : l.at]), nil
	}
	return l.word()
}

func (l *lexer) space() {
	for l.at < len(l.b) {
		switch l.b[l.at] {
		case 0, '\t', '\n', '\f', '\r', ' ':
			l.at++
		case '%':
			for l.at < len(l.b) && l.b[l.at] != '\n' && l.b[l.at] != '\r' {
				l.at++
			}
		default:
			return
		}
	}
}

const delimiters = "\x00\t\n\f\r ()<>[]{}/%"

// regular reads up to the next space or delimiter.
func (l *lexer) regular() string {
	n := bytes.IndexAny(l.b[l.at:], delimiters)
	if n < 0 {
		n = len(l.b) - l.at
	}
	s := string(l.b[l.at : l.at+n])
	l.at += n
	return s
}

func (l *lexer) word() (Object, string, error) {
	w := l.regular()
	if n, err := strconv.Atoi(w); err == nil {
		return n, "", nil
	}
	if c := w[0]; c == '+' || c == '-' || c == '.' || c >= '0' && c <= '9' {
		if f, err := strconv.ParseFloat(w, 64); err == nil {
			return f, "", nil
		}
	}
	switch w {
	case "true":
		return true, "", nil
	case "false":
		return false, "", nil
	case "null":
		return nil, "", nil
	}
	return nil, w, nil
}

func (l *lexer) name() Name {
	raw := l.regular()
	var b []byte
	for i := 0; i < len(raw); i++ {
		if raw[i] == '#' && i+2 < len(raw) {
			if v, err := strconv.ParseUint(raw[i+1:i+3], 16, 8); err == nil {
				b = append(b, byte(v))
				i += 2
				continue
			}
		}
		b = append(b, raw[i])
	}
	return Name(b)
}

// until reads objects up to the closing word.
func (l *lexer) until(end string, depth int) ([]Object, error) {
	var all []Object
	for {
		o, word, err := l.next(depth + 1)
		switch {
		case err != nil:
			return nil, err
		case word == end:
			return all, nil
		case word != "" || l.done:
			return nil, errContent
		}
		all = append(all, o)
	}
}

func (l *lexer) dict(depth int) (Dict, error) {
	all, err := l.until(">>", depth)
	if err != nil || len(all)%2 != 0 {
		return nil, errContent
	}
	d := make(Dict, len(all)/2)
	for i := 0; i < len(all); i += 2 {
		k, ok := all[i].(Name)
		if !ok {
			return nil, errContent
		}
		d[k] = all[i+1]
	}
	return d, nil
}

func (l *lexer) hex() (String, error) {
	end := bytes.IndexByte(l.b[l.at:], '>')
	if end < 0 {
		return "", errContent
	}
	var digits []byte
	for _, c := range l.b[l.at+1 : l.at+end] {
		if bytes.IndexByte([]byte(delimiters), c) < 0 {
			digits = append(digits, c)
		}
	}
	l.at += end + 1
	if len(digits)%2 != 0 {
		digits = append(digits, '0')
	}
	b := make([]byte, len(digits)/2)
	for i := range b {
		v, err := strconv.ParseUint(string(digits[2*i:2*i+2]), 16, 8)
		if err != nil {
			return "", errContent
		}
		b[i] = byte(v)
	}
	return String(b), nil
}

// skipImage passes over an inline image up to its EI.
func (l *lexer) skipImage() error {
	for {
		n := bytes.Index(l.b[l.at:], []byte("EI"))
		if n < 0 {
			return errContent
		}
		before, after := l.at+n-1, l.at+n+2
		l.at = after
		if bytes.IndexByte([]byte(delimiters), l.b[before]) >= 0 &&
			(after >= len(l.b) || bytes.IndexByte([]byte(delimiters), l.b[after]) >= 0) {
			return nil
		}
	}
}
