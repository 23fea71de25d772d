package pdf

import (
	"fmt"
	"strconv"

	"philtrum/templates/text"
)

// writeFonts writes the fonts that pages use and gives the entries of the font resources.
func (f *finisher) writeFonts() ([]byte, error) {
	var resources []byte
	for i := range f.fonts {
		if !f.used[i] {
			continue
		}
		num, err := f.writeFont(&f.fonts[i])
		if err != nil {
			return nil, err
		}
		resources = append(resources, "/T"...)
		resources = strconv.AppendInt(resources, int64(i), 10)
		resources = appendRef(append(resources, ' '), num)
	}
	return resources, nil
}

// writeFont writes a composite font whose codes are its glyphs (ISO 32000-1, 9.7).
func (f *finisher) writeFont(t *text.Font) (int, error) {
	if len(t.Program) == 0 || len(t.Widths) != len(t.Unicode) {
		return 0, fmt.Errorf("pdf: font %s is incomplete", t.Name)
	}
	font, cid, descriptor := f.a.reserve(), f.a.reserve(), f.a.reserve()
	program, unicode := f.a.reserve(), f.a.reserve()
	dict := "/Length1 " + strconv.Itoa(len(t.Program))
	if len(t.Deflated) > 0 {
		f.a.stream(program, dict+"/Filter/FlateDecode", t.Deflated)
	} else if err := f.a.deflated(program, dict, t.Program); err != nil {
		return 0, err
	}
	if err := f.writeUnicode(unicode, t); err != nil {
		return 0, err
	}
	set := 0
	if f.info.Profile == PDFA1b {
		set = f.a.reserve()
		if err := f.a.deflated(set, "", glyphSet(len(t.Widths))); err != nil {
			return 0, err
		}
	}
	f.a.object(font, func(b []byte) []byte {
		b = append(b, "<</Type/Font/Subtype/Type0/Encoding/Identity-H/BaseFont"...)
		b = appendName(b, t.Name)
		b = appendRef(append(b, "/DescendantFonts["...), cid)
		b = appendRef(append(b, "]/ToUnicode "...), unicode)
		return append(b, ">>"...)
	})
	f.a.object(cid, func(b []byte) []byte {
		b = append(b, "<</Type/Font/Subtype/CIDFontType2/BaseFont"...)
		b = appendName(b, t.Name)
		b = append(b, "/CIDSystemInfo<</Registry(Adobe)/Ordering(Identity)/Supplement 0>>/CIDToGIDMap/Identity/FontDescriptor "...)
		b = appendRef(b, descriptor)
		return append(appendWidths(b, t.Widths), ">>"...)
	})
	f.a.object(descriptor, func(b []byte) []byte { return appendDescriptor(b, t, program, set) })
	return font, nil
}

func appendDescriptor(b []byte, t *text.Font, program, set int) []byte {
	b = append(b, "<</Type/FontDescriptor/FontName"...)
	b = appendName(b, t.Name)
	for _, e := range []struct {
		key   string
		value int
	}{
		{"/Flags ", t.Flags}, {"/ItalicAngle ", t.ItalicAngle}, {"/Ascent ", t.Ascent},
		{"/Descent ", t.Descent}, {"/CapHeight ", t.CapHeight}, {"/StemV ", t.StemV},
	} {
		b = strconv.AppendInt(append(b, e.key...), int64(e.value), 10)
	}
	b = append(b, "/FontBBox["...)
	for i, v := range t.BBox {
		if i > 0 {
			b = append(b, ' ')
		}
		b = strconv.AppendInt(b, int64(v), 10)
	}
	b = appendRef(append(b, "]/FontFile2 "...), program)
	if set != 0 {
		b = appendRef(append(b, "/CIDSet "...), set)
	}
	return append(b, ">>"...)
}

// appendWidths appends DW and W. Runs of four equal widths or more are written as a range, widths equal
// to the default are left out.
func appendWidths(b []byte, widths []int) []byte {
	const least = 4
	standard := 1000
	if len(widths) > 0 {
		standard = widths[0]
	}
	b = strconv.AppendInt(append(b, "/DW "...), int64(standard), 10)
	b = append(b, "/W["...)
	open := false // within the brackets of a list
	for i := 0; i < len(widths); {
		n := 1
		for i+n < len(widths) && widths[i+n] == widths[i] {
			n++
		}
		if n >= least || widths[i] == standard {
			if open {
				b = append(b, ']')
				open = false
			}
			if widths[i] != standard {
				b = strconv.AppendInt(append(b, ' '), int64(i), 10)
				b = strconv.AppendInt(append(b, ' '), int64(i+n-1), 10)
				b = strconv.AppendInt(append(b, ' '), int64(widths[i]), 10)
			}
			i += n
			continue
		}
		for ; n > 0; n-- {
			if open {
				b = append(b, ' ')
			} else {
				b = append(strconv.AppendInt(append(b, ' '), int64(i), 10), '[')
				open = true
			}
			b = strconv.AppendInt(b, int64(widths[i]), 10)
			i++
		}
	}
	if open {
		b = append(b, ']')
	}
	return append(b, ']')
}

// glyphSet is the CIDSet of a font with n glyphs, which part 1 of the standard asks for.
func glyphSet(n int) []byte {
	set := make([]byte, (n+7)/8)
	for i := range n {
		set[i/8] |= 0x80 >> (i % 8)
	}
	return set
}
