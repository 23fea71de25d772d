package text

import (
	"encoding/binary"
	"errors"
	"fmt"
	"io"

	"github.com/go-text/typesetting/font"
	"github.com/go-text/typesetting/font/opentype"
)

// face is a parsed font file: what shaping needs through font, outlines straight from the file's bytes.
// It never changes after loading.
type face struct {
	id   faceID
	name string
	font *font.Font

	glyf, loca string
	longLoca   bool
	glyphs     int

	ascent, descent, capHeight int // 1/1000 em; descent negative
	above, below               int // what lines keep free for the face; both positive
}

// everyday replaces the ascent and descent that lines keep free for a family, where the file's leave room
// for stacked signs that no paper has (Koranic annotation). Measured on vocalised text, with some air.
var everyday = map[family][2]int{arabic: {1120, 450}}

// unread are tables that shaping does without. Hiding them from the parser saves nearly all of the time
// that a Han font takes to load; outlines are cut from the file instead.
var unread = map[string]bool{
	"glyf": true, "loca": true, "post": true, "name": true, "vhea": true, "vmtx": true, "VORG": true,
	"STAT": true, "DSIG": true,
}

const (
	directoryStart = 12 // bytes before the table directory
	entrySize      = 16
)

// loadFace parses a font file and refuses what a cluster font cannot be cut from: outlines other than
// TrueType, variable fonts, and ems that are not 1000 units (composite offsets are whole units).
func loadFace(id faceID, name, data string) (*face, error) {
	tables, err := directory(data)
	if err != nil {
		return nil, fmt.Errorf("font %s: %w", name, err)
	}
	if err := refuse(tables); err != nil {
		return nil, fmt.Errorf("font %s: %w", name, err)
	}
	loader, err := opentype.NewLoader(masked(data, len(tables)))
	if err != nil {
		return nil, fmt.Errorf("font %s: %w", name, err)
	}
	parsed, err := font.NewFont(loader)
	if err != nil {
		return nil, fmt.Errorf("font %s: %w", name, err)
	}
	f := &face{id: id, name: name, font: parsed, glyf: tables["glyf"], loca: tables["loca"]}
	f.longLoca = be16(tables["head"], 50) == 1
	f.glyphs = int(be16(tables["maxp"], 4))
	f.ascent = int(int16(be16(tables["hhea"], 4)))
	f.descent = int(int16(be16(tables["hhea"], 6)))
	f.capHeight = int(int16(be16(tables["OS/2"], 88)))
	f.above, f.below = f.ascent, -f.descent
	if e, ok := everyday[id.family()]; ok {
		f.above, f.below = e[0], e[1]
	}
	return f, nil
}

// refuse checks that the tables are those of a static TrueType font with 1000 units to the em.
func refuse(tables map[string]string) error {
	for _, bad := range []struct{ tag, means string }{
		{"CFF ", "outlines are CFF, not TrueType"}, {"CFF2", "outlines are CFF2, not TrueType"}, {"fvar", "the font is variable"},
	} {
		if _, ok := tables[bad.tag]; ok {
			return errors.New(bad.means)
		}
	}
	for _, need := range []struct {
		tag   string
		bytes int
	}{{"head", 54}, {"hhea", 36}, {"maxp", 6}, {"OS/2", 90}, {"glyf", 0}, {"loca", 4}} {
		if t, ok := tables[need.tag]; !ok || len(t) < need.bytes {
			return fmt.Errorf("table %q is missing or short", need.tag)
		}
	}
	if upem := be16(tables["head"], 18); upem != 1000 {
		return fmt.Errorf("%d units to the em, not 1000", upem)
	}
	entry := 2
	if be16(tables["head"], 50) == 1 {
		entry = 4
	}
	if need := (int(be16(tables["maxp"], 4)) + 1) * entry; len(tables["loca"]) < need {
		return errors.New("table \"loca\" is short")
	}
	return nil
}

// directory maps the tables of a font file by tag.
func directory(data string) (map[string]string, error) {
	if len(data) < directoryStart || (data[:4] != "\x00\x01\x00\x00" && data[:4] != "OTTO") {
		return nil, errors.New("not a single OpenType font")
	}
	count := int(be16(data, 4))
	if len(data) < directoryStart+count*entrySize {
		return nil, errors.New("table directory is cut short")
	}
	tables := make(map[string]string, count)
	for i := range count {
		entry := data[directoryStart+i*entrySize:]
		start, size := uint64(be32(entry, 8)), uint64(be32(entry, 12))
		if start+size > uint64(len(data)) {
			return nil, fmt.Errorf("table %q lies outside the file", entry[:4])
		}
		tables[entry[:4]] = data[start : start+size]
	}
	return tables, nil
}

// overlay reads a file whose first bytes are replaced.
type overlay struct {
	head []byte
	data string
}

func (o overlay) ReadAt(p []byte, off int64) (int, error) {
	if off < 0 || off >= int64(len(o.data)) {
		return 0, io.EOF
	}
	n := copy(p, o.data[off:])
	if off < int64(len(o.head)) {
		copy(p, o.head[off:])
	}
	if n < len(p) {
		return n, io.EOF
	}
	return n, nil
}

// masked is the file with the tags of the unread tables changed in its directory.
func masked(data string, tables int) *io.SectionReader {
	head := []byte(data[:directoryStart+tables*entrySize])
	for i := range tables {
		entry := head[directoryStart+i*entrySize:]
		if unread[string(entry[:4])] {
			entry[0] = '!' // a tag that no table has; it keeps the directory's length
		}
	}
	return io.NewSectionReader(overlay{head, data}, 0, int64(len(data)))
}

// outline is the glyph's record in the file; empty for a glyph without ink.
func (f *face) outline(gid uint16) string {
	if int(gid) >= f.glyphs {
		return ""
	}
	var start, end uint32
	if f.longLoca {
		start, end = be32(f.loca, int(gid)*4), be32(f.loca, int(gid)*4+4)
	} else {
		start, end = uint32(be16(f.loca, int(gid)*2))*2, uint32(be16(f.loca, int(gid)*2+2))*2
	}
	if start >= end || uint64(end) > uint64(len(f.glyf)) || end-start < glyphHeader {
		return ""
	}
	return f.glyf[start:end]
}

func (f *face) has(r rune) bool {
	gid, ok := f.font.NominalGlyph(r)
	return ok && gid != 0
}

func be16(s string, at int) uint16 { return uint16(s[at])<<8 | uint16(s[at+1]) }

func be32(s string, at int) uint32 { return uint32(be16(s, at))<<16 | uint32(be16(s, at+2)) }

func put16(b []byte, v uint16) []byte { return binary.BigEndian.AppendUint16(b, v) }

func put32(b []byte, v uint32) []byte { return binary.BigEndian.AppendUint32(b, v) }
