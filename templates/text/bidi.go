package text

import "golang.org/x/text/unicode/bidi"

// levels resolves the embedding levels of a passage without explicit formatting characters by UAX #9
// (rules W1 to W7, N0 to N2, I1, I2). Only levels tell where numbers of level 2 stand beside text of
// level 0; direction runs, which libraries give, do not.
type levels struct {
	runes   []rune
	classes []bidi.Class // as in the text
	types   []bidi.Class // being resolved; without boundary neutrals
	index   []int        // of each type: its rune
	out     []uint8
	base    uint8
}

// firstRightToLeft is the lowest code point of a right-to-left script.
const firstRightToLeft = 0x590

// leftToRightOnly says that no rune of the text can make anything run from right to left.
func leftToRightOnly(runes []rune) bool {
	for _, r := range runes {
		if r >= firstRightToLeft && !(r >= 0x0900 && r < 0x2000) && !(r >= 0x2E80 && r < 0xFB00) && r != 0xFFFC {
			switch class(r) {
			case bidi.R, bidi.AL, bidi.AN:
				return false
			}
		}
	}
	return true
}

func class(r rune) bidi.Class {
	p, _ := bidi.LookupRune(r)
	return p.Class()
}

// resolve gives the level of each rune; base is 0 or 1. The result is valid until the next call.
func (l *levels) resolve(runes []rune, base uint8) []uint8 {
	l.runes, l.base = runes, base
	l.classes, l.types, l.index, l.out = l.classes[:0], l.types[:0], l.index[:0], l.out[:0]
	for i, r := range runes {
		c := class(r)
		l.classes = append(l.classes, c)
		l.out = append(l.out, base)
		if c != bidi.BN { // rule X9
			l.types = append(l.types, c)
			l.index = append(l.index, i)
		}
	}
	l.weak()
	l.brackets()
	l.neutral()
	l.implicit()
	return l.out
}

func (l *levels) edge() bidi.Class {
	if l.base == 1 {
		return bidi.R
	}
	return bidi.L
}

// weak applies W1 to W7.
func (l *levels) weak() {
	before, strong := l.edge(), l.edge()
	for i, t := range l.types { // W1, W2
		if t == bidi.NSM {
			l.types[i] = before
		}
		switch before = l.types[i]; before {
		case bidi.L, bidi.R, bidi.AL:
			strong = before
		case bidi.EN:
			if strong == bidi.AL {
				l.types[i] = bidi.AN
			}
		}
	}
	for i, t := range l.types { // W3
		if t == bidi.AL {
			l.types[i] = bidi.R
		}
	}
	for i := 1; i < len(l.types)-1; i++ { // W4
		t, a, b := l.types[i], l.types[i-1], l.types[i+1]
		if a == b && (t == bidi.ES && a == bidi.EN || t == bidi.CS && (a == bidi.EN || a == bidi.AN)) {
			l.types[i] = a
		}
	}
	l.terminators()
	strong = l.edge()
	for i, t := range l.types { // W6, W7
		switch t {
		case bidi.ES, bidi.ET, bidi.CS:
			l.types[i] = bidi.ON
		case bidi.L, bidi.R:
			strong = t
		case bidi.EN:
			l.types[i] = bidi.EN
			if strong == bidi.L {
				l.types[i] = bidi.L
			}
		}
	}
}

// terminators applies W5: terminators beside a European number belong to it.
func (l *levels) terminators() {
	for i := 0; i < len(l.types); i++ {
		if l.types[i] != bidi.ET {
			continue
		}
		j := i
		for j < len(l.types) && l.types[j] == bidi.ET {
			j++
		}
		if i > 0 && l.types[i-1] == bidi.EN || j < len(l.types) && l.types[j] == bidi.EN {
			for k := i; k < j; k++ {
				l.types[k] = bidi.EN
			}
		}
		i = j
	}
}

const maxBrackets = 63 // rule BD16

type pair struct{ open, close int }

