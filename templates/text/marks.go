package text

import (
	"math/bits"
	"strings"
	"unicode"

	"github.com/go-text/typesetting/font/opentype"
	"github.com/go-text/typesetting/harfbuzz"
)

// Where two full-width marks meet, the blank half of one is left out (W3C, Requirements for Chinese Text Layout, 3.1.6,
// and for Japanese Text Layout, 3.1.5, from memory): behind a closing mark, and before an opening one that follows
// another. What half of a mark is blank, the face tells by its feature "halt".

// closingMarks are those that no bracket is, with blank behind them.
const closingMarks = "、，。．：；！？"

// halved says which runes of the piece [i, j) are marks that take half their width, a bit for each.
func (a *analyst) halved(i, j int) uint64 {
	if !a.family[i].han() {
		return 0
	}
	set := uint64(0)
	for k := i; k < j && k-i < 64; k++ {
		if a.runes[k] < firstHan {
			continue
		}
		switch {
		case closesWide(a.runes[k]) && a.wideMark(k+1), opensWide(a.runes[k]) && k > 0 && a.wideMark(k-1) && opensWide(a.runes[k-1]):
			set |= 1 << (k - i)
		}
	}
	return set
}

func (a *analyst) wideMark(k int) bool {
	return k < len(a.runes) && a.family[k].han() && (opensWide(a.runes[k]) || closesWide(a.runes[k]))
}

func opensWide(r rune) bool { return r >= firstHan && unicode.In(r, unicode.Ps, unicode.Pi) }

func closesWide(r rune) bool {
	return r >= firstHan && (unicode.In(r, unicode.Pe, unicode.Pf) || strings.ContainsRune(closingMarks, r))
}

var halt = opentype.MustNewTag("halt")

// halves are the features of a text of which some marks take half their width.
func (s *shaper) halves(set uint64) []harfbuzz.Feature {
	if set == 0 {
		return nil
	}
	s.wanted = s.wanted[:0]
	for ; set != 0; set &= set - 1 {
		k := bits.TrailingZeros64(set)
		s.wanted = append(s.wanted, harfbuzz.Feature{Tag: halt, Value: 1, Start: k, End: k + 1})
	}
	return s.wanted
}
