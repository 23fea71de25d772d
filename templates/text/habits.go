package text

import (
	"strings"
	"unicode"

	"philtrum/templates/layout"
)

// habits is what typesetters of a language keep on one line where anything else fits; common practice, no source.
type habits struct {
	words  string // one-letter words that stay with the word behind them
	slash  bool   // no line ends behind the slash of two words
	behind string // words that stay with the verb before their hyphen, each between spaces
}

var habitsOf = map[string]habits{
	"pl": {words: "aiouwzAIOUWZ", slash: true},
	"cs": {words: "aikosuvzAIKOSUVZ", slash: true},
	"sk": {words: "aikosuvzAIKOSUVZ", slash: true},
	"fr": {behind: " je tu il elle on nous vous ils elles le la les lui leur moi toi y en ce t là ci "},
}

// unparted says whether a break before rune i is to be avoided as long as a line has room: inside a date or a time,
// and by the habits of the language.
func (a *analyst) unparted(s *Setter, req *layout.Request, i int) bool {
	before, after := a.runes[i-1], a.runes[i]
	if a.oneValue(req, i) && req.Spans[a.span[i]].Whole {
		return true
	}
	switch {
	case before == ' ':
		return a.wordOfOne(s, req, i)
	case before == '-' || before == '\u2010':
		return a.hyphened(s, req, i)
	case before == '/':
		return i > 1 && unicode.IsLetter(a.runes[i-2]) && unicode.IsLetter(after) && a.habits(s, req, i-1).slash
	case unicode.Is(unicode.Han, before):
		return latinLetter(after) && !a.latinAt(i+1)
	case unicode.Is(unicode.Han, after):
		return latinLetter(before) && !a.latinAt(i-2)
	}
	return false
}

func (a *analyst) habits(s *Setter, req *layout.Request, i int) habits {
	base, _, _ := strings.Cut(s.langOf(req, &req.Spans[a.span[i]]), "-")
	return habitsOf[base]
}

// wordOfOne says whether a word of one letter that the language does not leave at a line's end stands before rune i.
func (a *analyst) wordOfOne(s *Setter, req *layout.Request, i int) bool {
	k := i - 1
	for k > 0 && a.runes[k] == ' ' {
		k--
	}
	if !unicode.IsLetter(a.runes[k]) || k > 0 && !unicode.IsSpace(a.runes[k-1]) && !opens(a.runes[k-1]) {
		return false
	}
	return strings.ContainsRune(a.habits(s, req, k).words, a.runes[k])
}

// opens says whether a sign opens quoted or bracketed words.
func opens(r rune) bool {
	return unicode.In(r, unicode.Ps, unicode.Pi) || r == '"'
}

// hyphened says whether the hyphen before rune i joins a figure or a single letter with a word, a verb with its
// pronoun, or a double word of which one half is short.
func (a *analyst) hyphened(s *Setter, req *layout.Request, i int) bool {
	if i < 2 || !unicode.IsLetter(a.runes[i]) {
		return false
	}
	if unicode.IsDigit(a.runes[i-2]) {
		return true
	}
	from, to := i-1, i
	for from > 0 && inWord(a.runes[from-1]) {
		from--
	}
	if letters(a.runes[from:i-1]) == 1 {
		return true
	}
	for to < len(a.runes) && inWord(a.runes[to]) {
		to++
	}
	if unicode.Is(unicode.Devanagari, a.runes[i]) {
		return min(letters(a.runes[from:i-1]), letters(a.runes[i:to])) < leastHalf
	}
	behind := a.habits(s, req, i).behind
	return behind != "" && strings.Contains(behind, " "+strings.ToLower(string(a.runes[i:to]))+" ")
}

// leastHalf is how many letters, marks not counted, each half of a double word needs to stand on a line of its own.
const leastHalf = 4

func inWord(r rune) bool { return unicode.IsLetter(r) || unicode.Is(unicode.M, r) }

func latinLetter(r rune) bool { return r >= 'A' && r <= 'Z' || r >= 'a' && r <= 'z' }

// latinAt says whether rune i exists and is a Latin letter or a figure.
func (a *analyst) latinAt(i int) bool {
	return i >= 0 && i < len(a.runes) && alphanumeric(a.runes[i])
}
