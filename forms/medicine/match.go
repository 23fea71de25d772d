package medicine

import "strings"

// Match is what was found in one part of an entry: a substance, or words that no list knows.
type Match struct {
	INN        string // empty if not recognised
	Classes    []string
	ATC        []string
	AsWritten  string
	Words      string // of what is not recognised: the words without amounts and times, as they are compared
	Recognised bool   // some list knows it; without classes no rule needs it
	Nothing    bool   // the entry says that nothing is taken ("none"); Recognised is true, INN is empty
	// Local says that the words around the name speak of skin, eye, nose or airway and of no other route. It
	// lowers certainty and no more: drops and gels are swallowed too, and what is inhaled reaches the blood.
	Local bool
	// Suggestions are INNs whose names nearly read so, nearest first. They are never assumed.
	Suggestions []string
}

// Match finds the medicines in one entry as a person wrote it ("warfarin 3 mg evenings", "a/b", "a + b").
// A part in which nothing is found, and words beside a name that are neither amounts, times, forms, routes
// nor a purpose, yield a Match with Recognised false; an entry of nothing but numbers and times is itself not
// recognised. "None" and its like yield one Match with Nothing true. An empty entry yields nothing.
func (l *Lexicon) Match(text string) []Match {
	if saysNothing(text) {
		return []Match{{AsWritten: strings.TrimSpace(text), Recognised: true, Nothing: true}}
	}
	all := tokens(text)
	if len(all) == 0 {
		return l.stray(text)
	}
	words := countWords(all)
	var out []Match
	hits, marks, seen := make([]hit, 0, 4), make([]int, 0, 4), map[int]int{}
	for i := 0; i < len(all); {
		n, found := l.longest(all, i, words)
		if n == 0 {
			i++
			continue
		}
		for k := i; k < i+n; k++ {
			all[k].matched = true
		}
		hits = append(hits, hit{i, i + n, len(marks)})
		for _, s := range found {
			at, again := seen[s]
			if !again {
				at = len(out)
				seen[s] = at
				out = append(out, l.match(s, text[all[i].from:all[i+n-1].to]))
			}
			marks = append(marks, at)
		}
		i += n
	}
	markLocal(text, all, hits, marks, out)
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
	if c.upper != "" && all[i].raw != c.upper && !onlyDosed(all, i, words) {
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

// onlyDosed says that word i is the only word of the entry and that an amount follows it: "asa 100".
func onlyDosed(all []token, i int, words map[int]int) bool {
	return i == 0 && len(all) > 1 && isAmount(all[1].text) && len(words) == 1 && words[all[0].part] == 1
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
