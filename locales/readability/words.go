package readability

import (
	"strings"
	"unicode"
)

// abbreviations end in a full stop that ends no sentence. Lower case, without the last stop.
var abbreviations = map[string][]string{
	"en": {"dr", "mr", "mrs", "ms", "no", "e.g", "i.e", "approx", "vs", "tel", "a.m", "p.m"},
	"es": {"dr", "dra", "sr", "sra", "ej", "p. ej", "p", "núm", "tel", "aprox", "ud", "uds", "a", "a. m", "p. m"},
	"fr": {"dr", "m", "mme", "p", "p. ex", "env", "tél", "no"},
	"de": {"dr", "hr", "fr", "z", "z. b", "d. h", "d", "u", "u. a", "ca", "bzw", "ggf", "evtl", "nr", "tel", "inkl"},
	"pl": {"dr", "np", "tj", "m.in", "ok", "nr", "tel", "godz", "tzn", "r", "ul"},
}

// sentences cuts a text. A full stop ends a sentence when a blank and no small letter follow, or the text
// ends, and it belongs to no abbreviation or number.
func sentences(language, text string) []string {
	var out []string
	for line := range strings.SplitSeq(text, "\n") {
		runes := []rune(line)
		start := 0
		for i := range runes {
			if endsSentence(language, runes, start, i) {
				out = appendSentence(out, runes[start:i+1])
				start = i + 1
			}
		}
		out = appendSentence(out, runes[start:])
	}
	return out
}

func appendSentence(out []string, runes []rune) []string {
	if s := strings.TrimSpace(string(runes)); s != "" {
		return append(out, s)
	}
	return out
}

func endsSentence(language string, runes []rune, start, i int) bool {
	switch runes[i] {
	case '。', '！', '？', '।', '؟':
		return true
	case '.', '!', '?', '…':
	default:
		return false
	}
	rest := strings.TrimLeft(string(runes[i+1:]), "\"'”’»“)")
	if rest == "" {
		return true
	}
	next := []rune(strings.TrimLeft(rest, " \u00a0"))
	if len(next) == len([]rune(rest)) || len(next) > 0 && unicode.IsLower(next[0]) {
		return false
	}
	return runes[i] != '.' || !isAbbreviation(language, string(runes[start:i]))
}

func isAbbreviation(language, before string) bool {
	before = strings.ToLower(before)
	for _, a := range abbreviations[language] {
		if head, ok := strings.CutSuffix(before, a); ok && (head == "" || strings.HasSuffix(head, " ") || strings.HasSuffix(head, "(")) {
			return true
		}
	}
	return false
}

// wordsOf cuts a sentence into words. In Chinese, which has no blanks, every character counts.
func wordsOf(language, sentence string) []string {
	var out []string
	runes := []rune(sentence)
	for i := 0; i < len(runes); {
		if language == "zh" && unicode.Is(unicode.Han, runes[i]) {
			out = append(out, string(runes[i]))
			i++
			continue
		}
		if !inWord(runes[i]) {
			i++
			continue
		}
		start := i
		for i < len(runes) && (inWord(runes[i]) || joins(runes, i)) {
			i++
		}
		out = append(out, string(runes[start:i]))
	}
	return out
}

func inWord(r rune) bool { return unicode.IsLetter(r) || unicode.IsMark(r) || unicode.IsDigit(r) }

// joins reports whether the sign at i stands inside a word: an apostrophe or hyphen between letters, a
// point or comma between digits.
func joins(runes []rune, i int) bool {
	if i == 0 || i+1 >= len(runes) {
		return false
	}
	before, after := runes[i-1], runes[i+1]
	switch runes[i] {
	case '\'', '’', '-', '\u2011', '\u00ad':
		return inWord(before) && inWord(after)
	case '.', ',':
		return unicode.IsDigit(before) && unicode.IsDigit(after)
	}
	return false
}

func lettersIn(word string) int {
	n := 0
	for _, r := range word {
		if unicode.IsLetter(r) {
			n++
		}
	}
	return n
}
