// Package layout places a document on pages.
//
// It takes blocks of spans and a [Metrics] that measures text, and gives pages of positioned items
// together with the structure tree that a reader for the blind walks. It is pure: the same document and
// metrics give the same pages, printable as text by [Result.Dump]. It knows neither messages nor forms,
// and drawing decides nothing that stands here.
package layout

// Length is a distance in thousandths of a typographic point (1/72 inch). Whole numbers, so that every
// machine comes to the same positions.
type Length int32

// Pt is one point; MM gives millimetres.
const Pt Length = 1000

// MM is a length in millimetres, rounded to the thousandth of a point.
func MM(mm float64) Length { return Length(mm*72000/25.4 + 0.5) }

// Direction is the reading direction of a document or line.
type Direction uint8

// The two reading directions.
const (
	LeftToRight Direction = iota
	RightToLeft
)

// Weight chooses between the two weights of a family.
type Weight uint8

// The two weights. Han is set in Regular only.
const (
	Regular Weight = iota
	Bold
)

// Ink names a colour of the sheet; nothing is ever said by colour alone.
type Ink uint8

// The inks of a paper.
const (
	InkText   Ink = iota // near-black
	InkQuiet             // furniture and labels, still at least 4.5:1
	InkAccent            // the one accent
	InkPaper             // white, on accent
)

// Span is a piece of text with one language and one manner.
type Span struct {
	Text   string
	Lang   string // BCP 47; empty: the language of the document
	Strong bool
	Ink    Ink
	// Value marks data (a date, a dose, a name): the engine isolates it (U+2066…U+2069) so that the
	// direction of the words around it can never reorder it.
	Value bool
	// Whole marks a date or a time of a value: a line holds it undivided wherever it fits one. A zero width space
	// (U+200B) marks where it may be divided all the same, as between a date and a time.
	Whole bool
	// Field says where a user's text came from ("patient.name"), for reports of missing glyphs.
	Field string
	// Blank, when above zero, is a line to write on of at least this width; Text is then its label for
	// screen readers.
	Blank Length
	// Page and Pages stand for the page's number and the count of pages, in furniture only.
	Page, Pages bool
}

// Role names a text style of the sheet.
type Role string

// Roles that a sheet defines.
const (
	RoleTitle  Role = "title"
	RoleH1     Role = "h1"
	RoleH2     Role = "h2"
	RoleH3     Role = "h3"
	RoleLead   Role = "lead"
	RoleBody   Role = "body"
	RoleSmall  Role = "small" // captions, table notes
	RoleLabel  Role = "label" // the quiet label of a key-value grid, heads of signature fields
	RoleTable  Role = "table"
	RoleNumber Role = "number"    // the telephone number of a warning panel
	RoleFoot   Role = "furniture" // running head and foot
)

// TextStyle is one entry of a sheet's type scale.
type TextStyle struct {
	Size    Length
	Leading Length // baseline to baseline
	Weight  Weight
	Before  Length // space above
	After   Length // space below
}

// Sheet is the look of a paper: size, margins, type scale and spacing. Templates load it from data.
type Sheet struct {
	Name                      string
	Width, Height             Length
	Top, Bottom, Inner, Outer Length // margins; Inner is the binding edge, on the reading side of odd pages
	Mirror                    bool   // swap Inner and Outer on even pages
	Styles                    map[Role]TextStyle
	Gutter                    Length // between columns
	Indent                    Length // of list text
	Rule, HeavyRule, Bar      Length // hairline, totals, the bar of a panel
	Tint                      uint8  // panel tint in percent of ink, 0 none
	PenRow                    Length // least height of a row that a pen fills
	Box                       Length // side of a tick box
	SignHeight, SignWidth     Length // room for a signature
	CodeSide                  Length // square kept free for a QR at the outer foot corner; 0 none
	Accent                    [3]uint8
	TextInk, QuietInk         [3]uint8
	MinLines                  int  // lines that must stand on each side of a break, and on a last page
	StackRows                 bool // heads of rows stand above their cells in tables of three columns of text and more
}

// Document is everything that one paper says, in reading order.
type Document struct {
	Lang      string // BCP 47 of the paper
	Direction Direction
	Title     string // neutral: kind of paper and nothing that identifies a person
	Sheet     Sheet
	Digits    [10]rune // for page numbers; zero value: 0-9
	Head      Furniture
	Foot      Furniture
	Blocks    []Block
	// Closing stands at the foot of the text of every page: what a person says of that page.
	Closing []Block
	// Fillable makes the places for answers fields of a form on a screen.
	Fillable bool
}

// Furniture is a running line of every page: where reading starts, and where it ends. It is an artifact
// for assistive technology. FirstStart and FirstEnd, if not nil, replace them on page one.
type Furniture struct {
	Start, End           []Span
	FirstStart, FirstEnd []Span
	Rule                 bool // a hairline between it and the text
}