// pairs finds bracket pairs by BD16, in the order of their opening.
func (l *levels) pairs() []pair {
	type opening struct {
		close rune
		at    int
	}
	var stack []opening
	var found []pair
	for i, t := range l.types {
		if t != bidi.ON {
			continue
		}
		r := l.runes[l.index[i]]
		if p, _ := bidi.LookupRune(r); !p.IsBracket() {
			continue
		} else if p.IsOpeningBracket() {
			if len(stack) == maxBrackets {
				return nil
			}
			stack = append(stack, opening{canonicalBracket(closing(r)), i})
			continue
		}
		for k := len(stack) - 1; k >= 0; k-- {
			if stack[k].close == canonicalBracket(r) {
				found = append(found, pair{stack[k].at, i})
				stack = stack[:k]
				break
			}
		}
	}
	for i := 1; i < len(found); i++ {
		for j := i; j > 0 && found[j].open < found[j-1].open; j-- {
			found[j], found[j-1] = found[j-1], found[j]
		}
	}
	return found
}

// closing is the partner of an opening bracket (Unicode file BidiBrackets).
func closing(r rune) rune {
	switch r {
	case '[', '{', 0xFF3B, 0xFF5B:
		return r + 2
	case 0x298D:
		return 0x2990
	case 0x298F:
		return 0x298E
	}
	return r + 1
}

// canonicalBracket joins the two code points of the angle brackets.
func canonicalBracket(r rune) rune {
	switch r {
	case 0x2329, 0x232A:
		return r - 0x2329 + 0x3008
	}
	return r
}

// strongOf reads a resolved type as a direction for N0 to N2: numbers count as right-to-left.
func strongOf(t bidi.Class) (bidi.Class, bool) {
	switch t {
	case bidi.L:
		return bidi.L, true
	case bidi.R, bidi.EN, bidi.AN:
		return bidi.R, true
	}
	return 0, false
}

// brackets applies N0.
func (l *levels) brackets() {
	for _, p := range l.pairs() {
		embedding, same, other := l.edge(), false, false
		for _, t := range l.types[p.open+1 : p.close] {
			if s, ok := strongOf(t); ok {
				same, other = same || s == embedding, other || s != embedding
			}
		}
		direction := embedding
		if !same && !other {
			continue
		}
		if !same {
			before := embedding
			for k := p.open - 1; k >= 0; k-- {
				if s, ok := strongOf(l.types[k]); ok {
					before = s
					break
				}
			}
			direction = before // opposite if the context is, else the embedding direction
		}
		for _, at := range [2]int{p.open, p.close} {
			l.types[at] = direction
			for k := at + 1; k < len(l.types) && l.classes[l.index[k]] == bidi.NSM; k++ {
				l.types[k] = direction
			}
		}
	}
}

// neutral applies N1 and N2.
func (l *levels) neutral() {
	before := l.edge()
	for i := 0; i < len(l.types); i++ {
		if s, ok := strongOf(l.types[i]); ok {
			before = s
			continue
		}
		j, after := i, l.edge()
		for j < len(l.types) {
			if s, ok := strongOf(l.types[j]); ok {
				after = s
				break
			}
			j++
		}
		t := l.edge()
		if before == after {
			t = before
		}
		for k := i; k < j; k++ {
			l.types[k] = t
		}
		i = j - 1
	}
}

// implicit applies I1 and I2, and gives boundary neutrals the level before them.
func (l *levels) implicit() {
	for i, t := range l.types {
		level := l.base
		switch {
		case l.base == 0 && t == bidi.R, l.base == 1 && t != bidi.R:
			level++
		case l.base == 0 && (t == bidi.AN || t == bidi.EN):
			level += 2
		}
		l.out[l.index[i]] = level
	}
	level := l.base
	for i, c := range l.classes {
		if c == bidi.BN {
			l.out[i] = level
		} else {
			level = l.out[i]
		}
	}
}

// firstStrong is the base level that rules P2 and P3 give a passage: 1 if its first strong rune is
// right-to-left, else 0.
func firstStrong(runes []rune) uint8 {
	for _, r := range runes {
		switch class(r) {
		case bidi.L:
			return 0
		case bidi.R, bidi.AL:
			return 1
		}
	}
	return 0
}
