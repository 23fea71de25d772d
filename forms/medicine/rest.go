package medicine

import (
	"slices"
	"strings"
	"unicode/utf8"
)

// unrecognised returns the parts of the entry in which no name was found, and of the other parts the words
// that stand beside a name and belong to no amount, form or purpose. A part of mere noise counts only if the
// entry has nothing else.
func (l *Lexicon) unrecognised(text string, all []token, some bool) []Match {
	var out []Match
	mode := none
	for i := 0; i < len(all); {
		end, matched, noise := i, false, true
		for ; end < len(all) && all[end].part == all[i].part; end++ {
			matched = matched || all[end].matched
			noise = noise && isNoise(all[end].text)
		}
		switch {
		case matched:
			var unknown []Match
			unknown, mode = l.beside(text, all[i:end])
			out = append(out, unknown...)
		case noise, mode != none && isPlain(all[i:end], connecting|purposeWord):
		case i > 0 && is(all[i-1].text, accompanying) && isPlain(all[i:end], connecting):
		default:
			out = append(out, l.unknown(text, all[i:end]))
			mode = none
		}
		i = end
	}
	if len(out) == 0 && !some {
		return []Match{{AsWritten: strings.TrimSpace(text)}}
	}
	return out
}

// isPlain says that all words are of the kinds given or mere noise: "with food".
func isPlain(words []token, more kind) bool {
	for _, t := range words {
		if !isNoise(t.text) && !is(t.text, more) {
			return false
		}
	}
	return true
}

func (l *Lexicon) unknown(text string, part []token) Match {
	m := Match{AsWritten: text[part[0].from:part[len(part)-1].to], Local: isLocal(part)}
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

// purpose says how far the words that follow may tell what a medicine is for.
type purpose int

const (
	none   purpose = iota
	listed         // after a bracket, dash or colon: only words that are known purposes
	told           // after "for": any word, unless it reads like a medicine or has a dose
)

// longestPurpose is how many words after "for" may tell the purpose: "for pain in my left knee".
const longestPurpose = 4

// longestArticle is the length, in bytes, up to which a word goes with the purpose: "for the", "für die".
const longestArticle = 3

// beside returns what stands beside the names of a part and is not recognised, a Match for each run of words
// up to the next name or amount, and whether a purpose was being told at the end.
func (l *Lexicon) beside(text string, part []token) ([]Match, purpose) {
	var out []Match
	var run []token
	mode, left := none, 0
	flush := func(dosed bool) {
		if l.tellsOfMedicine(run, dosed) {
			out = append(out, l.unknown(text, run))
		}
		run = nil
	}
	for i, t := range part {
		if i > 0 {
			gap := text[part[i-1].to:t.from]
			if strings.ContainsAny(gap, ")]}") {
				flush(false)
				mode = none
			}
			if opensRemark(gap) {
				flush(false)
				mode = listed
			}
		}
		switch {
		case t.matched:
			flush(false)
			mode = none
		case isAmount(t.text):
			flush(true)
			mode = min(mode, listed)
		case is(t.text, before):
			flush(false)
			mode, left = told, longestPurpose
		case is(t.text, perhapsBefore):
			mode = max(mode, listed)
		case mode != none && is(t.text, purposeWord):
		case isNoise(t.text), is(t.text, connecting|local|systemic):
			if len(t.text) > longestArticle {
				mode = min(mode, listed)
			}
		case mode == told && left > 0 && !dosed(part[i+1:]) && l.suggest(t.text, nil) == nil:
			left--
		default:
			run = append(run, t)
		}
	}
	flush(false)
	return out, mode
}

func opensRemark(gap string) bool {
	return strings.ContainsAny(gap, "([{–—:") || strings.Contains(gap, " -") || strings.Contains(gap, "- ")
}

// dosed says that an amount follows, perhaps after its form: "tablets 5 mg".
func dosed(rest []token) bool {
	for _, t := range rest {
		if isAmount(t.text) {
			return true
		}
		if !isNoise(t.text) || t.matched {
			return false
		}
	}
	return false
}

// tellsOfMedicine says that words may name a medicine: one is long enough or a short name, or they have a dose.
func (l *Lexicon) tellsOfMedicine(run []token, dosed bool) bool {
	least := 5
	if dosed {
		least = 3
	}
	for _, t := range run {
		if utf8.RuneCountInString(t.text) >= least || l.byName[t.text] != 0 {
			return true
		}
	}
	return false
}

// hit is a name found: its tokens and the matches it led to.
type hit struct {
	from, to int
	first    int // its matches, as the indices that marks holds from here up to those of the next name
}

// markLocal sets Local on the matches: the words after a name up to the next one speak of it, and those before
// the first name of a part. Names joined by a slash are one product with one route. A substance named twice is
// local only if it is so each time.
func markLocal(text string, all []token, hits []hit, marks []int, out []Match) {
	after, last := false, len(marks)
	for h := len(hits) - 1; h >= 0; h-- {
		from, to := hits[h].from, hits[h].to
		for from > 0 && all[from-1].part == all[from].part && !all[from-1].matched {
			from--
		}
		if from > 0 && all[from-1].part == all[from].part {
			from = hits[h].to
		}
		for to < len(all) && all[to].part == all[hits[h].from].part && !all[to].matched {
			to++
		}
		here := isLocal(all[from:to])
		if h+1 < len(hits) && hits[h+1].from == hits[h].to && strings.TrimSpace(text[all[to-1].to:all[to].from]) == "/" {
			here = here || after
		}
		for _, at := range marks[hits[h].first:last] {
			out[at].Local = here && (out[at].Local || !slices.Contains(marks[last:], at))
		}
		after, last = here, hits[h].first
	}
}

func isLocal(words []token) bool {
	found := false
	for _, t := range words {
		if is(t.text, systemic) {
			return false
		}
		found = found || is(t.text, local)
	}
	return found
}
