package locales

import (
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"
)

// scripts are the scripts in which languages are written (CLDR likelySubtags, from memory for the languages
// here); a language that is not listed is not checked.
var scripts = map[string]*unicode.RangeTable{
	"en": unicode.Latin, "es": unicode.Latin, "fr": unicode.Latin, "de": unicode.Latin, "pl": unicode.Latin,
	"ar": unicode.Arabic, "hi": unicode.Devanagari, "zh-Hans": unicode.Han,
}

// little are words that stand in almost every sentence of a language and seldom in one of another, by which a
// text in the wrong file is told; common knowledge of the languages, no source.
var little = map[string][]string{
	"en": {"the", "they", "their", "more", "of", "and", "to", "is", "are", "you", "your", "it", "this", "that", "not", "with", "for", "on", "by", "or", "be", "we", "has", "have", "was", "what", "which", "who", "when", "from", "can", "at", "after"},
	"es": {"el", "más", "los", "las", "una", "y", "del", "al", "que", "con", "por", "para", "su", "sus", "usted", "es", "son", "este", "esta", "lo", "hay", "ha", "o", "cuando", "si", "sin", "qué", "se", "le"},
	"fr": {"le", "plus", "les", "des", "du", "et", "est", "sont", "vous", "votre", "vos", "une", "dans", "pour", "avec", "ce", "cette", "qui", "il", "ne", "pas", "ou", "au", "aux", "sur", "par", "nous", "à", "où", "être", "après", "l", "d", "n", "qu", "cela", "elle", "ont", "peut", "ces", "avez"},
	"de": {"der", "die", "das", "und", "ist", "sind", "sie", "ihr", "ihre", "ihnen", "nicht", "mit", "ein", "eine", "einen", "wird", "werden", "zu", "im", "den", "dem", "auf", "für", "oder", "wir", "bei", "nach", "von", "es", "wenn"},
	"pl": {"i", "w", "z", "na", "nie", "się", "jest", "są", "lub", "do", "od", "po", "to", "ten", "ta", "pani", "pana", "pan", "proszę", "przez", "przed", "dla", "o", "że", "czy", "jeśli", "może", "które", "który", "za"},
}

// strange says that a text is not in a language: most of its letters are of another script, or, where scripts
// agree, more of its little words are another language's. Few words prove nothing.
func strange(tag, text string) (of string, is bool) {
	script, known := scripts[tag]
	if !known {
		return "", false
	}
	own, letters, words := measured(text, script)
	// A Latin text is in its own letters. Others may hold many Latin ones that stay: commands, options, codes.
	share := 2
	if script != unicode.Latin {
		share = 4
	}
	if letters >= 4 && own*share < letters {
		return "", true
	}
	if script != unicode.Latin || len(words) < 4 {
		return "", false
	}
	best, most := "", 0
	mine := count(words, little[tag])
	for _, other := range []string{"en", "es", "fr", "de", "pl"} {
		if n := count(words, little[other]); other != tag && n > most {
			best, most = other, n
		}
	}
	return best, most >= 2 && most > 2*mine
}

// verbatim says of an id that its message is the same in every language: what is typed on a command line, and
// titles of sources.
func verbatim(id string) bool {
	return strings.HasSuffix(id, ".example") || strings.Contains(id, ".source.")
}

// measured counts letters, those of a script among them, and gives the words, without placeholders.
func measured(text string, script *unicode.RangeTable) (own, letters int, words []string) {
	var b strings.Builder
	depth, mine := 0, false
	for _, r := range text {
		switch {
		case r == '{':
			depth++
		case r == '}':
			depth = max(depth-1, 0)
		case depth > 0:
		case unicode.IsLetter(r) || unicode.IsMark(r):
			weight := 1
			if unicode.Is(unicode.Han, r) {
				weight = 3 // one sign says as much as several letters
			}
			letters += weight
			if !unicode.IsMark(r) {
				mine = unicode.Is(script, r) // a mark belongs to the letter before it
			}
			if mine {
				own += weight
			}
			b.WriteRune(unicode.ToLower(r))
			continue
		}
		if b.Len() > 0 {
			words = append(words, b.String())
			b.Reset()
		}
	}
	if b.Len() > 0 {
		words = append(words, b.String())
	}
	return own, letters, words
}

func count(words, list []string) int {
	n := 0
	for _, w := range words {
		if slices.Contains(list, w) {
			n++
		}
	}
	return n
}

// long says that a text has enough words that two languages hardly share it.
func long(text string) bool {
	_, letters, words := measured(text, unicode.Latin)
	return len(words) >= 4 && letters >= 16 || utf8.RuneCountInString(text) >= 12 && len(words) < 3 && letters >= 12 && strings.ContainsFunc(text, func(r rune) bool { return unicode.Is(unicode.Han, r) })
}
