package text

import (
	"slices"
	"unicode"
	"unicode/utf8"

	"github.com/go-text/typesetting/language"
	"github.com/go-text/typesetting/segmenter"

	"philtrum/templates/layout"
)

// paragraph is a request's text made ready to break at any size and width: pieces in logical order.
// It never changes once made.
type paragraph struct {
	text    string // what the lines' texts are cut from
	pieces  []piece
	missing []lack
	soft    []int32 // byte offsets at which a soft hyphen stood
}

// lack is a rune without a glyph and the span that holds it.
type lack struct {
	r    rune
	span int
}

type pieceKind uint8

const (
	pieceText pieceKind = iota
	pieceSpace
	pieceBlank
)

// piece is text that is never broken unless a line cannot hold it: one face, one level, one span.
type piece struct {
	word       *word // nil for a blank
	start, end int32 // bytes of the paragraph's text
	span       int32
	face       faceID
	level      uint8
	kind       pieceKind
	breakAfter bool
	partsAfter bool // a line may end here if nothing else fits
	own        bool // of a value or a field: set from the document's own font

	// Of the first piece of a unit, which may not be broken, without a blank: the piece behind it, and
	// its advance without the spaces that end it.
	unitEnd, unitAdvance int32
}

// analyst holds the state for making paragraphs, used again from one to the next.
type analyst struct {
	text    []byte
	runes   []rune
	offset  []int32 // byte of each rune in text, and the end
	span    []int32
	scripts []language.Script
	family  []family
	levels  []uint8
	breaks  []bool // a line may end before this rune
	parts   []bool // the same, where no line holds more
	forced  []bool // a break mark stood before this rune
	soft    []int32
	missing []lack

	pieces   []piece
	outer    []rune
	outerAt  []int
	bidi     levels
	segments segmenter.Segmenter
}

// object stands for a blank or, in the text around it, for an isolated value.
const object = '\uFFFC'

// prepare analyses a request.
func (s *Setter) prepare(req *layout.Request) *paragraph {
	a := &s.bench.analyst
	a.clear()
	for i := range req.Spans {
		s.read(req, i)
	}
	a.offset = append(a.offset, int32(len(a.text)))
	a.forced = append(a.forced, false)
	s.chooseFamilies(req)
	a.resolveLevels(req)
	a.findBreaks(s, req)
	p := &paragraph{text: string(a.text)}
	p.missing = append(p.missing, a.missing...)
	p.soft = append(p.soft, a.soft...)
	s.cutPieces(req, p)
	return p
}

func (a *analyst) clear() {
	a.text, a.runes, a.offset, a.span = a.text[:0], a.runes[:0], a.offset[:0], a.span[:0]
	a.forced, a.soft, a.missing = a.forced[:0], a.soft[:0], a.missing[:0]
}

func (a *analyst) add(r rune, span int, forced bool) {
	a.offset = append(a.offset, int32(len(a.text)))
	a.text = utf8.AppendRune(a.text, r)
	a.runes = append(a.runes, r)
	a.span = append(a.span, int32(span))
	a.forced = append(a.forced, forced)
}

// read takes in a span: marks that only steer (break marks, soft hyphens, explicit direction) leave the
// text, controls become spaces, and runes that nothing can show are noted.
func (s *Setter) read(req *layout.Request, i int) {
	a, span := &s.bench.analyst, &req.Spans[i]
	if span.Blank > 0 {
		a.offset = append(a.offset, int32(len(a.text)))
		for _, r := range span.Text {
			if r, keep := cleaned(r); keep {
				a.text = utf8.AppendRune(a.text, r)
			}
		}
		a.runes = append(a.runes, object)
		a.span = append(a.span, int32(i))
		a.forced = append(a.forced, false)
		return
	}
	home, forced := s.homeOf(req, span), false
	for _, r := range span.Text {
		switch r {
		case breakMark:
			forced = true
		case 0xAD:
			a.soft = append(a.soft, int32(len(a.text)))
		}
		r, keep := cleaned(r)
		if !keep {
			continue
		}
		if r >= 0x180 && !ignorable(r) && !unicode.IsSpace(r) {
			if _, ok := s.engine.familyOfRune(r, familyOfScript(language.LookupScript(r), home), home); !ok {
				a.missing = append(a.missing, lack{r, i})
				if s.options.PrintMissing {
					for _, c := range scalar(r) {
						a.add(c, i, forced)
						forced = false
					}
					continue
				}
			}
		}
		a.add(r, i, forced)
		forced = false
	}
}

