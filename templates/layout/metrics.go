package layout

// Metrics measures, shapes and breaks text. templates/text implements it; one value serves one document
// and gathers the glyphs that the document uses.
type Metrics interface {
	// Lines breaks the request's spans into lines no wider than its width by UAX #14, each already in
	// visual order. A word that cannot fit is broken at a cluster and its line marked Overfull. Every
	// request gives at least one line.
	Lines(Request) []Line
}

// Measurer is a [Metrics] that can tell how lines would break without setting them.
type Measurer interface {
	Metrics
	// Measure gives the extent of the lines that Lines gives for the same request.
	Measure(Request) Extent
}

// Extent is what measuring tells of lines.
type Extent struct {
	Lines        int
	Widest, Last Length // width of the widest line and of the last
	Overfull     bool   // a line is
}

// extentOf is the extent of lines that were set.
func extentOf(lines []Line) Extent {
	e := Extent{Lines: len(lines)}
	for i := range lines {
		e.Last = lines[i].Width
		e.Widest = max(e.Widest, e.Last)
		e.Overfull = e.Overfull || lines[i].Overfull
	}
	return e
}

// Request is a paragraph to set.
type Request struct {
	Spans     []Span
	Lang      string
	Direction Direction
	Size      Length
	Weight    Weight // of spans that are not Strong
	Width     Length // 0: one line, never broken
	Hyphenate bool   // narrow columns, in languages that do
}

// Line is one set line. X positions of its runs count from the left end of the line.
type Line struct {
	Runs            []Run
	Width           Length // advance without trailing spaces
	Ascent, Descent Length // of the faces used, both positive
	Text            string // logical text, as extracted and spoken; a hyphen put in by the engine is not in it
	Overfull        bool
	Hyphen          bool // ends with a hyphen that the text does not have
	Turned          bool // set by layout: of a passage that runs the other way than the paper
	Opens           bool // set by layout: the first of a passage below another one
	Sole            bool // set by layout: the only one of such a passage
}

// Run is glyphs of one font in one colour.
type Run struct {
	Font    int      // index into the fonts of the document's Metrics
	Codes   []uint16 // one code for each shaped cluster
	Size    Length
	X, Rise Length
	Width   Length
	Ink     Ink
	Heavy   bool // strong text in a face of one weight: drawn with a stroke around the fill
	Lang    string
	Blank   bool // a line to write on: no codes, a hairline of Width at the baseline
	// Text is the run's logical text; RightToLeft says that Codes stand in visual, hence reversed, order.
	Text        string
	RightToLeft bool
}
