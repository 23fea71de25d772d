package medicine

import (
	"sort"

	"philtrum/forms/source"
)

// most is how many suggestions are given.
const most = 3

// suggest returns the INNs with a name near the whole or near a single word.
func (l *Lexicon) suggest(whole string, words []string) []string {
	best := map[int]int{}
	try := func(s string) {
		rs := []rune(s)
		limit := nearness(len(rs))
		if limit == 0 {
			l.exact(s, best)
			return
		}
		for _, c := range l.names[1:] {
			if d := int(c.runes) - len(rs); c.short || c.upper != "" || d > limit || -d > limit {
				continue
			}
			if d := source.Distance(rs, []rune(c.whole), limit); d <= limit {
				if have, ok := best[c.substance]; !ok || d < have {
					best[c.substance] = d
				}
			}
		}
	}
	try(whole)
	if len(words) > 1 {
		for _, w := range words {
			try(w)
		}
	}
	return l.nearest(best)
}

// exact enters the substances of a name too short to be trusted beside other words.
func (l *Lexicon) exact(s string, best map[int]int) {
	for at := l.byName[s]; at != 0; at = l.names[at].next {
		if l.names[at].length == 1 {
			best[l.names[at].substance] = 0
		}
	}
}

func (l *Lexicon) nearest(best map[int]int) []string {
	order := make([]int, 0, len(best))
	for s := range best {
		order = append(order, s)
	}
	sort.Slice(order, func(i, k int) bool {
		if best[order[i]] != best[order[k]] {
			return best[order[i]] < best[order[k]]
		}
		return l.substances[order[i]].INN < l.substances[order[k]].INN
	})
	var out []string
	for _, s := range order[:min(len(order), most)] {
		out = append(out, l.substances[s].INN)
	}
	return out
}

// nearness is the number of slips that a word of n letters may have: short names differ by one letter
// from other medicines, so they get none.
func nearness(n int) int {
	switch {
	case n < 5:
		return 0
	case n < 8:
		return 1
	case n < 13:
		return 2
	}
	return 3
}