// breakMark is the zero width space: a line may end there.
const breakMark = '\u200B'

// cleaned replaces what cannot be set and says whether a rune is part of the text at all: break marks, soft
// hyphens and explicit directions steer the setting, or would upset it, and are not.
func cleaned(r rune) (rune, bool) {
	switch {
	case r < 0x20, r >= 0x7F && r < 0xA0, r == 0x2028, r == 0x2029:
		return ' ', true
	case r == breakMark, r == 0xAD, r == 0xFEFF, r >= 0x202A && r <= 0x202E, r >= 0x2066 && r <= 0x2069:
		return r, false
	case r == object:
		return utf8.RuneError, true
	}
	return r, true
}

// scalar writes a rune as U+XXXX.
func scalar(r rune) string {
	const digits = "0123456789ABCDEF"
	out := []byte("U+")
	for shift := 20; shift >= 0; shift -= 4 {
		if v := r >> shift; v > 0 || shift < 16 {
			out = append(out, digits[v&15])
		}
	}
	return string(out)
}

// cutPieces cuts the analysed text wherever a line may end or anything about its setting changes, and
// shapes the pieces.
func (s *Setter) cutPieces(req *layout.Request, p *paragraph) {
	a := &s.bench.analyst
	for i := 0; i < len(a.runes); {
		j := i + 1
		for j < len(a.runes) && !a.differs(i, j) {
			j++
		}
		span := &req.Spans[a.span[i]]
		pc := piece{start: a.offset[i], end: a.offset[j], span: a.span[i], level: a.levels[i]}
		pc.breakAfter = j == len(a.runes) || a.breaks[j]
		pc.partsAfter = a.parts[j]
		pc.own = span.Value || span.Field != "" || span.Page || span.Pages
		switch {
		case a.runes[i] == object && span.Blank > 0:
			pc.kind = pieceBlank
		default:
			if a.runes[i] == ' ' {
				pc.kind = pieceSpace
			}
			pc.face = a.family[i].face(span.Strong || req.Weight == layout.Bold)
			pc.word = s.word(pc.face, shaping{
				text:   p.text[pc.start:pc.end],
				lang:   s.epoch.langs.of(s.langOf(req, span)),
				script: a.scriptOf(i, j),
				rtl:    pc.level%2 == 1,
				halved: a.halved(i, j),
			}, pc.own)
		}
		a.pieces = append(a.pieces, pc)
		i = j
	}
	measureUnits(a.pieces)
	p.pieces = slices.Clone(a.pieces)
	clear(a.pieces) // so that the bench holds on to no word
	a.pieces = a.pieces[:0]
}

// measureUnits notes where units end and how wide they are.
func measureUnits(pieces []piece) {
	for i := 0; i < len(pieces); {
		end, advance, width, blank := i, int32(0), int32(0), false
		for {
			pc := &pieces[end]
			if blank = blank || pc.word == nil; !blank {
				advance += pc.word.advance
				if pc.kind != pieceSpace {
					width = advance
				}
			}
			if end++; pc.breakAfter || end == len(pieces) {
				break
			}
		}
		if !blank {
			pieces[i].unitEnd, pieces[i].unitAdvance = int32(end), width
		}
		i = end
	}
}

// differs says whether a piece ends between the rune j-1 and j; i is its first.
func (a *analyst) differs(i, j int) bool {
	return a.span[j] != a.span[j-1] || a.levels[j] != a.levels[j-1] || a.family[j] != a.family[j-1] ||
		a.breaks[j] || a.parts[j] || (a.runes[j] == ' ') != (a.runes[j-1] == ' ')
}

// scriptOf is the script with which a piece is shaped.
func (a *analyst) scriptOf(i, j int) language.Script {
	f := a.family[i]
	for ; i < j; i++ {
		if sc := a.scripts[i]; sc != language.Common && familyServes(f, sc) {
			return sc
		}
	}
	return scriptOfFamily(f)
}

// familyServes says whether text of the script is meant to stand in the family; a stray sign of another
// script must not choose the rules by which a piece is shaped.
func familyServes(f family, script language.Script) bool {
	switch {
	case f.han():
		return true
	case f == latin:
		return familyOfScript(script, latin) == latin
	case f == naskh:
		return script == language.Arabic
	}
	return familyOfScript(script, f) == f
}
