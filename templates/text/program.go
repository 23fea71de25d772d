package text

import (
	"crypto/sha256"
	"encoding/binary"
)

// Sizes and flags of TrueType glyph records (OpenType 1.9, table glyf).
const (
	glyphHeader     = 10
	argsAreWords    = 0x0001
	argsAreXY       = 0x0002
	haveScale       = 0x0008
	moreComponents  = 0x0020
	haveXYScale     = 0x0040
	haveTwoByTwo    = 0x0080
	haveProgram     = 0x0100
	useMyMetrics    = 0x0200
	maxNesting      = 8
	maxFontGlyphs   = 65535
	descriptorFlags = 4 // symbolic: the codes are the font's own
)

// builder cuts a cluster font: glyph i shows cluster i-1, and outlines that several share follow.
type builder struct {
	face    *face
	records [][]byte
	stats   []stat
	made    map[uint16]uint16 // glyph of the face -> glyph here that shows exactly its outline
}

// stat is what table maxp asks of a glyph.
type stat struct{ points, contours, depth, components int }

// cutFont makes the font of clusters in code order (code 1 is the first).
func cutFont(f *face, clusters []*cluster) *Font {
	b := &builder{face: f, made: map[uint16]uint16{}}
	b.records = make([][]byte, len(clusters)+1, len(clusters)*2+1)
	b.stats = make([]stat, len(clusters)+1, len(clusters)*2+1)
	out := &Font{Widths: make([]int, len(clusters)+1), Unicode: make([]string, len(clusters)+1)}
	for i, c := range clusters { // outlines that stand alone first, so that others can refer to them
		out.Widths[i+1], out.Unicode[i+1] = int(c.advance), c.text
		if ink := b.ink(c); len(ink) == 1 && ink[0].x == 0 && ink[0].y == 0 {
			if _, done := b.made[ink[0].gid]; !done {
				b.made[ink[0].gid] = uint16(i + 1)
				b.copy(i+1, ink[0].gid, 0)
			}
		}
	}
	for i, c := range clusters {
		if b.records[i+1] == nil {
			if ink := b.ink(c); len(ink) > 0 {
				b.compose(i+1, ink)
			}
		}
	}
	out.Program, out.BBox = b.assemble(out.Widths)
	out.Ascent, out.Descent, out.CapHeight = f.ascent, f.descent, f.capHeight
	out.Flags, out.StemV = descriptorFlags, 88
	if f.id.bold() {
		out.StemV = 166
	}
	out.Name = subsetTag(out) + "+" + f.name
	return out
}

// ink are the glyphs of the cluster that have an outline.
func (b *builder) ink(c *cluster) []placed {
	for i, g := range c.glyphs {
		if b.face.outline(g.gid) == "" {
			some := append([]placed(nil), c.glyphs[:i]...)
			for _, g := range c.glyphs[i+1:] {
				if b.face.outline(g.gid) != "" {
					some = append(some, g)
				}
			}
			return some
		}
	}
	return c.glyphs
}

// glyph gives the glyph here that shows a glyph of the face, adding it if there is none.
func (b *builder) glyph(gid uint16, nesting int) (uint16, bool) {
	if at, ok := b.made[gid]; ok {
		return at, true
	}
	if b.face.outline(gid) == "" || nesting > maxNesting || len(b.records) > maxFontGlyphs {
		return 0, false
	}
	at := len(b.records)
	b.records = append(b.records, nil)
	b.stats = append(b.stats, stat{})
	b.made[gid] = uint16(at)
	b.copy(at, gid, nesting)
	return uint16(at), true
}

// copy writes the outline of a glyph of the face without its hinting program.
func (b *builder) copy(at int, gid uint16, nesting int) {
	record := b.face.outline(gid)
	if int16(be16(record, 0)) < 0 {
		b.records[at], b.stats[at] = b.copyComposite(record, nesting)
	} else {
		b.records[at], b.stats[at] = copySimple(record)
	}
}

// copySimple leaves out the instructions of a simple glyph. A record that is cut short becomes empty.
func copySimple(record string) ([]byte, stat) {
	contours := int(be16(record, 0))
	ends := glyphHeader + contours*2
	if contours == 0 || len(record) < ends+2 {
		return []byte{}, stat{}
	}
	body, points := ends+2+int(be16(record, ends)), int(be16(record, ends-2))+1
	end := simpleEnd(record, body, points)
	if end > len(record) {
		return []byte{}, stat{}
	}
	out := make([]byte, 0, ends+2+end-body)
	out = append(out, record[:ends]...)
	out = append(out, 0, 0)
	out = append(out, record[body:end]...)
	return out, stat{points: points, contours: contours}
}

