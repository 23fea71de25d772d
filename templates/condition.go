package templates

import (
	"strings"

	"philtrum/forms/source"
)

// condition is a boolean over facts: a name, not, and, or, in that binding order, with parentheses.
type condition struct {
	op   string // "fact", "not", "and", "or"
	name string
	args []*condition
}

// holds evaluates the condition; a nil condition holds.
func (c *condition) holds(s *scope) bool {
	if c == nil {
		return true
	}
	switch c.op {
	case "fact":
		return s.fact(c.name)
	case "not":
		return !c.args[0].holds(s)
	case "and":
		return c.args[0].holds(s) && c.args[1].holds(s)
	}
	return c.args[0].holds(s) || c.args[1].holds(s)
}

// when reads a condition; n may be nil.
func (l *loader) when(n *source.Node, lists []string) *condition {
	if n == nil {
		return nil
	}
	text := l.r.Text(n)
	text = strings.ReplaceAll(strings.ReplaceAll(text, "(", " ( "), ")", " ) ")
	p := &conditionReader{tokens: strings.Fields(text), known: func(name string) bool {
		return factKnown(name, lists)
	}}
	c := p.or()
	if p.unknown != "" {
		l.unknown(n, "problem.unknown_fact", p.unknown, factNames(lists))
		return nil
	}
	if p.bad || len(p.tokens) > 0 {
		l.r.Report(n, "problem.condition", nil)
		return nil
	}
	return c
}

type conditionReader struct {
	tokens  []string
	known   func(string) bool
	unknown string
	bad     bool
}

func (p *conditionReader) peek() string {
	if len(p.tokens) == 0 {
		return ""
	}
	return p.tokens[0]
}

func (p *conditionReader) take() string {
	t := p.peek()
	if t != "" {
		p.tokens = p.tokens[1:]
	}
	return t
}

func (p *conditionReader) or() *condition {
	c := p.and()
	for p.peek() == "or" {
		p.take()
		c = &condition{op: "or", args: []*condition{c, p.and()}}
	}
	return c
}

func (p *conditionReader) and() *condition {
	c := p.not()
	for p.peek() == "and" {
		p.take()
		c = &condition{op: "and", args: []*condition{c, p.not()}}
	}
	return c
}

func (p *conditionReader) not() *condition {
	switch t := p.take(); t {
	case "not":
		return &condition{op: "not", args: []*condition{p.not()}}
	case "(":
		c := p.or()
		if p.take() != ")" {
			p.bad = true
		}
		return c
	case "", ")", "and", "or":
		p.bad = true
		return &condition{op: "fact"}
	default:
		if !p.known(t) && p.unknown == "" {
			p.unknown = t
		}
		return &condition{op: "fact", name: t}
	}
}
