package text

import (
	"philtrum/templates/layout"
)

// Options chooses how one document is set.
type Options struct {
	// Lang is the document's language (BCP 47). It decides among the Han faces and the Arabic ones.
	Lang string
	// PrintMissing sets a rune without a glyph as "U+XXXX" instead of an empty space. It is reported
	// either way; see [Setter.Missing].
	PrintMissing bool
	// Own is what papers of one visit share; nil: nothing is shared.
	Own *Own
}

// Missing is a rune that no face has a glyph for.
type Missing struct {
	Rune  rune
	Field string // layout.Span.Field of its first use
	Lang  string // language of its first use
}

// Font is a font program cut for one document: code i is glyph i, one for each shaped cluster. Code 0 is
// .notdef and never used. Measures are in 1/1000 em.
type Font struct {
	Name     string   // PostScript name with a subset tag that depends only on the content
	Program  []byte   // TrueType program for FontFile2
	Deflated []byte   // Program, zlib-deflated
	Widths   []int    // advance of code i
	Unicode  []string // text of code i

	Ascent, Descent, CapHeight int // Descent is negative, as in a font descriptor
	BBox                       [4]int
	ItalicAngle, StemV, Flags  int
}

var _ layout.Metrics = (*Setter)(nil)
