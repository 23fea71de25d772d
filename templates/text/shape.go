package text

import (
	"encoding/binary"
	"unicode"

	"github.com/go-text/typesetting/font"
	"github.com/go-text/typesetting/harfbuzz"
	"github.com/go-text/typesetting/language"
)

// placed is a glyph of a cluster; x and y are the pen position plus its offset, in 1/1000 em.
type placed struct {
	gid  uint16
	x, y int16
}

// cluster is what one code of a cluster font shows: some glyphs, one advance, one text. Clusters are
// interned, so that equal ones are one pointer; id numbers them within an epoch and a face.
type cluster struct {
	id      uint32
	advance int32
	glyphs  []placed
	text    string
}

// word is a shaped piece of text without breaks: clusters in visual order.
type word struct {
	clusters []*cluster
	starts   []int32 // of each cluster: where its shaping cluster starts in the text, in bytes
	advance  int32
}

// shaping is what decides the shape of a text, besides the face.
type shaping struct {
	text   string
	lang   *lang
	script language.Script
	rtl    bool
	halved uint64 // a bit for each of the first runes: a full-width mark that takes half its width
}

// lang is a language as go-text wants it; one pointer for each tag of an epoch.
type lang struct{ shaping language.Language }

// shaper holds the state that go-text mutates while shaping, for one goroutine at a time.
type shaper struct {
	buffer *harfbuzz.Buffer
	fonts  [faceCount]*harfbuzz.Font
	runes  []rune
	bytes  []int32 // byte offset of each rune, and the end
	key    []byte
	wanted []harfbuzz.Feature
}

func newShaper() *shaper { return &shaper{buffer: harfbuzz.NewBuffer()} }

func (s *shaper) fontOf(f *face) *harfbuzz.Font {
	if s.fonts[f.id] == nil {
		h := harfbuzz.NewFont(font.NewFace(f.font))
		h.XScale, h.YScale = 1000, 1000
		s.fonts[f.id] = h
	}
	return s.fonts[f.id]
}

// shape makes a word; clusters come from table.
func (s *shaper) shape(f *face, in shaping, table *clusterTable) *word {
	s.runes, s.bytes = s.runes[:0], s.bytes[:0]
	for i, r := range in.text {
		s.runes = append(s.runes, r)
		s.bytes = append(s.bytes, int32(i))
	}
	s.bytes = append(s.bytes, int32(len(in.text)))
	b := s.buffer
	b.Clear()
	b.AddRunes(s.runes, 0, -1)
	b.Props.Direction = harfbuzz.LeftToRight
	if in.rtl {
		b.Props.Direction = harfbuzz.RightToLeft
	}
	b.Props.Script = in.script
	b.Props.Language = ""
	if in.lang != nil {
		b.Props.Language = in.lang.shaping
	}
	b.Shape(s.fontOf(f), s.halves(in.halved))
	return s.collect(in, table)
}

// collect groups the shaper's glyphs into clusters.
func (s *shaper) collect(in shaping, table *clusterTable) *word {
	info, w := s.buffer.Info, &word{}
	w.clusters = make([]*cluster, 0, len(info))
	w.starts = make([]int32, 0, len(info))
	before := len(s.runes) // start of the cluster to the left, for right-to-left text
	for i := 0; i < len(info); {
		start, j := info[i].Cluster, i+1
		for j < len(info) && info[j].Cluster == start {
			j++
		}
		end := len(s.runes)
		if in.rtl {
			end = before
		} else if j < len(info) {
			end = info[j].Cluster
		}
		before = start
		s.emit(w, in, start, end, i, j, table)
		i = j
	}
	return w
}

