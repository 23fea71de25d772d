package medicine

import (
	"sort"
	"strings"
	"unicode"
)

// Match is what was found in one part of an entry: a substance, or words that no list knows.
type Match struct {
	INN        string // empty if not recognised
	Classes    []string
	ATC        []string
	AsWritten  string
	Words      string // of what is not recognised: the words without amounts and times, as they are compared
	Recognised bool   // some list knows it; without classes no rule needs it
	// Suggestions are INNs whose names nearly read so, nearest first. They are never assumed.
	Suggestions []string
}

// Match finds the medicines in one entry as a person wrote it ("warfarin 3 mg evenings", "a/b", "a + b").
// An entry of which a part is not recognised yields a Match for that part with Recognised false; an entry
// of nothing but numbers and times is itself not recognised. An empty entry yields nothing.
func (l *Lexicon) Match(text string) []Match {
	all := tokens(text)
	if len(all) == 0 {
		return l.stray(text)
	}
	words := countWords(all)
	var out []Match
	seen := map[int]bool{}
	for i := 0; i < len(all); {
		n, found := l.longest(all, i, words)
		if n == 0 {
			i++
			continue
		}
		written := text[all[i].from:all[i+n-1].to]
		for k := i; k < i+n; k++ {
			all[k].matched = true
		}
		for _, s := range found {
			if !seen[s] {
				seen[s] = true
				out = append(out, l.match(s, written))
			}
		}
		i += n
	}
	return append(out, l.unrecognised(text, all, len(out) > 0)...)
}

// stray is an entry without a single word: signs only. Blank space is no entry.
func (l *Lexicon) stray(text string) []Match {
	if strings.TrimSpace(text) == "" {
		return nil
	}
	return []Match{{AsWritten: strings.TrimSpace(text)}}
}

func (l *Lexicon) match(substance int, written string) Match {
	s := l.substances[substance]
	return Match{INN: s.INN, Classes: s.Classes, ATC: s.ATC, AsWritten: written, Recognised: true}
}

// longest returns the number of tokens of the longest name that begins at i, and whose name it is: several
// substances where they share it.
func (l *Lexicon) longest(all []token, i int, words map[int]int) (int, []int) {
	head := l.byName[all[i].text]
	if head == 0 {
		head = l.byName[withoutArticle(all[i].text)]
	}
	length, found := 0, []int(nil)
	for at := head; at != 0; at = l.names[at].next {
		c := l.names[at]
		if length > 0 && c.length < length {
			break
		}
		if !c.fits(all, i, words) {
			continue
		}
		length = c.length
		found = append(found, c.substance)
	}
	return length, found
}

func (c candidate) fits(all []token, i int, words map[int]int) bool {
	if i+c.length > len(all) {
		return false
	}
	if c.upper != "" && all[i].raw != c.upper {
		return false
	}
	if c.short && words[all[i].part] != 1 {
		return false
	}
	rest := c.tokens
	for k := 1; k < c.length; k++ {
		var next string
		next, rest, _ = strings.Cut(rest, " ")
		if all[i+k].text != next {
			return false
		}
	}
	return true
}

// withoutArticle drops the Arabic article, which is written as one word with its noun.
func withoutArticle(s string) string {
	if rest, ok := strings.CutPrefix(s, "ال"); ok {
		return rest
	}
	return s
}

// countWords counts, by part, the words that are neither amounts nor times.
func countWords(all []token) map[int]int {
	out := map[int]int{}
	for _, t := range all {
		if !isNoise(t.text) {
			out[t.part]++
		}
	}
	return out
}

// unrecognised returns the parts of the entry in which no name was found. A part of mere noise counts only
// if the entry has nothing else.
func (l *Lexicon) unrecognised(text string, all []token, some bool) []Match {
	var out []Match
	for i := 0; i < len(all); {
		end, matched, noise := i, false, true
		for ; end < len(all) && all[end].part == all[i].part; end++ {
			matched = matched || all[end].matched
			noise = noise && isNoise(all[end].text)
		}
		if !matched && !noise {
			out = append(out, l.unknown(text, all[i:end]))
		}
		i = end
	}
	if len(out) == 0 && !some {
		return []Match{{AsWritten: strings.TrimSpace(text)}}
	}
	return out
}

