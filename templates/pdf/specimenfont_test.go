package pdf_test

import (
	"encoding/binary"

	"philtrum/templates/text"
)

// firstLetter is the first printable ASCII letter, which has code 1.
const firstLetter, lastLetter = ' ', '~'

// specimenFont makes a font, without any shaping, whose code n shows the n-th printable ASCII letter as a box.
func specimenFont() text.Font {
	widths, unicode := []int{500}, []string{""}
	for r := rune(firstLetter); r <= lastLetter; r++ {
		widths = append(widths, 400+int(r)%7*50)
		unicode = append(unicode, string(r))
	}
	// A ligature and a letter beyond the basic plane, as clusters have them.
	widths, unicode = append(widths, 700, 900), append(unicode, "ffi", "\U00020BB7")
	return text.Font{
		Name: "ABCDEF+SpecimenBoxes", Program: boxProgram(widths), Widths: widths, Unicode: unicode,
		Ascent: 800, Descent: -200, CapHeight: 700, BBox: [4]int{0, 0, 1000, 700}, StemV: 80, Flags: 4,
	}
}

// codesOf gives the codes of an ASCII text.
func codesOf(s string) []uint16 {
	codes := make([]uint16, 0, len(s))
	for _, r := range s {
		codes = append(codes, uint16(r-firstLetter+1))
	}
	return codes
}

// boxProgram makes the tables that an embedded font needs (ISO/IEC 14496-22).
func boxProgram(widths []int) []byte {
	var glyf, loca, hmtx []byte
	for i, w := range widths {
		loca = binary.BigEndian.AppendUint32(loca, uint32(len(glyf)))
		if i > 1 { // neither .notdef nor the space has an outline
			glyf = append(glyf, boxGlyph(w)...)
		}
		hmtx = binary.BigEndian.AppendUint16(hmtx, uint16(w))
		bearing := 50
		if i <= 1 {
			bearing = 0
		}
		hmtx = binary.BigEndian.AppendUint16(hmtx, uint16(bearing))
	}
	loca = binary.BigEndian.AppendUint32(loca, uint32(len(glyf)))
	return sfntFile([]fontTable{
		{"glyf", glyf}, {"head", headTable()}, {"hhea", hheaTable(len(widths))},
		{"hmtx", hmtx}, {"loca", loca}, {"maxp", maxpTable(len(widths))},
	})
}

// boxGlyph is a simple glyph: a rectangle with a margin of 50 units.
func boxGlyph(width int) []byte {
	w := uint16(width - 100)
	b := be16(1, 50, 0, 50+w, 700, 3, 0)
	b = append(b, 1, 1, 1, 1) // points on the curve, long deltas
	b = append(b, be16(50, 0, w, 0)...)
	b = append(b, be16(0, 700, 0, 0x10000-700)...)
	for len(b)%4 != 0 {
		b = append(b, 0)
	}
	return b
}

func headTable() []byte {
	b := be16(1, 0, 1, 0, 0, 0)             // version, revision, check sum adjustment
	b = append(b, 0x5F, 0x0F, 0x3C, 0xF5)   // magic number
	b = append(b, be16(0, 1000)...)         // flags, units per em
	b = append(b, make([]byte, 16)...)      // dates
	b = append(b, be16(0, 0, 1000, 700)...) // bounding box
	return append(b, be16(0, 8, 2, 1, 0)...)
}

func hheaTable(glyphs int) []byte {
	b := be16(1, 0, 800, 0x10000-200, 0, 1000, 0, 0, 1000, 1, 0, 0)
	b = append(b, make([]byte, 8)...)
	return append(b, be16(0, glyphs)...)
}

func maxpTable(glyphs int) []byte {
	return be16(1, 0, glyphs, 4, 1, 0, 0, 1, 0, 0, 0, 0, 0, 0, 0, 0)
}

func be16[T uint16 | int](values ...T) []byte {
	var b []byte
	for _, v := range values {
		b = binary.BigEndian.AppendUint16(b, uint16(v))
	}
	return b
}

type fontTable struct {
	name string
	data []byte
}

func sfntFile(tables []fontTable) []byte {
	b := []byte{0, 1, 0, 0}
	b = append(b, be16(len(tables), 64, 2, len(tables)*16-64)...)
	offset := len(b) + 16*len(tables)
	var data []byte
	for _, t := range tables {
		b = append(b, t.name...)
		b = binary.BigEndian.AppendUint32(b, checkSum(t.data))
		b = binary.BigEndian.AppendUint32(b, uint32(offset+len(data)))
		b = binary.BigEndian.AppendUint32(b, uint32(len(t.data)))
		data = append(data, t.data...)
		for len(data)%4 != 0 {
			data = append(data, 0)
		}
	}
	return append(b, data...)
}

func checkSum(data []byte) uint32 {
	var total uint32
	for i := 0; i < len(data); i += 4 {
		var word [4]byte
		copy(word[:], data[i:])
		total += binary.BigEndian.Uint32(word[:])
	}
	return total
}
