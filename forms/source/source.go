// Package source reads the clinic's files strictly and keeps where everything was written.
//
// [Parse] turns YAML into a tree of [Node] whose scalars are kept as they were typed: a lot 0012, a time
// 10:30 or the word no stay text until the caller says, through a [Reader], what kind it expects. Anchors,
// aliases, tags, merge keys and second documents are refused. What is wrong with a file is a [Problem]
// with a place; all problems of a file come in one run. [Edit] changes a file's own lines and leaves
// every other line, comments included, as it was.
package source

// Span is where something stands in a file. Lines and columns count from 1, columns in runes; End is
// just behind the last rune. The zero Span means that the file as a whole is meant.
type Span struct {
	File            string
	Line, Col       int
	EndLine, EndCol int
}

// Problem is a mistake in a file that a person can mend. ID names the message in locales
// ("problem.unknown_key"); Args are its placeholders and never hold a patient's value.
type Problem struct {
	ID   string
	Args map[string]any
	Span Span
	// Help names a second message that says what to do, when the first does not.
	Help string
}

// Problems is every problem found in one run.
type Problems []Problem

// Kind is the shape of a node.
type Kind uint8

// Kinds of nodes. Empty is a key without a value.
const (
	Empty Kind = iota
	Scalar
	Mapping
	Sequence
)

// Node is a value of a file.
type Node struct {
	Kind   Kind
	Text   string // of a scalar, as typed, quotes and block style resolved
	Quoted bool
	Keys   []Key   // of a mapping, in order
	Items  []*Node // of a sequence
	Span   Span
}

// Key is one entry of a mapping.
type Key struct {
	Name  string
	Span  Span
	Value *Node
}
