package readability

import "strings"

// frenchVowels without the e that may be mute.
const frenchVowels = "aeiouyàâäéèêëîïôöùûüœæ"

// french counts runs of vowels, parts those that are said apart (é before a vowel, a diaeresis, hya-) and leaves
// out the mute e at the end of a word.
func french(word string) int {
	word = strings.ReplaceAll(word, "’", "'")
	if i := strings.LastIndexByte(word, '\''); i >= 0 {
		word = word[i+1:] // l', d', qu' make no syllable of their own
	}
	word = strings.NewReplacer("qu", "k", "gue", "ge", "gui", "gi", "gué", "gé").Replace(word)
	n, in := 0, false
	var last rune
	for _, r := range word {
		vowel := strings.ContainsRune(frenchVowels, r)
		if vowel && (!in || last == 'é' && r != 'e' || strings.HasPrefix(word, "hya") && last == 'y' ||
			r == 'ï' || r == 'ë' || r == 'ü') {
			n++
		}
		in, last = vowel, r
	}
	return n - mute(word)
}

// mute is 1 where the last run is an e that is not said: -e and -es behind a consonant, and -ent where it
// most likely ends a verb.
func mute(word string) int {
	stem := word
	for _, ending := range []string{"es", "e"} {
		if s, ok := strings.CutSuffix(word, ending); ok {
			stem = s
			break
		}
	}
	if stem == word {
		for _, verb := range []string{"ssent", "nnent", "vent", "rent", "ient", "llent"} {
			if strings.HasSuffix(word, verb) && !notVerb(word) {
				return 1
			}
		}
		return 0
	}
	if stem == "" || strings.ContainsRune(frenchVowels, []rune(stem)[len([]rune(stem))-1]) {
		return 0
	}
	if groups(stem, frenchVowels) == 0 {
		return 0
	}
	return 1
}

// notVerb are common words in -ent that are said whole.
func notVerb(word string) bool {
	switch word {
	case "souvent", "patient", "client", "vient", "tient", "récipient", "ingrédient", "inconvénient", "différent",
		"parent", "adhérent", "vent", "transparent", "excipient", "apparent", "concurrent", "convient", "contient", "devient":
		return true
	}
	return false
}
