package source

import (
	"cmp"
	"strings"
	"unicode/utf8"

	"github.com/goccy/go-yaml/ast"
	"github.com/goccy/go-yaml/lexer"
	"github.com/goccy/go-yaml/parser"
	"github.com/goccy/go-yaml/token"
)

// Bounds of a file, so that a hostile one costs neither time nor memory. What the program itself ships or
// writes stays well below a tenth of them. MaxTokens is what a file may have of keys, values and signs: the
// library's time grows with the square of it, to about a second here.
const (
	MaxBytes  = 4 << 20
	MaxDepth  = 64
	MaxTokens = 60_000
)

// Parse reads one YAML document. Besides what YAML itself forbids it refuses anchors, aliases, tags, merge
// keys, complex keys, directives, second documents, tabs, control characters and doubled keys: each of
// them lets a file say something else than it seems to say. A byte order mark and CRLF are accepted. The
// node is nil if the file could not be read; a doubled key leaves its first value in the tree, an empty
// file an Empty node.
func Parse(file string, data []byte) (*Node, Problems) {
	b := &builder{text: newText(file, data)}
	if !b.text.sound(&b.problems) {
		return nil, b.problems
	}
	tokens := lexer.Tokenize(b.text.body)
	if !b.admit(tokens) {
		b.problems.Sort()
		return nil, b.problems
	}
	tree, err := parser.Parse(tokens, 0, parser.AllowDuplicateMapKey())
	if err != nil {
		b.syntax(err)
		return nil, b.problems
	}
	root := b.root(tree)
	b.problems.Sort()
	if b.broken {
		return nil, b.problems
	}
	return root, b.problems
}

// refused maps the tokens that this dialect does not have to the message that says so.
var refused = map[token.Type]string{
	token.AnchorType:     "problem.anchor",
	token.AliasType:      "problem.alias",
	token.TagType:        "problem.tag",
	token.MergeKeyType:   "problem.merge_key",
	token.MappingKeyType: "problem.complex_key",
	token.DirectiveType:  "problem.directive",
}

// admit looks at the tokens before they are parsed: the parser recurses, so depth is bounded here.
func (b *builder) admit(tokens token.Tokens) bool {
	if len(tokens) > MaxTokens {
		b.report(Span{File: b.text.file}, "problem.too_many", map[string]any{"most": MaxTokens})
		return false
	}
	var seen document
	flow, dashes, line := 0, 0, 0
	for _, t := range tokens {
		id := cmp.Or(refused[t.Type], seen.next(t.Type))
		switch t.Type {
		case token.SequenceStartType, token.MappingStartType:
			flow++
		case token.SequenceEndType, token.MappingEndType:
			flow--
		case token.SequenceEntryType:
			if t.Position.Line != line {
				line, dashes = t.Position.Line, 0
			}
			dashes++
		case token.InvalidType:
			id = "problem.syntax"
		}
		if flow > MaxDepth || dashes > MaxDepth {
			b.report(b.at(t), "problem.too_deep", map[string]any{"most": MaxDepth})
			return false
		}
		if flow < 0 {
			id, flow = "problem.syntax", 0
		}
		if id != "" {
			b.report(b.at(t), id, nil)
		}
		if id == "problem.second_document" || id == "problem.directive" {
			break // what follows belongs to it
		}
	}
	return len(b.problems) == 0
}

// document is how far the tokens of the only document have come.
type document struct{ begun, ended bool }

func (d *document) next(t token.Type) string {
	switch {
	case t == token.CommentType, t == token.DirectiveType:
	case t == token.DocumentEndType:
		d.begun, d.ended = true, true
	case d.ended, t == token.DocumentHeaderType && d.begun:
		return "problem.second_document"
	default:
		d.begun = true
	}
	return ""
}

// syntax reports what the parser refused. Its own words may quote the file, so only its place is kept.
func (b *builder) syntax(err error) {
	type placed interface{ GetToken() *token.Token }
	where := Span{File: b.text.file}
	if p, ok := err.(placed); ok && p.GetToken() != nil {
		where = b.at(p.GetToken())
	}
	b.report(where, "problem.syntax", nil)
}

// builder turns the library's tree into nodes.
type builder struct {
	text     *text
	problems Problems
	broken   bool
}

func (b *builder) report(s Span, id string, args map[string]any) {
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
		return b.sequence(n, depth)
	case *ast.LiteralNode:
		s := b.at(n.Start)
		return &Node{Kind: Scalar, Text: n.Value.Value, Quoted: true, Span: b.text.block(s, outer)}
	case *ast.CommentGroupNode:
		return &Node{Span: b.at(n.GetToken())}
	case ast.ScalarNode:
		return b.scalar(n.GetToken())
	}
	b.report(b.at(n.GetToken()), "problem.syntax", nil)
	b.broken = true
	return nil
}

func (b *builder) scalar(t *token.Token) *Node {
	s := b.at(t)
	switch t.Type {
	case token.ImplicitNullType:
		return &Node{Span: Span{File: s.File, Line: s.Line, Col: s.Col, EndLine: s.Line, EndCol: s.Col}}
	case token.SingleQuoteType, token.DoubleQuoteType:
		return &Node{Kind: Scalar, Text: t.Value, Quoted: true, Span: b.text.quoted(s)}
	}
	if strings.HasPrefix(t.Value, "- ") || strings.ContainsAny(t.Value[:min(1, len(t.Value))], ",[]{}#&*!|>'\"%@`") {
		b.report(s, "problem.syntax", nil) // YAML 1.2.2 (7.3.3): indicators, of which the library lets some pass
	}
	lines := strings.Count(strings.Trim(t.Origin, " \n"), "\n")
	return &Node{Kind: Scalar, Text: t.Value, Span: b.text.plain(s, lines)}
}

func (b *builder) sequence(n *ast.SequenceNode, depth int) *Node {
	out := &Node{Kind: Sequence, Span: b.at(n.Start)}
	for _, v := range n.Values {
		if item := b.node(v, n.Start.Position.Column, depth+1); item != nil {
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
	flow := n != nil && n.IsFlowStyle
	if flow {
		out.Span = b.at(n.Start)
	}
	first := map[string]Span{}
	for i, v := range values {
		key, ok := b.key(v.Key)
		if !ok {
			b.broken = true
			continue
		}
		if i == 0 && !flow {
			out.Span = key.Span
		}
		inner := key.Span.Col
		if flow {
			inner = outer
		}
		key.Value = b.node(v.Value, inner, depth+1)
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
	if flow && n.End != nil {
		out.Span.stretch(b.at(n.End))
	}
	return out
}

func duplicate(name string, first Span) map[string]any {
	return map[string]any{"key": keyName(name), "line": first.Line}
}

// key reads a key, which must be one line of text.
func (b *builder) key(n ast.MapKeyNode) (Key, bool) {
	scalar, ok := n.(ast.ScalarNode)
	if !ok {
		b.report(b.at(n.GetToken()), "problem.complex_key", nil)
		return Key{}, false
	}
	node := b.scalar(scalar.GetToken())
	if node.Kind != Scalar || node.Text == "" || node.Span.Line != node.Span.EndLine {
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
