package source

import (
	"strings"
	"unicode"
	"unicode/utf8"
)

// Plain reads a file in one pass if it has the plain shape in which this program and most people write: keys
// and dashes on lines of their own, one space behind the colon, unquoted or simply quoted values, no brackets
// but the empty list. It takes about a thirtieth of the time of [Parse], which is what a search through every
// visit of a clinic needs.
//
// It is no second dialect: whatever it reads, Parse reads as the same tree without a problem, and of every
// other file it says that it did not read it, for Parse to decide. The nodes have no places.
func Plain(data []byte) (*Node, bool) {
	if len(data) > MaxBytes/8 { // far below what Parse bounds
		return nil, false
	}
	p := &plain{rest: string(data)}
	p.next()
	n := p.value(0, 0)
	if n == nil || n.Kind != Mapping || p.bad || !p.end {
		return nil, false
	}
	return n, true
}

// plain goes through a file line by line; line and indent are those of the line at hand.
type plain struct {
	rest   string
	line   string // without its indent and end
	indent int
	end    bool // no line is left
	bad    bool
}

// next goes to the next line that is neither empty nor a comment alone.
func (p *plain) next() {
	for p.rest != "" {
		line, rest, _ := strings.Cut(p.rest, "\n")
		p.rest = rest
		p.line = strings.TrimLeft(line, " ")
		p.indent = len(line) - len(p.line)
		if p.line == "" && p.indent > 0 {
			p.bad = true
			return
		}
		if p.line == "" || p.line[0] == '#' && p.comment() {
			continue
		}
		return
	}
	p.line, p.indent, p.end = "", -1, true
}

// comment takes a comment that stands at the start of the line, with nothing in it that Parse refuses.
func (p *plain) comment() bool {
	if p.indent > 0 || !fits(p.line) {
		p.bad = true
	}
	return !p.bad
}

// value reads the mapping or sequence whose lines stand at indent.
func (p *plain) value(indent, depth int) *Node {
	if p.bad || p.end || p.indent != indent || depth > MaxDepth/2 {
		p.bad = true
		return nil
	}
	if strings.HasPrefix(p.line, "- ") {
		return p.sequence(indent, depth)
	}
	return p.mapping(indent, depth)
}

func (p *plain) sequence(indent, depth int) *Node {
	n := &Node{Kind: Sequence}
	for !p.bad && !p.end && p.indent == indent && strings.HasPrefix(p.line, "- ") {
		item := p.line[2:]
		if _, _, isKey := plainKey(item); isKey {
			p.line, p.indent = item, indent+2
			n.Items = append(n.Items, p.mapping(indent+2, depth+1))
			continue
		}
		n.Items = append(n.Items, p.scalar(item))
		p.next()
	}
	if !p.end && p.indent > indent {
		p.bad = true
	}
	return n
}

func (p *plain) mapping(indent, depth int) *Node {
	n := &Node{Kind: Mapping}
	for !p.bad && !p.end && p.indent == indent {
		name, rest, isKey := plainKey(p.line)
		if !isKey || find(n, name) >= 0 {
			p.bad = true
			return nil
		}
		var value *Node
		if rest != "" {
			value = p.scalar(rest)
			p.next()
		} else {
			value = p.below(indent, depth)
		}
		n.Keys = append(n.Keys, Key{Name: name, Value: value})
	}
	if !p.end && p.indent > indent {
		p.bad = true
	}
	return n
}

// below reads what stands under a key: further right, or a sequence right below it. A key with nothing under
// it is left to Parse.
func (p *plain) below(indent, depth int) *Node {
	p.next()
	switch {
	case p.end || p.bad:
	case p.indent > indent:
		return p.value(p.indent, depth+1)
	case p.indent == indent && strings.HasPrefix(p.line, "- "):
		return p.list(indent, depth)
	}
	p.bad = true
	return nil
}

// list is a sequence whose dashes stand below the first letter of its key.
func (p *plain) list(indent, depth int) *Node { return p.sequence(indent, depth+1) }

// plainKey parts a line into its key and its value.
func plainKey(line string) (name, rest string, ok bool) {
	for i := range len(line) {
		switch c := line[i]; {
		case c >= 'a' && c <= 'z', c >= 'A' && c <= 'Z', c == '_', i > 0 && c >= '0' && c <= '9':
			continue
		case c == ':' && i > 0 && i+1 == len(line):
			return line[:i], "", reserved(line[:i])
		case c == ':' && i > 0 && line[i+1] == ' ' && i+2 < len(line):
			return line[:i], line[i+2:], reserved(line[:i])
		}
		return "", "", false
	}
	return "", "", false
}

// reserved says whether a word is none that YAML reads as something else in the place of a key.
func reserved(name string) bool {
	switch strings.ToLower(name) {
	case "null", "true", "false", "yes", "no", "on", "off", "y", "n":
		return false
	}
	return true
}

// scalar reads a value that stands on its line.
func (p *plain) scalar(text string) *Node {
	if text == "[]" {
		return &Node{Kind: Sequence}
	}
	if inner, ok := quotedPlainly(text); ok {
		return &Node{Kind: Scalar, Text: inner, Quoted: true}
	}
	if !plainStart(text) || !fits(text) || strings.HasSuffix(text, " ") || strings.HasSuffix(text, ":") ||
		strings.Contains(text, ": ") || strings.Contains(text, " #") {
		p.bad = true
		return nil
	}
	return &Node{Kind: Scalar, Text: text}
}

// quotedPlainly takes a text in double quotes that holds neither quotes nor escapes.
func quotedPlainly(text string) (string, bool) {
	if len(text) < 3 || text[0] != '"' || text[len(text)-1] != '"' {
		return "", false
	}
	inner := text[1 : len(text)-1]
	return inner, fits(inner) && !strings.ContainsAny(inner, `"\`) && strings.TrimSpace(inner) == inner
}

// plainStart says whether a value begins with a letter or digit, and is none of the words that mean nothing.
func plainStart(text string) bool {
	r, _ := utf8.DecodeRuneInString(text)
	if !unicode.IsLetter(r) && (r < '0' || r > '9') {
		return false
	}
	return !strings.EqualFold(text, "null")
}

// fits says whether a text has no signs but those of plain writing.
func fits(text string) bool {
	for _, r := range text {
		switch {
		case r < ' ', r == 0x7f, r == utf8.RuneError:
			return false
		case r < 0x7f, unicode.IsLetter(r), unicode.IsMark(r), unicode.IsPunct(r), unicode.IsSymbol(r):
		default:
			return false
		}
	}
	return true
}
