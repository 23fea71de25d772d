package text

// assemble writes the font file: only the tables that a PDF reader needs for a font whose codes are its
// glyph ids. It also gives the box around all glyphs.
func (b *builder) assemble(widths []int) ([]byte, [4]int) {
	var (
		glyf   []byte
		loca   = put32(nil, 0)
		hmtx   []byte
		box    bounds
		widest int
	)
	for i, record := range b.records {
		var left uint16
		if len(record) >= glyphHeader {
			left = uint16(record[2])<<8 | uint16(record[3])
			box.grow(string(record[:glyphHeader]), placed{})
			glyf = append(glyf, record...)
			for len(glyf)%4 != 0 {
				glyf = append(glyf, 0)
			}
		}
		if i < len(widths) {
			hmtx = put16(hmtx, uint16(widths[i]))
			widest = max(widest, widths[i])
		}
		hmtx = put16(hmtx, left)
		loca = put32(loca, uint32(len(glyf)))
	}
	if len(glyf) == 0 {
		glyf = make([]byte, 4) // a font of spaces only; an empty table offends some readers
	}
	tables := []table{
		{"glyf", glyf},
		{"head", headTable(box.array())},
		{"hhea", b.hheaTable(len(widths), widest, box)},
		{"hmtx", hmtx},
		{"loca", loca},
		{"maxp", b.maxpTable()},
	}
	return writeFile(tables), box.array()
}

type table struct {
	tag  string
	data []byte
}

const (
	headAdjustment = 8 // offset of checkSumAdjustment in table head
	checksumMagic  = 0xB1B0AFBA
)

// headTable has fixed dates, so that the same glyphs give the same bytes. Flags 0 and 1: the baseline and
// the left side bearing are at zero.
func headTable(box [4]int) []byte {
	t := put32(nil, 0x00010000)  // version
	t = put32(t, 0x00010000)     // revision
	t = put32(t, 0)              // adjustment, filled in by writeFile
	t = put32(t, 0x5F0F3CF5)     // magic number
	t = put16(put16(t, 3), 1000) // flags, units to the em
	t = append(t, make([]byte, 16)...)
	for _, v := range box {
		t = put16(t, uint16(int16(v)))
	}
	t = put16(put16(t, 0), 3)              // style, least readable size
	return put16(put16(put16(t, 2), 1), 0) // direction hint, long loca, glyph format
}

func (b *builder) hheaTable(metrics, widest int, box bounds) []byte {
	t := put32(nil, 0x00010000)
	t = put16(t, uint16(int16(b.face.ascent)))
	t = put16(t, uint16(int16(b.face.descent)))
	t = put16(put16(t, 0), uint16(widest))
	t = put16(t, uint16(int16(box.xMin)))
	t = put16(t, 0) // least right side bearing: not used by any reader
	t = put16(t, uint16(int16(box.xMax)))
	t = put16(put16(t, 1), 0) // upright caret
	t = append(t, make([]byte, 12)...)
	return put16(t, uint16(metrics))
}

func (b *builder) maxpTable() []byte {
	var simple, composite, parts stat
	for _, s := range b.stats {
		if s.depth == 0 {
			simple.points, simple.contours = max(simple.points, s.points), max(simple.contours, s.contours)
		} else {
			composite.points = max(composite.points, s.points)
			composite.contours = max(composite.contours, s.contours)
			parts.depth, parts.components = max(parts.depth, s.depth), max(parts.components, s.components)
		}
	}
	t := put32(nil, 0x00010000)
	for _, v := range []int{len(b.records), simple.points, simple.contours, composite.points,
		composite.contours, 1, 0, 0, 0, 0, 0, 0, parts.components, parts.depth} {
		t = put16(t, uint16(v))
	}
	return t
}

// writeFile puts tables, sorted by tag and each padded to four bytes, behind a directory.
func writeFile(tables []table) []byte {
	size := directoryStart + len(tables)*entrySize
	for _, t := range tables {
		size += (len(t.data) + 3) &^ 3
	}
	out := make([]byte, 0, size)
	out = put32(out, 0x00010000)
	out = put16(out, uint16(len(tables)))
	power, log := 1, 0
	for power*2 <= len(tables) {
		power, log = power*2, log+1
	}
	out = put16(put16(put16(out, uint16(power*16)), uint16(log)), uint16((len(tables)-power)*16))
	at, head := directoryStart+len(tables)*entrySize, 0
	for _, t := range tables {
		if t.tag == "head" {
			head = at
		}
		out = append(out, t.tag...)
		out = put32(put32(put32(out, checksum(t.data)), uint32(at)), uint32(len(t.data)))
		at += (len(t.data) + 3) &^ 3
	}
	for _, t := range tables {
		out = append(out, t.data...)
		for len(out)%4 != 0 {
			out = append(out, 0)
		}
	}
	put32(out[:head+headAdjustment], checksumMagic-checksum(out))
	return out
}

func checksum(data []byte) uint32 {
	var sum uint32
	for ; len(data) >= 4; data = data[4:] {
		sum += uint32(data[0])<<24 | uint32(data[1])<<16 | uint32(data[2])<<8 | uint32(data[3])
	}
	for i, c := range data {
		sum += uint32(c) << (24 - 8*i)
	}
	return sum
}
