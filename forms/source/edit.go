package source

// Change is one edit of a file. Path leads through keys of mappings. With Append, Value is added to the
// sequence at Path, which is made when absent; otherwise Value is set there, or the entry is removed if
// Value is nil.
type Change struct {
	Path   []string
	Append bool
	Value  *Node
}