// Block is a part of a document.
type Block interface{ meta() *Meta }

// Meta is what every block carries.
type Meta struct {
	ID      string   // where the block stands in the template
	Clauses []string // ids of the clauses that it serves
	Keep    bool     // never torn over two pages if it fits on one
}

func (m *Meta) meta() *Meta { return m }

// Title is the head of a paper: its kind, large; Alt is the kind in the clinic's language.
type Title struct {
	Meta
	Text []Span
	Alt  []Span // second line, quiet
	Mark *Drawing
}

// Heading opens a part. Level 2 to 4; the title is level 1. Its text takes the role of its level (h2, h3;
// a sheet without "h4" sets level 4 as h3).
type Heading struct {
	Meta
	Level int
	Text  []Span
}

// Paragraph is running text.
type Paragraph struct {
	Meta
	Role Role
	Text []Span
}

// List is a bulleted or numbered list.
type List struct {
	Meta
	Ordered bool
	Items   []ListItem
}

// ListItem is one entry of a list: a line of text and, rarely, blocks below it.
type ListItem struct {
	Text   []Span
	Blocks []Block
}

// Grid is a key-value grid: label above value. An empty value keeps a line to write on.
type Grid struct {
	Meta
	Columns int
	Items   []GridItem
}

// GridItem is one cell of a grid. Across counts the columns that it takes (0 is 1).
type GridItem struct {
	Label, Value []Span
	Across       int
}

// Align is where the text of a column stands.
type Align uint8

// Alignments; Start and End follow the reading direction. Decimal aligns on the decimal sign.
const (
	AlignStart Align = iota
	AlignEnd
	AlignCentre
	AlignDecimal
)

// Table has hairlines between rows, a repeated head, and totals set off by a heavier line.
type Table struct {
	Meta
	Caption []Span
	Columns []Column
	Rows    []Row
}

// Column is a column of a table. Widths share the measure by Share; NoWrap keeps its cells on one line
// where that is possible.
type Column struct {
	Head   []Span
	Share  int
	Align  Align
	NoWrap bool
}

// Row is a row of a table.
type Row struct {
	Cells  []Cell
	Total  bool // set off by a heavier line, strong
	Pen    bool // high enough to write in
	Header bool // the first cell is a row header
}

// Cell is a cell; a Box cell holds a tick box before its text.
type Cell struct {
	Text   []Span
	Box    bool
	Across int // columns taken; 0 is 1
}

// Tone is the weight of a panel.
type Tone uint8

// Tones. A warning has a heavy bar on the reading side; a notice a tint; plain a hairline frame.
const (
	TonePlain Tone = iota
	ToneNotice
	ToneWarning
)

// Panel sets blocks off from the page.
type Panel struct {
	Meta
	Tone   Tone
	Blocks []Block
}

// Choices are rows of boxes that a pen ticks, never pre-ticked.
type Choices struct {
	Meta
	Items []Choice
}

// Choice is one decision: a text and the boxes for its answers. A choice with no Boxes has a single box
// before its text.
type Choice struct {
	Text  []Span
	Boxes [][]Span
}

// Signature is one unit, never torn: what the signature means, then fields with room for a hand.
type Signature struct {
	Meta
	Meaning []Span
	Fields  []SignField
}

// SignField is a field of a signature block. Hand gives it the height and width of a signature; Share
// divides a row; NewRow starts one.
type SignField struct {
	Label, Value []Span
	Hand         bool
	Share        int
	NewRow       bool
}

// Dated is a list that one scans by date: the date first, then what holds until then.
type Dated struct {
	Meta
	Items []DatedItem
}

// DatedItem is one entry of a dated list; items with an equal When are grouped under the first.
type DatedItem struct {
	When   []Span
	Note   []Span // quiet, below When: "until 14:30", "day 2"
	Texts  [][]Span
	Strong bool
}

// Figure is a drawing with its text for those who cannot see it. It is never mirrored.
type Figure struct {
	Meta
	Drawing *Drawing
	Width   Length // 0: as wide as the measure
	Alt     string
	Caption []Span
}

// Columns sets blocks side by side; Shares divide the measure. It may break between pages only where
// Keep is false.
type Columns struct {
	Meta
	Shares  []int
	Columns [][]Block
	Langs   []string // BCP 47 of each column; nil or empty: the language of the document
}

// Group keeps its blocks together if Keep is set.
type Group struct {
	Meta
	Blocks []Block
}

// Space is extra air, dropped at the top of a page.
type Space struct {
	Meta
	Height Length
}

// Break starts a new page.
type Break struct{ Meta }
