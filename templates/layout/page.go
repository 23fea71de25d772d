package layout

// Result is a paper placed on pages.
type Result struct {
	Lang      string
	Direction Direction
	Title     string
	Sheet     Sheet
	Pages     []Page
	Root      *Element // type Document
	Outline   []OutlineEntry
	Reports   []Report
}

// Page is one page; Items are in painting order. Marks counts its marked-content sequences.
type Page struct {
	Number int
	Items  []Item
	Marks  int
	// Code is the square kept free for a QR, empty if the sheet keeps none.
	Code Rect
}

// Rect is a rectangle; X and Y are its top left corner on the page.
type Rect struct{ X, Y, Width, Height Length }

// ItemKind says what an item paints.
type ItemKind uint8

// Kinds of items.
const (
	ItemLine    ItemKind = iota // a set line; Rect.X and Rect.Y are the left end of its baseline, Height is 0
	ItemRule                    // a filled rectangle: rules, bars, tints
	ItemBox                     // a stroked rectangle: tick boxes, frames
	ItemDrawing                 // a drawing scaled to Rect
)

// Artifact is the Mark of an item that is not content: rules, furniture, frames.
const Artifact = -1

// Item is something painted. Mark is its marked-content number on the page, or [Artifact]; items that
// follow one another with one mark make one sequence.
type Item struct {
	Kind    ItemKind
	Mark    int
	Rect    Rect
	Line    Line
	Drawing *Drawing
	Labels  []PlacedLabel // set lines of the drawing's labels, in page coordinates
	Grey    uint8         // darkness in percent of ink, for rules, tints and boxes
	Accent  bool
	Stroke  Length
	Field   *Field // the place for an answer that it draws
}

// PlacedLabel is a set label of a drawing; At is the left end of its baseline on the page.
type PlacedLabel struct {
	At   Point
	Line Line
}

// Element is a node of the structure tree. Type is a standard structure type of ISO 32000-1: Document,
// Sect, H1…H4, P, L, LI, Lbl, LBody, Table, TR, TH, TD, Figure, Caption, Form.
type Element struct {
	Type    string
	Lang    string // where it differs from the parent's
	Alt     string
	Actual  string // exact logical text, for right-to-left passages
	Scope   string // Column or Row, for TH
	ColSpan int    // above 1 for cells that take several columns
	Page    int    // of BBox
	BBox    Rect   // of figures
	Ordered bool   // of lists
	Field   *Field // of a Form: one field, at BBox of Page
	Kids    []Kid
}

// Kid is a child of an element: another element, or marked content of a page.
type Kid struct {
	Element *Element
	Page    int // 1-based, with Mark, when Element is nil
	Mark    int
}

// OutlineEntry is a bookmark.
type OutlineEntry struct {
	Level int
	Text  string
	Page  int
	Y     Length
}

// Report tells the maker of a paper what did not fit as it should: an overfull word, a block taller than
// a page that had to be torn.
type Report struct {
	ID    string // "overfull" or "torn"
	Block string // id of the block
	Page  int
	Field string // of the span, where known
}
