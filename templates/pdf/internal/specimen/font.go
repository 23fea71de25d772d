// Package specimen makes a small paper with every kind of content, for the tests of the packages that
// write and check files. It stands on no shaping: its font has one box for each printable ASCII letter.
package specimen

import (
	"encoding/binary"

	"philtrum/templates/text"
)

// first is the first printable ASCII letter, which has code 1.
const first, last = ' ', '~'

// Font makes a font whose code n shows the n-th printable ASCII letter as a box.
func Font() text.Font {
	widths, unicode := []int{500}, []string{""}
	for r := first; r <= last; r++ {
		widths = append(widths, 400+int(r)%7*50)
		unicode = append(unicode, string(r))
	}
	// A ligature and a letter beyond the basic plane, as clusters have them.
	widths, unicode = append(widths, 700, 900), append(unicode, "ffi", "\U00020BB7")
	return text.Font{
		Name: "ABCDEF+SpecimenBoxes", Program: program(widths), Widths: widths, Unicode: unicode,
		Ascent: 800, Descent: -200, CapHeight: 700, BBox: [4]int{0, 0, 1000, 700}, StemV: 80, Flags: 4,
	}
}

// Codes gives the codes of an ASCII text.
func Codes(s string) []uint16 {
	codes := make([]uint16, 0, len(s))
	for _, r := range s {
		codes = append(codes, uint16(r-first+1))
	}
	return codes
}

// program makes the tables that an embedded font needs (ISO/IEC 14496-22).
func program(widths []int) []byte {
	var glyf, loca, hmtx []byte
	for i, w := range widths {
		loca = binary.BigEndian.AppendUint32(loca, uint32(len(glyf)))
		if i > 1 { // neither .notdef nor the space has an outline
			glyf = append(glyf, box(w)...)
		}
		hmtx = binary.BigEndian.AppendUint16(hmtx, uint16(w))
		bearing := 50
		if i <= 1 {
			bearing = 0
		}
		hmtx = binary.BigEndian.AppendUint16(hmtx, uint16(bearing))
	}
	loca = binary.BigEndian.AppendUint32(loca, uint32(len(glyf)))
	return sfnt([]table{
		{"glyf", glyf}, {"head", head()}, {"hhea", hhea(len(widths))},
		{"hmtx", hmtx}, {"loca", loca}, {"maxp", maxp(len(widths))},
	})
}

// box is a simple glyph: a rectangle with a margin of 50 units.
func box(width int) []byte {
	w := uint16(width - 100)
	b := words(1, 50, 0, 50+w, 700, 3, 0)
	b = append(b, 1, 1, 1, 1) // points on the curve, long deltas
	b = append(b, words(50, 0, w, 0)...)
	b = append(b, words(0, 700, 0, 0x10000-700)...)
	for len(b)%4 != 0 {
		b = append(b, 0)
	}
	return b
}

func head() []byte {
	b := words(1, 0, 1, 0, 0, 0)             // version, revision, check sum adjustment
	b = append(b, 0x5F, 0x0F, 0x3C, 0xF5)    // magic number
	b = append(b, words(0, 1000)...)         // flags, units per em
	b = append(b, make([]byte, 16)...)       // dates
	b = append(b, words(0, 0, 1000, 700)...) // bounding box
	return append(b, words(0, 8, 2, 1, 0)...)
}

func hhea(glyphs int) []byte {
	b := words(1, 0, 800, 0x10000-200, 0, 1000, 0, 0, 1000, 1, 0, 0)
	b = append(b, make([]byte, 8)...)
	return append(b, words(0, glyphs)...)
}

func maxp(glyphs int) []byte {
	return words(1, 0, glyphs, 4, 1, 0, 0, 1, 0, 0, 0, 0, 0, 0, 0, 0)
}

func words[T uint16 | int](values ...T) []byte {
	var b []byte
	for _, v := range values {
		b = binary.BigEndian.AppendUint16(b, uint16(v))
	}
	return b
}

type table struct {
	name string
	data []byte
}

func sfnt(tables []table) []byte {
	b := []byte{0, 1, 0, 0}
	b = append(b, words(len(tables), 64, 2, len(tables)*16-64)...)
	offset := len(b) + 16*len(tables)
	var data []byte
	for _, t := range tables {
		b = append(b, t.name...)
		b = binary.BigEndian.AppendUint32(b, sum(t.data))
		b = binary.BigEndian.AppendUint32(b, uint32(offset+len(data)))
		b = binary.BigEndian.AppendUint32(b, uint32(len(t.data)))
		data = append(data, t.data...)
		for len(data)%4 != 0 {
			data = append(data, 0)
		}
	}
	return append(b, data...)
}

func sum(data []byte) uint32 {
	var total uint32
	for i := 0; i < len(data); i += 4 {
		var word [4]byte
		copy(word[:], data[i:])
		total += binary.BigEndian.Uint32(word[:])
	}
	return total
}