func (l *Lexicon) unknown(text string, part []token) Match {
	m := Match{AsWritten: text[part[0].from:part[len(part)-1].to]}
	var joined []string
	for _, t := range part {
		if !isNoise(t.text) {
			joined = append(joined, t.text)
		}
	}
	m.Words = strings.Join(joined, " ")
	m.Suggestions = l.suggest(m.Words, joined)
	return m
}

// most is how many suggestions are given.
const most = 3

// suggest returns the INNs with a name near the whole or near a single word.
func (l *Lexicon) suggest(whole string, words []string) []string {
	best := map[int]int{}
	try := func(s string) {
		rs := []rune(s)
		limit := nearness(len(rs))
		if limit == 0 {
			return
		}
		for first, head := range l.byName {
			for at := head; at != 0; at = l.names[at].next {
				c := l.names[at]
				if c.short || c.upper != "" {
					continue
				}
				name := first
				if c.tokens != "" {
					name += " " + c.tokens
				}
				if d := distance(rs, []rune(name), limit); d <= limit {
					if have, ok := best[c.substance]; !ok || d < have {
						best[c.substance] = d
					}
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

// distance counts inserted, dropped, changed and swapped letters, up to limit+1.
func distance(a, b []rune, limit int) int {
	if d := len(a) - len(b); d > limit || -d > limit {
		return limit + 1
	}
	before, last, row := make([]int, len(b)+1), make([]int, len(b)+1), make([]int, len(b)+1)
	for k := range last {
		last[k] = k
	}
	for i := 1; i <= len(a); i++ {
		row[0] = i
		least := row[0]
		for k := 1; k <= len(b); k++ {
			cost := 1
			if a[i-1] == b[k-1] {
				cost = 0
			}
			row[k] = min(last[k]+1, row[k-1]+1, last[k-1]+cost)
			if i > 1 && k > 1 && a[i-1] == b[k-2] && a[i-2] == b[k-1] {
				row[k] = min(row[k], before[k-2]+1)
			}
			least = min(least, row[k])
		}
		if least > limit {
			return limit + 1
		}
		before, last, row = last, row, before
	}
	return last[len(b)]
}

// noise are words around a medicine's name that are no medicine: forms, times and amounts.
var noise = func() map[string]bool {
	out := map[string]bool{}
	for _, w := range strings.Fields(noiseWords) {
		out[w] = true
	}
	return out
}()

const noiseWords = `
mg mcg ug g ml iu ui ie units unit micrograms microgram milligrams milligram grams percent x h hs bd od tds qds prn
tablet tablets tab tabs capsule capsules cap caps pill pills drop drops spray cream gel ointment injection injections
patch inhaler inhalers syrup sachet puff puffs dose doses daily day days week weeks weekly month months monthly year
years once twice thrice times time morning mornings evening evenings night nights bedtime noon every each per a an the
of for as when needed if or sometimes now since in on my at low high strength modified release slow sodium tablets
comprimido comprimidos capsula capsulas gotas crema pomada inyeccion dia dias semana semanas mes noche noches manana
cada al por de la el una un veces comprime comprimes gelule gelules gouttes jour jours soir matin fois par le semaine
tablette tabletten kapsel kapseln tropfen salbe spritze taglich morgens abends mal tag woche pro am tabletka tabletki
kapsulka dziennie rano wieczorem raz razy na dzien tydzien`

func isNoise(s string) bool {
	if noise[s] || joins[s] {
		return true
	}
	digits := false
	for i, r := range s {
		if unicode.IsDigit(r) {
			digits = true
			continue
		}
		// "3mg", "75ug": an amount written without a space.
		return digits && i > 0 && (noise[s[i:]])
	}
	return digits
}
