package text

import (
	"math"
	"unicode"

	"github.com/go-text/typesetting/font"
	"golang.org/x/text/encoding"
	jp "golang.org/x/text/encoding/japanese"
	kr "golang.org/x/text/encoding/korean"
	"golang.org/x/text/encoding/simplifiedchinese"
	"golang.org/x/text/encoding/traditionalchinese"
)

// typed are the letters that somebody may type into a form: of a script, its block or blocks of Unicode; of Han, what
// the national standard for everyday text has (the whole of Unicode's Han is 10 MB).
var typed = [familyCount][][2]rune{
	latin: {{0x20, 0x24F}, {0x259, 0x259}, {0x2B9, 0x2BC}, {0x2C6, 0x2DD}, {0x300, 0x328}, {0x370, 0x45F}, {0x490, 0x491},
		{0x1E80, 0x1E9E}, {0x1EA0, 0x1EF9}, {0x2010, 0x203A}, {0x20AB, 0x20BF}, {0x2103, 0x2126}, {0x2190, 0x2193}, {0x2212, 0x2265}},
	arabic:      {{0x60C, 0x6FF}},
	hebrew:      {{0x5B0, 0x5F4}},
	devanagari:  {{0x900, 0x97F}},
	bengali:     {{0x980, 0x9FE}},
	tamil:       {{0xB82, 0xBFA}},
	thai:        {{0xE01, 0xE5B}},
	simplified:  {{0x3000, 0x303F}, {0x4E00, 0x9FFF}, {0xFF01, 0xFF5E}},
	traditional: {{0x3000, 0x303F}, {0x4E00, 0x9FFF}, {0xFF01, 0xFF5E}},
	japanese:    {{0x3000, 0x30FF}, {0x4E00, 0x9FFF}, {0xFF01, 0xFF9F}},
	korean:      {{0x3000, 0x303F}, {0xAC00, 0xD7A3}, {0xFF01, 0xFF5E}},
}

// typedHan is the standard of each Han family, as the encoding that holds exactly its signs.
var typedHan = map[family]encoding.Encoding{
	simplified: simplifiedchinese.HZGB2312, traditional: traditionalchinese.Big5,
	japanese: jp.ShiftJIS, korean: kr.EUCKR,
}

// Typing is a font for what somebody types into a form in a language: a code for each letter of every script that is
// not Han, and in a language of Han those of its everyday standard. The letters stand alone and unjoined, for readers
// that set a field letter by letter. It is the same for every paper of the language.
func (e *Engine) Typing(lang string) *Font {
	home := familyOfLang(lang)
	if !home.han() {
		home = latin
	}
	e.mu.Lock()
	known := e.typing[home]
	e.mu.Unlock()
	if known != nil {
		return known
	}
	f := e.cutTyping(home)
	z := e.borrowDeflater()
	f.Deflated = z.deflate(f.Program, !home.han()) // a dense compressor takes a third of a second for Han
	e.giveBackDeflater(z)
	e.mu.Lock()
	defer e.mu.Unlock()
	e.typing[home] = f
	return f
}

// letter is a sign of a typing font: the rune and the glyph that a face has for it.
type letter struct {
	face *face
	r    rune
	gid  uint16
}

func (e *Engine) cutTyping(home family) *Font {
	var letters []letter
	for f := latin; !f.han(); f++ {
		if f != naskh { // it has the letters of arabic
			letters = append(letters, e.lettersOf(f)...)
		}
	}
	if home != latin {
		letters = append(letters, e.lettersOf(home)...)
	}
	first := e.face(latin.face(false))
	b := &builder{face: first}
	b.records, b.stats = make([][]byte, len(letters)+1), make([]stat, len(letters)+1)
	out := &Font{Widths: make([]int, len(letters)+1), Unicode: make([]string, len(letters)+1)}
	var metrics *font.Face
	for i, l := range letters {
		if b.made == nil || b.face != l.face {
			b.face, b.made, metrics = l.face, map[uint16]uint16{}, font.NewFace(l.face.font)
		}
		out.Widths[i+1] = int(math.Round(float64(metrics.HorizontalAdvance(font.GID(l.gid)))))
		out.Unicode[i+1] = string(l.r)
		if b.face.outline(l.gid) == "" {
			continue
		}
		if _, done := b.made[l.gid]; done {
			b.compose(i+1, []placed{{gid: l.gid}})
			continue
		}
		b.made[l.gid] = uint16(i + 1)
		b.copy(i+1, l.gid, 0)
	}
	b.face = first
	out.Program, out.BBox = b.assemble(out.Widths)
	out.Ascent, out.Descent, out.CapHeight = first.ascent, first.descent, first.capHeight
	out.Flags, out.StemV = descriptorFlags, 88
	out.Name = subsetTag(out) + "+" + first.name
	return out
}

// lettersOf are the letters of a family that somebody may type, in order.
func (e *Engine) lettersOf(f family) []letter {
	face, set := e.face(f.face(false)), typedHan[f]
	var out []letter
	for _, block := range typed[f] {
		for r := block[0]; r <= block[1]; r++ {
			if unicode.IsControl(r) || !face.has(r) {
				continue
			}
			if set != nil {
				if _, err := set.NewEncoder().String(string(r)); err != nil {
					continue
				}
			}
			gid, _ := face.font.NominalGlyph(r)
			out = append(out, letter{face, r, uint16(gid)})
		}
	}
	return out
}
