package readability

import "strings"

// Words of this trade and common ones whose spelling misleads the rules.
var englishWords = map[string]int{
	"area": 3, "areas": 3, "idea": 3, "ideas": 3, "being": 2, "doing": 2, "going": 2, "seeing": 2, "every": 2,
	"everything": 3, "everyone": 3, "something": 2, "sometimes": 2, "someone": 2, "somewhere": 2, "people": 2,
	"hyaluronic": 5, "hyaluronidase": 7, "lidocaine": 3, "appointment": 3, "evening": 2, "different": 3, "business": 2,
	"medicine": 3, "medicines": 3, "once": 1, "eye": 1, "eyes": 1, "colour": 2, "our": 1, "hour": 1, "hours": 1,
	"science": 2, "diet": 2, "quiet": 2, "client": 2, "clients": 2, "allergy": 3, "diabetes": 4, "herpes": 2,
	"create": 2, "created": 3, "creates": 2, "react": 2, "reacted": 3, "angioedema": 6, "reaction": 3, "reactions": 3, "reacts": 2, "fluid": 2,
	"bruise": 1, "bruised": 1, "juice": 1, "ruin": 2, "lion": 2, "biopsy": 3, "trial": 2, "usual": 3, "wednesday": 2,
	"safety": 2, "careful": 2, "carefully": 3, "useful": 2, "aftercare": 3, "therefore": 2, "before": 2, "forehead": 2,
	"clothes": 1, "vein": 1, "veins": 1, "says": 1, "said": 1, "smoothed": 1, "breathe": 1, "breathing": 2,
	"lately": 2, "likely": 2, "unlikely": 3, "completely": 3, "immediately": 5, "severely": 3, "safely": 2, "rarely": 2,
	"widely": 2, "closely": 2, "movement": 2, "movements": 2, "management": 3, "agreement": 3, "statement": 2,
	"placement": 2, "replacement": 3, "lifetime": 2, "sidewards": 2, "nosebleed": 2, "lifestyle": 2, "piercing": 2,
	"ear": 1, "really": 2, "theatre": 3, "nausea": 3, "diarrhoea": 4, "anaemia": 4, "oedema": 3, "haematoma": 4,
	"anaesthetic": 4, "anaesthesia": 5, "paediatric": 4, "chloe": 2, "poem": 2, "coincide": 3, "cooperate": 4,
	"vacuum": 2, "continuous": 4, "virus": 2, "previous": 3, "previously": 4, "tissue": 2, "tissues": 2, "issue": 2,
}

// english counts by spelling: runs of vowels, less the silent ones, plus the pairs that are said apart.
func english(word string) int {
	word = strings.Trim(strings.ReplaceAll(word, "’", "'"), "'")
	word = strings.TrimSuffix(word, "'s")
	if n, ok := englishWords[word]; ok {
		return n
	}
	if stem, plural := strings.CutSuffix(word, "s"); plural {
		if n, ok := englishWords[stem]; ok && sibilant(strings.TrimSuffix(stem, "e")) {
			return n + 1
		} else if ok {
			return n
		}
	}
	if strings.HasSuffix(word, "n't") && len(word) > 4 {
		return english(word[:len(word)-3]) + saidApart(word)
	}
	for _, ending := range []string{"'re", "'ve", "'ll", "'d"} {
		word = strings.TrimSuffix(word, ending)
	}
	return max(1, groups(word, "aeiouy")-silent(word)+hiatus(word))
}

// saidApart is 1 where n't is a syllable of its own: behind a consonant other than r ("didn't").
func saidApart(word string) int {
	before := word[len(word)-4]
	if strings.IndexByte("aeiouyr", before) >= 0 || word == "won't" || word == "can't" {
		return 0
	}
	return 1
}

// silent counts the runs at the end of a word that are not said.
func silent(word string) int {
	switch {
	case len(word) < 3:
		return 0
	case endsIn(word, "le") && consonant(word[len(word)-3]), endsIn(word, "les") && consonant(word[len(word)-4]):
		return 0
	case endsIn(word, "e") && consonant(word[len(word)-2]):
		return 1
	case endsIn(word, "es") && consonant(word[len(word)-3]) && !sibilant(word[:len(word)-2]):
		return 1
	case endsIn(word, "ed") && consonant(word[len(word)-3]) && strings.IndexByte("td", word[len(word)-3]) < 0:
		return 1
	case endsIn(word, "ely"), endsIn(word, "eful"), endsIn(word, "ement"), endsIn(word, "eless"), endsIn(word, "eness"):
		return innerE(word)
	}
	return 0
}

// innerE is 1 where an ending stands behind a silent e ("safely").
func innerE(word string) int {
	for _, ending := range []string{"ly", "ful", "ment", "less", "ness"} {
		if stem, ok := strings.CutSuffix(word, ending); ok && len(stem) > 3 && consonant(stem[len(stem)-2]) {
			return 1
		}
	}
	return 0
}

// hiatus counts the pairs of vowels inside one run that are said apart.
func hiatus(word string) int {
	n := 0
	for _, pair := range []string{"ia", "io", "iu", "eo", "ua", "uou", "yi", "ying", "iet", "oing", "eing", "uing", "ien"} {
		i := strings.Index(word, pair)
		if i < 0 {
			continue
		}
		before, after := word[:i], word[i+len(pair):]
		switch pair {
		case "ia":
			if endsIn(before, "t") && strings.HasPrefix(after, "l") || endsIn(before, "c") || after == "ge" || endsIn(before, "g") {
				continue // initial, special, marriage
			}
		case "io":
			if endsInAny(before, "t", "s", "g", "c", "x") && strings.HasPrefix(after, "n") || strings.HasPrefix(after, "u") &&
				endsInAny(before, "t", "c", "g", "x") {
				continue // injection, cautious
			}
		case "iu", "ien":
			if endsInAny(before, "t", "c") {
				continue // patient
			}
		case "eo":
			if !strings.HasPrefix(before, "vid") && !strings.HasPrefix(before, "ster") && before != "n" && before != "g" {
				continue
			}
		case "ua":
			if endsInAny(before, "q", "g") {
				continue
			}
		case "yi", "uing", "iet":
			if pair == "uing" && endsInAny(before, "g", "q") || pair == "iet" && endsIn(before, "r") {
				continue
			}
			if pair == "yi" && strings.HasPrefix(after, "ng") {
				continue // counted as ying
			}
		}
		n++
	}
	return n
}

func endsIn(word, ending string) bool {
	return len(word) > len(ending) && strings.HasSuffix(word, ending)
}

func endsInAny(word string, endings ...string) bool {
	for _, e := range endings {
		if strings.HasSuffix(word, e) {
			return true
		}
	}
	return false
}

func consonant(c byte) bool { return strings.IndexByte("aeiouy", c) < 0 }

// sibilant reports whether -es is a syllable of its own behind word.
func sibilant(word string) bool { return endsInAny(word, "s", "x", "z", "ch", "sh", "c", "g") }
