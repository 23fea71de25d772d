package conform

import (
	"encoding/binary"
	"sort"
	"strings"

	"philtrum/templates/pdf/read"
)

// fonts checks every font that shows text.
func (c *checker) fonts() {
	var refs []read.Ref
	for ref := range c.codes {
		refs = append(refs, ref)
	}
	sort.Slice(refs, func(i, j int) bool { return refs[i].Number < refs[j].Number })
	for _, ref := range refs {
		c.font(ref, c.codes[ref])
	}
}

func (c *checker) font(ref read.Ref, codes map[int]bool) {
	d := c.f.Dict(ref)
	where := "font " + itoa(ref.Number)
	descendants := c.f.Array(d["DescendantFonts"])
	if c.f.Name(d["Subtype"]) != "Type0" || c.f.Name(d["Encoding"]) != "Identity-H" || len(descendants) != 1 {
		c.fail(RuleFontKind, "%s", where)
		return
	}
	cid := c.f.Dict(descendants[0])
	if c.f.Name(cid["Subtype"]) != "CIDFontType2" || cid["CIDSystemInfo"] == nil || cid["BaseFont"] != d["BaseFont"] {
		c.fail(RuleFontKind, "%s", where)
	}
	if c.f.Name(cid["CIDToGIDMap"]) != "Identity" {
		c.fail(RuleCIDMap, "%s", where)
	}
	c.unicode(d, codes, where)
	descriptor := c.f.Dict(cid["FontDescriptor"])
	file, ok := c.f.Resolve(descriptor["FontFile2"]).(*read.Stream)
	if !ok {
		c.fail(RuleEmbedded, "%s", where)
		return
	}
	b, err := file.Data()
	advances, good := readAdvances(b)
	if length, ok := c.f.Int(file.Dict["Length1"]); err != nil || !good || !ok || length != len(b) {
		c.fail(RuleEmbedded, "%s", where)
		return
	}
	c.glyphs(cid, codes, advances, where)
	if c.part == "1" {
		c.cidSet(descriptor, codes, where)
	}
}

// glyphs compares the codes shown with the glyphs and advances of the program.
func (c *checker) glyphs(cid read.Dict, codes map[int]bool, advances []float64, where string) {
	widths := c.widths(cid)
	standard, ok := c.f.Number(cid["DW"])
	if !ok {
		standard = 1000
	}
	for code := range codes {
		if code == 0 {
			c.fail(RuleNotdef, "%s", where)
			continue
		}
		if code >= len(advances) {
			c.fail(RuleGlyph, "%s", where)
			continue
		}
		width, ok := widths[code]
		if !ok {
			width = standard
		}
		if diff := width - advances[code]; diff > 1 || diff < -1 {
			c.fail(RuleWidth, "%s", where)
		}
	}
}

// widths reads a W array (32000 9.7.4.3).
func (c *checker) widths(cid read.Dict) map[int]float64 {
	all := make(map[int]float64)
	w := c.f.Array(cid["W"])
	for i := 0; i+1 < len(w); {
		first, _ := c.f.Int(w[i])
		if list := c.f.Array(w[i+1]); list != nil {
			for n, o := range list {
				all[first+n], _ = c.f.Number(o)
			}
			i += 2
			continue
		}
		if i+2 >= len(w) {
			break
		}
		last, _ := c.f.Int(w[i+1])
		width, _ := c.f.Number(w[i+2])
		for code := first; code <= min(last, 0xFFFF); code++ {
			all[code] = width
		}
		i += 3
	}
	return all
}

// unicode wants a text for every code shown, without the values that stand for none.
func (c *checker) unicode(d read.Dict, codes map[int]bool, where string) {
	var texts map[int]string
	if s, ok := c.f.Resolve(d["ToUnicode"]).(*read.Stream); ok {
		if b, err := s.Data(); err == nil {
			texts, _ = read.UnicodeMap(b)
		}
	}
	for code := range codes {
		if s := texts[code]; s == "" || strings.ContainsAny(s, "\x00\uFEFF\uFFFE") {
			c.fail(RuleUnicode, "%s", where)
		}
	}
}

// cidSet wants a bit for every code shown.
func (c *checker) cidSet(descriptor read.Dict, codes map[int]bool, where string) {
	s, ok := c.f.Resolve(descriptor["CIDSet"]).(*read.Stream)
	var b []byte
	if ok {
		b, _ = s.Data()
	}
	for code := range codes {
		if code/8 >= len(b) || b[code/8]&(0x80>>(code%8)) == 0 {
			c.fail(RuleCIDSet, "%s", where)
			return
		}
	}
}

// readAdvances gives the advance of each glyph of a TrueType program in 1/1000 em.
func readAdvances(b []byte) ([]float64, bool) {
	head, hhea, maxp, hmtx := sfntTable(b, "head"), sfntTable(b, "hhea"), sfntTable(b, "maxp"), sfntTable(b, "hmtx")
	glyf, loca := sfntTable(b, "glyf"), sfntTable(b, "loca")
	if len(head) < 54 || len(hhea) < 36 || len(maxp) < 6 || glyf == nil || loca == nil {
		return nil, false
	}
	em := float64(binary.BigEndian.Uint16(head[18:]))
	glyphs := int(binary.BigEndian.Uint16(maxp[4:]))
	long := int(binary.BigEndian.Uint16(hhea[34:]))
	size := 2 * (glyphs + 1)
	if binary.BigEndian.Uint16(head[50:]) == 1 {
		size *= 2
	}
	if em == 0 || long == 0 || len(hmtx) < 4*long || len(loca) < size {
		return nil, false
	}
	advances := make([]float64, glyphs)
	for i := range advances {
		advances[i] = float64(binary.BigEndian.Uint16(hmtx[4*min(i, long-1):])) * 1000 / em
	}
	return advances, true
}

// sfntTable finds a table of a font program; nil without it.
func sfntTable(b []byte, name string) []byte {
	const head, entry = 12, 16
	if len(b) < head {
		return nil
	}
	for i := range int(binary.BigEndian.Uint16(b[4:])) {
		at := head + entry*i
		if at+entry > len(b) {
			return nil
		}
		if string(b[at:at+4]) != name {
			continue
		}
		offset, size := int(binary.BigEndian.Uint32(b[at+8:])), int(binary.BigEndian.Uint32(b[at+12:]))
		if offset > len(b) || size > len(b)-offset {
			return nil
		}
		return b[offset : offset+size : offset+size]
	}
	return nil
}
