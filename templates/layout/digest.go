package layout

import (
	"crypto/sha256"
	"encoding/binary"
	"hash"
)

// Digest is the SHA-256 of everything that a document says and of how it looks: two documents of one
// digest make the same pages. It is the digest of an unambiguous writing of the document, in which every
// text and list stands behind its length.
func (d *Document) Digest() [sha256.Size]byte {
	w := &digester{hash: sha256.New(), buf: make([]byte, 0, digestRoom)}
	w.texts(d.Lang, d.Title)
	w.numbers(int(d.Direction))
	for _, r := range d.Digits {
		w.numbers(int(r))
	}
	w.sheet(&d.Sheet)
	w.furniture(&d.Head)
	w.furniture(&d.Foot)
	w.blocks(d.Blocks)
	if len(d.Closing) > 0 || d.Fillable {
		w.flags(d.Fillable)
		w.blocks(d.Closing)
	}
	w.flush()
	return [sha256.Size]byte(w.hash.Sum(nil))
}

// digestRoom is how much is written before it is hashed.
const digestRoom = 4096

type digester struct {
	hash hash.Hash
	buf  []byte
}

func (w *digester) flush() {
	_, _ = w.hash.Write(w.buf) // a hash takes everything
	w.buf = w.buf[:0]
}

func (w *digester) text(s string) {
	w.numbers(len(s))
	w.buf = append(w.buf, s...)
}

func (w *digester) texts(all ...string) {
	for _, s := range all {
		w.text(s)
	}
}

func (w *digester) numbers(all ...int) {
	if len(w.buf) > digestRoom-64 {
		w.flush()
	}
	for _, n := range all {
		w.buf = binary.AppendVarint(w.buf, int64(n))
	}
}

func (w *digester) lengths(all ...Length) {
	for _, l := range all {
		w.numbers(int(l))
	}
}

func (w *digester) flags(all ...bool) {
	n := 0
	for i, on := range all {
		if on {
			n |= 1 << i
		}
	}
	w.numbers(n)
}

func (w *digester) sheet(s *Sheet) {
	w.text(s.Name)
	w.lengths(s.Width, s.Height, s.Top, s.Bottom, s.Inner, s.Outer, s.Gutter, s.Indent, s.Rule, s.HeavyRule,
		s.Bar, s.PenRow, s.Box, s.SignHeight, s.SignWidth, s.CodeSide)
	w.flags(s.Mirror, s.StackRows)
	w.numbers(int(s.Tint), s.MinLines)
	for _, ink := range [][3]uint8{s.Accent, s.TextInk, s.QuietInk} {
		w.numbers(int(ink[0]), int(ink[1]), int(ink[2]))
	}
	roles := sortedRoles(s.Styles)
	w.numbers(len(roles))
	for _, r := range roles {
		st := s.Styles[r]
		w.text(string(r))
		w.lengths(st.Size, st.Leading, st.Before, st.After)
		w.numbers(int(st.Weight))
	}
}

func (w *digester) furniture(f *Furniture) {
	w.spans(f.Start)
	w.spans(f.End)
	w.flags(f.FirstStart != nil, f.FirstEnd != nil, f.Rule)
	w.spans(f.FirstStart)
	w.spans(f.FirstEnd)
}

func (w *digester) spans(list []Span) {
	w.numbers(len(list))
	for i := range list {
		s := &list[i]
		w.text(s.Text)
		w.text(s.Lang)
		w.text(s.Field)
		w.flags(s.Strong, s.Value, s.Page, s.Pages, s.Whole)
		w.numbers(int(s.Ink), int(s.Blank))
	}
}
