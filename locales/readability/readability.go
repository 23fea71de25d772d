// Package readability says how hard a text is to read, by the published formula of its language.
//
// A formula is a hint, not a proof: it sees the length of sentences and words and nothing else. Where no
// validated one exists (Arabic, Hindi, Chinese), only the counts are given and never an invented grade.
//
// A text is cut into sentences at full stops, question and exclamation marks and at line breaks, so that
// every item of a list counts as a sentence. A word is a run of letters, digits, apostrophes and hyphens;
// a number counts as one syllable.
package readability

import (
	"cmp"
	"slices"
	"strings"
)

// Result is how hard a text is.
type Result struct {
	Formula string  // empty where the language has no validated formula
	Score   float64 // as the formula gives it, not cut to its scale
	Ease    bool    // a higher score is easier; otherwise it is a grade and a higher one is harder
	Counts
	Worst []Sentence // the hardest first, at most five; by length where there is no formula
}

// Sentence is a sentence by itself.
type Sentence struct {
	Text  string
	Score float64
	Counts
}

// Counts are what the formulas work on.
type Counts struct {
	Sentences int
	Words     int // all words
	Rated     int // words that count by their form: all but the exempt ones
	Syllables int // of the rated words
	Letters   int // of the rated words
	One       int // rated words of one syllable
	Three     int // rated words of three syllables or more
	Four      int // rated words of four syllables or more
	Long      int // rated words of more than six letters
}

// most is how many of the hardest sentences a result names.
const most = 5

// Score rates a text in a language (a BCP 47 tag) by the language's first formula. Exempt words, capitals
// aside, count for the length of their sentence but not for the length of words: names and terms that a
// paper has to use and explains. An exempt term may be several words.
func Score(language, text string, exempt []string) Result {
	formula, rated := First(baseOf(language))
	return score(formula, rated, language, text, exempt)
}

func baseOf(language string) string {
	base, _, _ := strings.Cut(strings.ToLower(language), "-")
	return base
}

// ByAim rates a text as [Score] does, by the formula of the language's [Aim] where it has one.
func ByAim(language, text string, exempt []string) Result {
	aim, ok := AimOf(language)
	if !ok {
		return Score(language, text, exempt)
	}
	formula, _ := ByID(aim.Formula)
	return score(formula, true, language, text, exempt)
}

func score(formula Formula, rated bool, language, text string, exempt []string) Result {
	base, free := baseOf(language), exemptions(exempt)
	var r Result
	if rated {
		r.Formula, r.Ease = formula.ID, formula.Ease
	}
	for _, s := range sentences(base, text) {
		c := count(base, s, free)
		if c.Words == 0 {
			continue
		}
		r.Counts = r.plus(c)
		one := Sentence{Text: s, Counts: c, Score: float64(c.Words)}
		if rated {
			one.Score = formula.Of(c)
		}
		r.Worst = append(r.Worst, one)
	}
	if rated && r.Words > 0 {
		r.Score = formula.Of(r.Counts)
	}
	slices.SortStableFunc(r.Worst, func(a, b Sentence) int {
		if rated && formula.Ease {
			return cmp.Compare(a.Score, b.Score)
		}
		return cmp.Compare(b.Score, a.Score)
	})
	r.Worst = r.Worst[:min(len(r.Worst), most)]
	return r
}

func (c Counts) plus(o Counts) Counts {
	return Counts{c.Sentences + o.Sentences, c.Words + o.Words, c.Rated + o.Rated, c.Syllables + o.Syllables,
		c.Letters + o.Letters, c.One + o.One, c.Three + o.Three, c.Four + o.Four, c.Long + o.Long}
}

// count counts one sentence.
func count(language, sentence string, free map[string][][]string) Counts {
	c := Counts{Sentences: 1}
	words := wordsOf(language, sentence)
	c.Words = len(words)
	for i := 0; i < len(words); {
		if n := exemptAt(words[i:], free); n > 0 {
			i += n
			continue
		}
		c.add(language, words[i])
		i++
	}
	return c
}

func (c *Counts) add(language, word string) {
	letters := lettersIn(word)
	syllables := max(1, Syllables(language, word))
	c.Rated++
	c.Syllables += syllables
	c.Letters += letters
	if syllables == 1 {
		c.One++
	}
	if syllables >= 3 {
		c.Three++
	}
	if syllables >= 4 {
		c.Four++
	}
	if letters > 6 {
		c.Long++
	}
}

// exemptions are the exempt terms as words, by their first one.
func exemptions(terms []string) map[string][][]string {
	free := map[string][][]string{}
	for _, term := range terms {
		words := wordsOf("", strings.ToLower(term))
		if len(words) > 0 {
			free[words[0]] = append(free[words[0]], words)
		}
	}
	return free
}

// exemptAt is how many words at the start are an exempt term, the longest that stands there; 0 if none.
func exemptAt(words []string, free map[string][][]string) int {
	longest := 0
	for _, term := range free[strings.ToLower(words[0])] {
		if len(term) > longest && len(term) <= len(words) &&
			slices.EqualFunc(term, words[:len(term)], func(a, b string) bool { return a == strings.ToLower(b) }) {
			longest = len(term)
		}
	}
	return longest
}
