// Package code makes the code that stands on every page of a paper: which paper it is, which page of how many,
// and a check value. Nothing in it tells of a person. Package code/read finds it again on a scan.
//
// The symbol is a QR code (ISO/IEC 18004) of version 3 with error correction level H, 29 modules wide, so that a
// square of 20 mm has modules of 0.69 mm: four pixels at 150 dpi. Almost a third of it may be lost under a pen.
package code

import (
	"crypto/sha256"
	"encoding/base32"
	"encoding/hex"
	"errors"
	"strings"
	"sync"

	"rsc.io/qr/coding"
)

// Page says which page of which paper it is.
type Page struct {
	Document string // document id: 32 hexadecimal digits, as printed on the page
	Number   int    // from 1
	Of       int    // pages of the paper, 1023 at most
}

// ErrPage says that a page cannot be written as a code.
var ErrPage = errors.New("code: no page that a code can name")

// What a code says: a sign for this scheme, then in digits of base 32 the document id (26), the page and the
// pages (2 each) and the check value (4). That is 35 signs of the alphanumeric mode (ISO/IEC 18004, 7.4.4), as
// many as the symbol holds.
const (
	scheme = "P"
	// letters are the digits of base 32, without I, L, O and U.
	letters = "0123456789ABCDEFGHJKMNPQRSTVWXYZ"

	idSigns   = 26
	saidSigns = len(scheme) + idSigns + 2 + 2
	textSigns = saidSigns + 4

	mostPages = 1<<10 - 1
)

var base = base32.NewEncoding(letters).WithPadding(base32.NoPadding)

// Text is what the code says.
func (p Page) Text() (string, error) {
	id, err := hex.DecodeString(p.Document)
	if err != nil || len(id) != 16 || p.Document != strings.ToLower(p.Document) ||
		p.Number < 1 || p.Number > p.Of || p.Of > mostPages {
		return "", ErrPage
	}
	said := scheme + base.EncodeToString(id) + pair(p.Number) + pair(p.Of)
	return said + check(said), nil
}

// pair writes a number in two digits.
func pair(n int) string { return string([]byte{letters[n>>5&31], letters[n&31]}) }

func unpair(s string) int {
	high, low := strings.IndexByte(letters, s[0]), strings.IndexByte(letters, s[1])
	if high < 0 || low < 0 {
		return -1
	}
	return high<<5 | low
}

// check is the first twenty bits of the SHA-256 of what was said. A symbol corrects its own errors; this keeps
// out what was corrected into something else, and codes of other makers.
func check(said string) string {
	sum := sha256.Sum256([]byte(said))
	n := int(sum[0])<<12 | int(sum[1])<<4 | int(sum[2])>>4
	return pair(n>>10) + pair(n&1023)
}

// Parse reads what a code says; ok is false for every other code.
func Parse(text string) (p Page, ok bool) {
	if len(text) != textSigns {
		return Page{}, false
	}
	id, err := base.DecodeString(text[len(scheme):][:idSigns])
	if err != nil {
		return Page{}, false
	}
	p = Page{Document: hex.EncodeToString(id), Number: unpair(text[saidSigns-4:]), Of: unpair(text[saidSigns-2:])}
	if again, err := p.Text(); err != nil || again != text {
		return Page{}, false
	}
	return p, true
}

// Matrix is a symbol without its quiet zone, which is four modules wide.
type Matrix struct {
	Size int // modules on a side
	dark []byte
}

// Dark says whether the module in column x and row y is dark.
func (m Matrix) Dark(x, y int) bool { return m.dark[y*m.Size+x] != 0 }

// Symbol draws the page's code. Equal pages give equal symbols.
func (p Page) Symbol() (Matrix, error) {
	text, err := p.Text()
	if err != nil {
		return Matrix{}, err
	}
	layout, err := plan()
	if err != nil {
		return Matrix{}, err
	}
	drawn, err := layout.Encode(coding.Alpha(text))
	if err != nil {
		return Matrix{}, err
	}
	m := Matrix{Size: drawn.Size, dark: make([]byte, drawn.Size*drawn.Size)}
	for y := range m.Size {
		for x := range m.Size {
			if drawn.Black(x, y) {
				m.dark[y*m.Size+x] = 1
			}
		}
	}
	return m, nil
}

// Size is how many modules a symbol has on a side.
const Size = 29

// plan is the layout of the symbol; making it costs more than filling it.
var plan = sync.OnceValues(func() (*coding.Plan, error) { return coding.NewPlan(3, coding.H, 0) })

// Rect is a rectangle of dark modules.
type Rect struct{ X, Y, Width, Height uint8 }

// Rects are the dark modules as rectangles that do not overlap: runs of a row, and one rectangle where a run
// stands unchanged in rows one below the other. They are in the order of their last rows.
func (m Matrix) Rects() []Rect {
	done := make([]Rect, 0, m.Size*8)
	open, next := make([]Rect, 0, m.Size), make([]Rect, 0, m.Size)
	for y := range m.Size + 1 {
		next = next[:0]
		if y < m.Size {
			next = m.runs(next, y)
		}
		i := 0
		for _, r := range open {
			for i < len(next) && next[i].X < r.X {
				i++
			}
			if i < len(next) && next[i].X == r.X && next[i].Width == r.Width {
				next[i].Y, next[i].Height = r.Y, r.Height+1
				continue
			}
			done = append(done, r)
		}
		open, next = next, open
	}
	return done
}

// runs appends the runs of a row, from left to right.
func (m Matrix) runs(to []Rect, y int) []Rect {
	row := m.dark[y*m.Size : (y+1)*m.Size]
	for x := 0; x < m.Size; x++ {
		from := x
		for x < m.Size && row[x] != 0 {
			x++
		}
		if x > from {
			to = append(to, Rect{X: uint8(from), Y: uint8(y), Width: uint8(x - from), Height: 1})
		}
	}
	return to
}
