package readability

import (
	"strings"
	"unicode"
)

// Syllables estimates the syllables of a word by the spelling rules of its base language: en, es, fr, de or
// pl; runs of vowels elsewhere. A number in figures has one. Parts joined by hyphens are added up.
func Syllables(language, word string) int {
	if strings.ContainsFunc(word, unicode.IsDigit) {
		return 1
	}
	n := 0
	for part := range strings.FieldsFuncSeq(strings.ToLower(word), func(r rune) bool { return r == '-' || r == '\u2011' }) {
		part = strings.ReplaceAll(part, "\u00ad", "")
		switch language {
		case "en":
			n += max(1, english(part))
		case "es":
			n += nuclei(strings.NewReplacer("que", "ke", "qué", "ké", "qui", "ki", "quí", "kí", "gue", "ge", "gué", "gé",
				"gui", "gi", "guí", "gí").Replace(yVowel(part)), "aeiouáéíóúüy", spanishGlides)
		case "fr":
			n += max(1, french(part))
		case "de":
			n += nuclei(strings.ReplaceAll(part, "qu", "kw"), "aeiouyäöüé", germanGlides)
		case "pl":
			n += nuclei(part, "aąeęioóuy", polishGlides)
		default:
			n += groups(part, "aeiouyáéíóúàèìòùâêîôûäëïöüãõåæøœ")
		}
	}
	return n
}

// groups counts runs of vowels.
func groups(word, vowels string) int {
	n, in := 0, false
	for _, r := range word {
		vowel := strings.ContainsRune(vowels, r)
		if vowel && !in {
			n++
		}
		in = vowel
	}
	return n
}

// nuclei counts vowels, two neighbours as one where glide says so. A third neighbour is weighed against the
// second only if that was not joined already.
func nuclei(word, vowels string, glide func(a, b rune) bool) int {
	n := 0
	var last rune
	for _, r := range word {
		if !strings.ContainsRune(vowels, r) {
			last = 0
			continue
		}
		if last != 0 && glide(last, r) {
			if strings.ContainsRune("iuy", last) {
				last = r // a glide before a vowel: what follows is weighed against the vowel
			} else {
				last = '.' // a glide behind it closes the syllable
			}
			continue
		}
		n++
		last = r
	}
	return n
}

// spanishGlides: an unstressed i or u beside another vowel makes one syllable with it; two strong vowels or
// a stressed í or ú make two (Real Academia Española, Ortografía 2010, II 3.2, from memory).
func spanishGlides(a, b rune) bool {
	weak := func(r rune) bool { return strings.ContainsRune("iuüy", r) }
	if strings.ContainsRune("íú", a) || strings.ContainsRune("íú", b) {
		return false
	}
	return a != b && (weak(a) || weak(b))
}

// yVowel keeps y as a vowel where Spanish says it as one: alone or at the end of a word.
func yVowel(word string) string {
	if word == "y" {
		return word
	}
	inner := strings.ReplaceAll(word, "y", "j")
	if strings.HasSuffix(word, "y") {
		inner = inner[:len(inner)-1] + "y"
	}
	return inner
}

// germanGlides are the diphthongs and doubled vowels of German.
func germanGlides(a, b rune) bool {
	switch string([]rune{a, b}) {
	case "ai", "ay", "au", "ei", "ey", "eu", "äu", "ie", "aa", "ee", "oo", "ui":
		return true
	}
	return false
}

// polishGlides: i before a vowel only softens; au and eu are one syllable.
func polishGlides(a, b rune) bool {
	return a == 'i' || b == 'u' && (a == 'a' || a == 'e')
}