// simpleEnd finds where the flags and coordinates of a simple glyph end; files pad records behind that.
func simpleEnd(record string, at, points int) int {
	const xShort, yShort, repeated, xSame, ySame = 1 << 1, 1 << 2, 1 << 3, 1 << 4, 1 << 5
	coordinates := 0
	for points > 0 && at < len(record) {
		flag, times := record[at], 1
		if at++; flag&repeated != 0 && at < len(record) {
			times += int(record[at])
			at++
		}
		times = min(times, points)
		points -= times
		switch {
		case flag&xShort != 0:
			coordinates += times
		case flag&xSame == 0:
			coordinates += 2 * times
		}
		switch {
		case flag&yShort != 0:
			coordinates += times
		case flag&ySame == 0:
			coordinates += 2 * times
		}
	}
	return at + points + coordinates
}

// copyComposite renumbers the components of a composite glyph of the face.
func (b *builder) copyComposite(record string, nesting int) ([]byte, stat) {
	out, sum := append([]byte(nil), record[:glyphHeader]...), stat{}
	for at := glyphHeader; ; {
		if at+4 > len(record) {
			return []byte{}, stat{}
		}
		flags := be16(record, at)
		size := componentSize(flags)
		if at+size > len(record) {
			return []byte{}, stat{}
		}
		gid, ok := b.glyph(be16(record, at+2), nesting+1)
		if !ok {
			gid = 0 // a component without ink: .notdef is empty here
		}
		out = put16(out, flags&^(haveProgram|useMyMetrics))
		out = put16(out, gid)
		out = append(out, record[at+4:at+size]...)
		sum.add(b.stats[gid])
		at += size
		if flags&moreComponents == 0 {
			return out, sum
		}
	}
}

func componentSize(flags uint16) int {
	size := 6
	if flags&argsAreWords != 0 {
		size += 2
	}
	switch {
	case flags&haveScale != 0:
		size += 2
	case flags&haveXYScale != 0:
		size += 4
	case flags&haveTwoByTwo != 0:
		size += 8
	}
	return size
}

func (s *stat) add(part stat) {
	s.points += part.points
	s.contours += part.contours
	s.depth = max(s.depth, part.depth+1)
	s.components++
}

// compose writes a composite glyph that places ink where shaping put it.
func (b *builder) compose(at int, ink []placed) {
	var box bounds
	parts := make([]placed, 0, len(ink))
	for _, g := range ink {
		if gid, ok := b.glyph(g.gid, 0); ok {
			box.grow(b.face.outline(g.gid), g)
			parts = append(parts, placed{gid, g.x, g.y})
		}
	}
	out := put16(nil, 0xFFFF)
	for _, v := range box.array() {
		out = put16(out, uint16(int16(v)))
	}
	var sum stat
	for i, g := range parts {
		flags := uint16(argsAreXY)
		small := g.x >= -128 && g.x <= 127 && g.y >= -128 && g.y <= 127
		if !small {
			flags |= argsAreWords
		}
		if i < len(parts)-1 {
			flags |= moreComponents
		}
		out = put16(put16(out, flags), g.gid)
		if small {
			out = append(out, byte(int8(g.x)), byte(int8(g.y)))
		} else {
			out = put16(put16(out, uint16(g.x)), uint16(g.y))
		}
		sum.add(b.stats[g.gid])
	}
	b.records[at], b.stats[at] = out, sum
}

// bounds is the union of boxes, in font units.
type bounds struct {
	set                    bool
	xMin, yMin, xMax, yMax int
}

// grow takes in the box of a glyph record that is moved to where g stands.
func (b *bounds) grow(record string, g placed) {
	x, y := int(g.x), int(g.y)
	xMin, yMin := int(int16(be16(record, 2)))+x, int(int16(be16(record, 4)))+y
	xMax, yMax := int(int16(be16(record, 6)))+x, int(int16(be16(record, 8)))+y
	if !b.set {
		*b = bounds{true, xMin, yMin, xMax, yMax}
		return
	}
	b.xMin, b.yMin = min(b.xMin, xMin), min(b.yMin, yMin)
	b.xMax, b.yMax = max(b.xMax, xMax), max(b.yMax, yMax)
}

func (b *bounds) array() [4]int { return [4]int{b.xMin, b.yMin, b.xMax, b.yMax} }

// subsetTag is six capitals that depend on the content of the font only.
func subsetTag(f *Font) string {
	h := sha256.New()
	h.Write(f.Program)
	for _, text := range f.Unicode {
		h.Write([]byte(text))
		h.Write([]byte{0})
	}
	n := binary.BigEndian.Uint64(h.Sum(nil))
	var tag [6]byte
	for i := range tag {
		tag[i] = 'A' + byte(n%26)
		n /= 26
	}
	return string(tag[:])
}