// emit appends the glyphs [i, j), which show the runes [start, end), as one code, or as several where a
// right-to-left ligature stands for several letters.
func (s *shaper) emit(w *word, in shaping, start, end, i, j int, table *clusterTable) {
	if invisible(s.runes[start:end]) {
		if s.runes[start] == nonJoiner { // part of the spelling in Persian: it stays in the text
			s.add(w, cluster{text: in.text[s.bytes[start]:s.bytes[end]]}, s.bytes[start], table)
		}
		return
	}
	c := cluster{text: in.text[s.bytes[start]:s.bytes[end]]}
	var room [8]placed
	c.glyphs = room[:0]
	for ; i < j; i++ {
		pos := &s.buffer.Pos[i]
		if gid := s.buffer.Info[i].Glyph; gid != 0 {
			c.glyphs = append(c.glyphs, placed{uint16(gid), int16(c.advance + pos.XOffset), int16(pos.YOffset)})
			c.advance += pos.XAdvance
		} else {
			c.advance += missingAdvance
		}
	}
	c.advance = max(c.advance, 0)
	w.advance += c.advance
	if !in.rtl || end-start == 1 {
		s.add(w, c, s.bytes[start], table)
		return
	}
	s.spell(w, in, c, start, end, table)
}

// spell gives each rune of a right-to-left cluster a code of its own: readers reverse codes, not the
// characters of one code. Letters share the advance, marks have none; the ink goes with the last letter,
// which stands leftmost.
func (s *shaper) spell(w *word, in shaping, c cluster, start, end int, table *clusterTable) {
	count := int32(max(letters(s.runes[start:end]), 1))
	share, inked := c.advance/count, false
	for k := end - 1; k >= start; k-- {
		part := cluster{text: in.text[s.bytes[k]:s.bytes[k+1]]}
		if unicode.IsLetter(s.runes[k]) || k == start && !inked {
			part.advance = share
			if !inked {
				inked = true
				part.glyphs, part.advance = c.glyphs, c.advance-share*(count-1)
			}
		}
		s.add(w, part, s.bytes[start], table)
	}
}

func (s *shaper) add(w *word, c cluster, start int32, table *clusterTable) {
	s.key = c.appendKey(s.key[:0])
	w.clusters = append(w.clusters, table.intern(s.key, c))
	w.starts = append(w.starts, start)
}

func (c *cluster) appendKey(key []byte) []byte {
	key = binary.LittleEndian.AppendUint32(key, uint32(c.advance))
	key = append(key, byte(len(c.glyphs)))
	for _, g := range c.glyphs {
		key = binary.LittleEndian.AppendUint16(key, g.gid)
		key = binary.LittleEndian.AppendUint16(key, uint16(g.x))
		key = binary.LittleEndian.AppendUint16(key, uint16(g.y))
	}
	return append(key, c.text...)
}

const nonJoiner = '\u200C'

// missingAdvance is the width kept free for a rune that no face has.
const missingAdvance = 600

func letters(runes []rune) int {
	n := 0
	for _, r := range runes {
		if unicode.IsLetter(r) {
			n++
		}
	}
	return n
}

// invisible says whether nothing of the runes is ever shown: joiners, marks of direction, selectors.
func invisible(runes []rune) bool {
	for _, r := range runes {
		if !ignorable(r) {
			return false
		}
	}
	return true
}

// ignorable is Unicode's Default_Ignorable_Code_Point, as far as it is assigned.
func ignorable(r rune) bool {
	switch {
	case r < 0xAD:
		return false
	case r == 0xAD, r == 0x034F, r == 0x061C, r == 0x115F, r == 0x1160, r == 0x17B4, r == 0x17B5,
		r == 0x3164, r == 0xFEFF, r == 0xFFA0:
		return true
	case r >= 0x180B && r <= 0x180F, r >= 0x200B && r <= 0x200F, r >= 0x202A && r <= 0x202E,
		r >= 0x2060 && r <= 0x206F, r >= 0xFE00 && r <= 0xFE0F, r >= 0xFFF0 && r <= 0xFFF8,
		r >= 0x1BCA0 && r <= 0x1BCA3, r >= 0x1D173 && r <= 0x1D17A, r >= 0xE0000 && r <= 0xE0FFF:
		return true
	}
	return false
}

// cut is the part of the word whose shaping clusters start in the bytes [from, to) of its text.
func (w *word) cut(from, to int32) *word {
	part := &word{}
	for i, c := range w.clusters {
		if at := w.starts[i]; at >= from && at < to {
			part.clusters = append(part.clusters, c)
			part.starts = append(part.starts, at)
			part.advance += c.advance
		}
	}
	return part
}
