// Package code makes the code that stands on every page of a paper: which paper it is, which page of how many,
// and a check value. Nothing in it tells of a person. Package code/read finds it again on a scan.
//
// The symbol is a QR code (ISO/IEC 18004) of version 3 with error correction level Q, 29 modules wide, so that a
// square of 20 mm has modules of 0.69 mm: four pixels at 150 dpi. A quarter of it may be lost under a pen.
package code

import (
	"crypto/sha256"
	"errors"
	"strconv"
	"strings"
	"sync"

	"rsc.io/qr/coding"
)

// Page says which page of which paper it is.
type Page struct {
	Document string // document id, as printed on the page; letters come back small
	Number   int    // from 1
	Of       int    // pages of the paper
}

// ErrPage says that a page cannot be written as a code.
var ErrPage = errors.New("code: no page that a code can name")

const (
	scheme    = "P1" // of what the code says; another content gets another number
	separator = ":"

	mostDocument = 32
	mostPages    = 999
)

// letters are those of the check value: 32 digits and letters without I, L, O and U.
const letters = "0123456789ABCDEFGHJKMNPQRSTVWXYZ"

// Text is what the code says: scheme, document id, page, pages and check value, with colons between them. It
// holds only signs of the alphanumeric mode (ISO/IEC 18004, 7.4.4).
func (p Page) Text() (string, error) {
	if !p.valid() {
		return "", ErrPage
	}
	said := strings.Join([]string{scheme, strings.ToUpper(p.Document), strconv.Itoa(p.Number), strconv.Itoa(p.Of)}, separator)
	return said + separator + check(said), nil
}

func (p Page) valid() bool {
	const signs = "0123456789abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ-"
	return p.Document != "" && len(p.Document) <= mostDocument && strings.Trim(p.Document, signs) == "" &&
		p.Number >= 1 && p.Number <= p.Of && p.Of <= mostPages
}

// check is the first twenty bits of the SHA-256 of what was said. A symbol corrects its own errors; this keeps
// out what was corrected into something else, and codes of other makers.
func check(said string) string {
	sum := sha256.Sum256([]byte(said))
	n := uint(sum[0])<<12 | uint(sum[1])<<4 | uint(sum[2])>>4
	return string([]byte{letters[n>>15], letters[n>>10&31], letters[n>>5&31], letters[n&31]})
}

// Parse reads what a code says; ok is false for every other code.
func Parse(text string) (p Page, ok bool) {
	said := strings.Split(text, separator)
	if len(said) != 5 || said[0] != scheme {
		return Page{}, false
	}
	number, err1 := strconv.Atoi(said[2])
	of, err2 := strconv.Atoi(said[3])
	p = Page{Document: strings.ToLower(said[1]), Number: number, Of: of}
	if err1 != nil || err2 != nil {
		return Page{}, false
	}
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
	made := plan
	if coding.Alpha(text).Bits(version) > version.DataBytes(coding.Q)*8 {
		made = densePlan // a paper of a hundred pages
	}
	layout, err := made()
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

const version coding.Version = 3

// The layouts of the two symbols in use; making one costs more than filling it.
var (
	plan      = sync.OnceValues(func() (*coding.Plan, error) { return coding.NewPlan(version, coding.Q, 0) })
	densePlan = sync.OnceValues(func() (*coding.Plan, error) { return coding.NewPlan(version, coding.M, 0) })
)

// Rect is a rectangle of dark modules.
type Rect struct{ X, Y, Width, Height int }

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
			to = append(to, Rect{X: from, Y: y, Width: x - from, Height: 1})
		}
	}
	return to
}
