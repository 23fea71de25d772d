package source

import (
	"regexp"
	"strings"

	"github.com/goccy/go-yaml/ast"
	"github.com/goccy/go-yaml/token"
)

// blockHeader is what may follow the sign of a block scalar. An indentation indicator is not part of this
// dialect: text that begins with spaces goes into quotes.
var blockHeader = regexp.MustCompile(`^[|>][+-]? *( #.*)?$`)

func (b *builder) block(n *ast.LiteralNode, outer int) *Node {
	s := b.start(n.Start, "|>")
	if outer == 0 || !blockHeader.MatchString(b.text.from(s)) {
		b.report(s, "problem.syntax", nil)
	}
	return &Node{Kind: Scalar, Text: n.Value.Value, Quoted: true, Span: b.text.block(s, outer)}
}

func (b *builder) scalar(t *token.Token, flow bool) *Node {
	switch t.Type {
	case token.ImplicitNullType:
		s := b.at(t)
		return &Node{Span: Span{File: s.File, Line: s.Line, Col: s.Col, EndLine: s.Line, EndCol: s.Col}}
	case token.SingleQuoteType, token.DoubleQuoteType:
		return &Node{Kind: Scalar, Text: t.Value, Quoted: true, Span: b.text.quoted(b.start(t, `'"`))}
	}
	n := &Node{Kind: Scalar, Text: t.Value, Span: b.plain(t)}
	if strayed(t.Value, flow) || b.text.listLike(n.Span) {
		b.report(n.Span, "problem.syntax", nil)
	}
	return n
}

// strayed says whether an unquoted text holds what YAML 1.2.2 (7.3.3) keeps out of it. The library reads
// on over such lines, and a whole list could vanish into the text above it.
func strayed(text string, flow bool) bool {
	if text == "" {
		return false
	}
	for _, sign := range []string{": ", ":\n", " #", "\n- "} {
		if strings.Contains(text, sign) {
			return true
		}
	}
	return strings.ContainsAny(text[:1], ",[]{}#&*!|>'\"%@`") || strings.HasPrefix(text, "- ") ||
		strings.HasSuffix(text, ":") || flow && strings.ContainsAny(text, ",[]{}")
}

// plain is where an unquoted scalar stands. The library misplaces one that begins on another line than its
// key or dash, so its words are looked for in the file.
func (b *builder) plain(t *token.Token) Span {
	s := b.at(t)
	if found, ok := b.text.words(s, t.Value); ok {
		return found
	}
	if found, ok := b.text.words(b.behind(t), t.Value); ok {
		return found
	}
	return s
}

// start is where a quoted or block scalar begins, which is one of the signs.
func (b *builder) start(t *token.Token, signs string) Span {
	s := b.at(t)
	if strings.ContainsAny(firstRune(b.text.from(s)), signs) {
		return s
	}
	if found := b.behind(t); strings.ContainsAny(firstRune(b.text.from(found)), signs) {
		return found
	}
	return s
}

func firstRune(s string) string {
	for _, r := range s {
		return string(r)
	}
	return ""
}

// behind is the first rune after the sign before t, over spaces, line ends and comments.
func (b *builder) behind(t *token.Token) Span {
	line, col := 1, 1
	for p := t.Prev; p != nil; p = p.Prev {
		if p.Type != token.CommentType {
			line, col = p.Position.Line, p.Position.Column+len(p.Value)
			break
		}
	}
	s := b.text.clamp(Span{Line: line, Col: col, EndLine: line, EndCol: col})
	for s.Line <= len(b.text.lines) {
		rest := b.text.from(s)
		trimmed := strings.TrimLeft(rest, " ")
		if trimmed != "" && trimmed[0] != '#' {
			s.Col += len(rest) - len(trimmed)
			s.EndLine, s.EndCol = s.Line, s.Col+1
			return s
		}
		if s.Line == len(b.text.lines) {
			break
		}
		s.Line, s.Col = s.Line+1, 1
	}
	return b.at(t)
}
