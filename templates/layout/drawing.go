package layout

// Drawing is vector art with labels, in its own coordinates: origin at the top left, y down, lengths in
// [Length]. Sides of a body in it are the patient's; no engine mirrors it.
type Drawing struct {
	Name          string // stable, for caches: the same name has the same shapes; empty: never cached
	Width, Height Length
	Shapes        []Shape
	Labels        []Label
}

// Point is a place in a drawing.
type Point struct{ X, Y Length }

// Verb says what a segment does.
type Verb uint8

// Verbs of a path. A curve takes three points (cubic Bézier), a line or move one, close none.
const (
	MoveTo Verb = iota
	LineTo
	CurveTo
	ClosePath
)

// Segment is a step of a path.
type Segment struct {
	Verb   Verb
	Points [3]Point
}

// Shape is a path that is filled, stroked or both.
type Shape struct {
	Path   []Segment
	Stroke Length // line width; 0 none
	Grey   uint8  // stroke darkness in percent of ink (100 is ink)
	Fill   uint8  // fill darkness in percent; 0 none
	White  bool   // fill with white instead (under a number, say)
	Accent bool   // stroke and fill in the accent
	Dash   Length // dash length; 0 solid
	// Own paints stroke and fill in Colour instead of an ink: the mark of a clinic has its own.
	Own     bool
	Colour  [3]uint8
	EvenOdd bool    // fill by the even-odd rule, otherwise by winding
	Pixels  *Pixels // fills the whole drawing; Path is empty then
}

// Pixels is a picture without transparency: rows from the top, three bytes (sRGB) for each pixel.
type Pixels struct {
	Width, Height int
	RGB           []byte
}

// Label is a text in a drawing. At is on the baseline; Align says which part of the text stands there.
type Label struct {
	At    Point
	Align Align // AlignStart means: text begins at At.X and runs to the right, whatever the language
	Size  Length
	Text  []Span
}
