package text

import (
	"encoding/binary"
	"slices"
	"strconv"

	"philtrum/templates/layout"
)

// Setter sets one document and gathers the glyphs that it uses. It is not safe for concurrent use.
//
// Words and paragraphs that hold a value or a field are kept in the setter's [Own] and go with it; only
// template text and single shaped clusters enter the engine's caches.
type Setter struct {
	engine  *Engine
	epoch   *epoch
	options Options
	home    family

	bench *bench // borrowed while a paragraph is prepared
	key   []byte
	own   *Own

	fonts   []*docFont
	common  [faceCount]*docFont // of template text
	values  [faceCount]*docFont // of values
	missing []Missing
	lacking map[rune]bool

	request layout.Request // being set

	line  lineState
	slabs slabs
}

type localWord struct {
	face faceID
	key  shaping
}

// docFont is a cluster font in the making. Template text and values have one each, so that the template's
// comes to the same bytes in every paper and is cut and compressed once.
type docFont struct {
	index    int
	face     faceID
	codes    []uint16 // by cluster id; 0 is none yet
	clusters []*cluster
	own      bool
}

// Missing lists the runes that no face could set, in order of first use, each once.
func (s *Setter) Missing() []Missing { return s.missing }

// paragraphOf gives the prepared paragraph of a request, from a cache if it was set before.
func (s *Setter) paragraphOf(req *layout.Request) *paragraph {
	private := s.appendKey(req)
	if private {
		if p, ok := s.own.paragraphs[string(s.key)]; ok {
			return p
		}
	} else if p := s.epoch.paragraph(s.key); p != nil {
		return p
	}
	key := string(s.key)
	s.bench = s.engine.borrowBench()
	p := s.prepare(req)
	s.engine.giveBackBench(s.bench)
	s.bench = nil
	if !private {
		s.epoch.keepParagraph(key, p)
		return p
	}
	s.own.paragraphs[key] = p
	return p
}

// appendKey writes all that a paragraph depends on, and says whether it holds a document's own data.
func (s *Setter) appendKey(req *layout.Request) (private bool) {
	k := s.key[:0]
	k = appendString(k, s.options.Lang)
	k = appendString(k, req.Lang)
	flags := byte(req.Direction) | byte(req.Weight)<<1
	if s.options.PrintMissing {
		flags |= 4
	}
	k = append(k, flags)
	for i := range req.Spans {
		span := &req.Spans[i]
		var flags byte
		if span.Strong {
			flags |= 1
		}
		if span.Value {
			flags |= 2
		}
		if span.Blank > 0 {
			flags |= 4
		}
		if span.Field != "" || span.Page || span.Pages {
			flags |= 8
		}
		if span.Whole {
			flags |= 16
		}
		private = private || flags&10 != 0
		k = append(k, flags)
		k = appendString(k, span.Lang)
		k = appendString(k, span.Text)
	}
	s.key = k
	return private
}

func appendString(k []byte, text string) []byte {
	k = binary.AppendUvarint(k, uint64(len(text)))
	return append(k, text...)
}

// word shapes a piece of text once for each engine, or once for each document if it is the document's own.
func (s *Setter) word(id faceID, key shaping, own bool) *word {
	if own {
		if w, ok := s.own.words[localWord{id, key}]; ok {
			return w
		}
	} else if w := s.epoch.word(id, key); w != nil {
		return w
	}
	w := s.shape(id, key)
	if !own {
		s.epoch.keepWord(id, key, w)
		return w
	}
	s.own.words[localWord{id, key}] = w
	return w
}

// shape shapes with the bench at hand, or one borrowed for the purpose.
func (s *Setter) shape(id faceID, key shaping) *word {
	b := s.bench
	if b == nil {
		b = s.engine.borrowBench()
		defer s.engine.giveBackBench(b)
	}
	w := b.shaper.shape(s.engine.face(id), key, &s.epoch.tables[id])
	s.epoch.checkClusters(id)
	return w
}

// report notes runes without a glyph, each once.
func (s *Setter) report(req *layout.Request, lacks []lack) {
	for _, l := range lacks {
		if s.lacking[l.r] {
			continue
		}
		if s.lacking == nil {
			s.lacking = map[rune]bool{}
		}
		s.lacking[l.r] = true
		span := &req.Spans[l.span]
		s.missing = append(s.missing, Missing{Rune: l.r, Field: span.Field, Lang: s.langOf(req, span)})
	}
}

// fontOf is the document's font for a piece: the template's, or the values' own where the template's
// lacks a cluster of it.
func (s *Setter) fontOf(id faceID, own bool, w *word) *docFont {
	slot := &s.common
	if own && !s.commonHolds(id, w) {
		slot = &s.values
	}
	if d := slot[id]; d == nil || len(d.clusters)+len(w.clusters) > maxCodes {
		slot[id] = &docFont{index: len(s.fonts), face: id, own: slot == &s.values}
		if seed := s.seed(id); seed != nil && slot == &s.common {
			slot[id].codes, slot[id].clusters = slices.Clone(seed.codes), slices.Clone(seed.clusters)
		}
		s.fonts = append(s.fonts, slot[id])
	}
	return slot[id]
}

func (s *Setter) commonHolds(id faceID, w *word) bool {
	if s.common[id] != nil {
		return s.common[id].holds(w)
	}
	seed := s.seed(id)
	return seed != nil && seed.holds(w)
}

func (d *docFont) holds(w *word) bool {
	for _, c := range w.clusters {
		if int(c.id) >= len(d.codes) || d.codes[c.id] == 0 {
			return false
		}
	}
	return true
}

// appendCodes appends the codes of a word, giving new clusters the next code.
func (d *docFont) appendCodes(codes []uint16, w *word) []uint16 {
	for _, c := range w.clusters {
		if int(c.id) >= len(d.codes) {
			d.codes = append(d.codes, make([]uint16, int(c.id)+256-len(d.codes))...)
		}
		code := d.codes[c.id]
		if code == 0 {
			d.clusters = append(d.clusters, c)
			code = uint16(len(d.clusters))
			d.codes[c.id] = code
		}
		codes = append(codes, code)
	}
	return codes
}

// maxCodes bounds a cluster font so that its outlines, too, find a glyph id; a paper with more distinct
// clusters of a face gets another font.
const maxCodes = 20_000

// Fonts gives the fonts of the document once all its text is set; [layout.Run].Font indexes it. The
// slices may be shared between documents: do not change them.
func (s *Setter) Fonts() []Font {
	out := make([]Font, len(s.fonts))
	for i, d := range s.fonts {
		out[i] = *s.cut(d)
	}
	return out
}

func (s *Setter) cut(d *docFont) *Font {
	s.key = append(s.key[:0], byte(d.face))
	for _, c := range d.clusters {
		s.key = binary.AppendUvarint(s.key, uint64(c.id))
	}
	if f := s.epoch.program(s.key); f != nil && !d.own { // one of values is compressed otherwise
		return f
	}
	f := cutFont(s.engine.face(d.face), d.clusters)
	z := s.engine.borrowDeflater()
	f.Deflated = z.deflate(f.Program, !d.own)
	s.engine.giveBackDeflater(z)
	if !d.own {
		s.epoch.keepProgram(s.key, f)
	}
	return f
}

// String names the rune as U+XXXX and the field, never the text around it.
func (m Missing) String() string {
	if m.Field == "" {
		return scalar(m.Rune)
	}
	return scalar(m.Rune) + " " + strconv.Quote(m.Field)
}
