package source

import (
	"strings"
	"unicode/utf8"

	"github.com/goccy/go-yaml/ast"
	"github.com/goccy/go-yaml/token"
)

// builder turns the library's tree into nodes.
type builder struct {
	text     *text
	problems Problems
	broken   bool
}

func (b *builder) report(s Span, id string, args map[string]any) {
	if id == "problem.syntax" {
		b.broken = true // what was read after it may be anything
	}
	b.problems = append(b.problems, Problem{ID: id, Args: args, Span: s})
}

// at is the span of a token: its first rune to the end of its first line.
func (b *builder) at(t *token.Token) Span {
	if t == nil || t.Position == nil {
		return Span{File: b.text.file}
	}
	first, _, _ := strings.Cut(strings.TrimLeft(t.Origin, " \n"), "\n")
	width := max(1, utf8.RuneCountInString(strings.TrimRight(first, " ")))
	p := t.Position
	return b.text.clamp(Span{Line: p.Line, Col: p.Column, EndLine: p.Line, EndCol: p.Column + width})
}

func (b *builder) root(tree *ast.File) *Node {
	var body ast.Node
	for _, d := range tree.Docs {
		if d.Body == nil {
			continue
		}
		if body != nil {
			b.report(b.at(d.Body.GetToken()), "problem.second_document", nil)
			b.broken = true
			continue
		}
		body = d.Body
	}
	if body == nil {
		b.report(Span{File: b.text.file}, "problem.empty_file", nil)
		return &Node{Span: Span{File: b.text.file}}
	}
	return b.node(body, 0, 0)
}

// inFlow stands for a column where there is none: inside brackets.
const inFlow = -1

// node converts n, whose parent's key or dash stands in column outer.
func (b *builder) node(n ast.Node, outer, depth int) *Node {
	if depth > MaxDepth {
		b.report(b.at(n.GetToken()), "problem.too_deep", map[string]any{"most": MaxDepth})
		b.broken = true
		return nil
	}
	switch n := n.(type) {
	case *ast.MappingNode:
		return b.mapping(n.Values, n, outer, depth)
	case *ast.MappingValueNode:
		return b.mapping([]*ast.MappingValueNode{n}, nil, outer, depth)
	case *ast.SequenceNode:
		return b.sequence(n, outer, depth)
	case *ast.LiteralNode:
		return b.block(n, outer)
	case *ast.CommentGroupNode:
		return &Node{Span: b.at(n.GetToken())}
	case ast.ScalarNode:
		return b.scalar(n.GetToken(), outer == inFlow)
	}
	b.report(b.at(n.GetToken()), "problem.syntax", nil)
	b.broken = true
	return nil
}

func (b *builder) sequence(n *ast.SequenceNode, outer, depth int) *Node {
	out := &Node{Kind: Sequence, Span: b.at(n.Start)}
	inner := n.Start.Position.Column
	if n.IsFlowStyle {
		inner = inFlow
	} else if out.Span.Line > 0 && inner < outer {
		b.report(out.Span, "problem.syntax", nil)
	}
	for _, v := range n.Values {
		if item := b.node(v, inner, depth+1); item != nil {
			b.deeper(item, inner)
			out.Items = append(out.Items, item)
			out.Span.stretch(item.Span)
		}
	}
	if n.IsFlowStyle && n.End != nil {
		out.Span.stretch(b.at(n.End))
	}
	return out
}

func (b *builder) mapping(values []*ast.MappingValueNode, n *ast.MappingNode, outer, depth int) *Node {
	out := &Node{Kind: Mapping}
	braces := n != nil && n.IsFlowStyle
	flow := braces || outer == inFlow
	if braces {
		out.Span = b.at(n.Start)
	}
	first := map[string]Span{}
	for i, v := range values {
		key, ok := b.key(v.Key, v.Start)
		if !ok {
			b.broken = true
			continue
		}
		if i == 0 && !braces {
			out.Span = key.Span
		}
		inner := key.Span.Col
		if flow {
			inner = inFlow
		}
		key.Value = b.node(v.Value, inner, depth+1)
		if sequence, ok := v.Value.(*ast.SequenceNode); !ok || sequence.IsFlowStyle {
			b.deeper(key.Value, inner)
		}
		out.Span.stretch(key.Span)
		if key.Value == nil {
			continue
		}
		out.Span.stretch(key.Value.Span)
		if at, doubled := first[key.Name]; doubled {
			b.report(key.Span, "problem.duplicate_key", duplicate(key.Name, at))
			continue
		}
		first[key.Name] = key.Span
		out.Keys = append(out.Keys, key)
	}
	if braces && n.End != nil {
		out.Span.stretch(b.at(n.End))
	}
	return out
}

// deeper refuses a value that does not stand further right than its key or dash.
func (b *builder) deeper(value *Node, outer int) {
	if value != nil && value.Kind != Empty && outer != inFlow && value.Span.Col <= outer {
		b.report(value.Span, "problem.syntax", nil)
	}
}

func duplicate(name string, first Span) map[string]any {
	return map[string]any{"key": keyName(name), "line": first.Line}
}

// key reads a key, which must be text on one line with its colon.
func (b *builder) key(n ast.MapKeyNode, colon *token.Token) (Key, bool) {
	scalar, ok := n.(ast.ScalarNode)
	if !ok {
		b.report(b.at(n.GetToken()), "problem.complex_key", nil)
		return Key{}, false
	}
	node := b.scalar(scalar.GetToken(), false)
	if node.Kind != Scalar || node.Text == "" || node.Span.Line != node.Span.EndLine ||
		!node.Quoted && strings.Contains(node.Text, "\n") || colon != nil && colon.Position.Line != node.Span.Line {
		b.report(node.Span, "problem.complex_key", nil)
		return Key{}, false
	}
	return Key{Name: node.Text, Span: node.Span}, true
}

// stretch moves the end of s behind the end of other.
func (s *Span) stretch(other Span) {
	if other.EndLine > s.EndLine || other.EndLine == s.EndLine && other.EndCol > s.EndCol {
		s.EndLine, s.EndCol = other.EndLine, other.EndCol
	}
}
