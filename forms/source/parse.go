package source

import (
	"cmp"

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
	before := token.UnknownType
	for _, t := range tokens {
		id := cmp.Or(refused[t.Type], seen.next(t.Type))
		if flow > 0 && misplaced(before, t.Type) {
			id = "problem.syntax"
		}
		if t.Type != token.CommentType {
			before = t.Type
		}
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

// misplaced says whether a token cannot follow another inside brackets: dashes and block scalars belong to
// the other style, and a comma needs something before it.
func misplaced(before, t token.Type) bool {
	switch t {
	case token.SequenceEntryType, token.LiteralType, token.FoldedType:
		return true
	case token.CollectEntryType:
		return before == token.CollectEntryType || before == token.SequenceStartType || before == token.MappingStartType
	}
	return false
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
