package text

import (
	"strings"

	"github.com/go-text/typesetting/language"
)

// familyOfLang is the family in which a text of the language stands when its runes do not tell.
func familyOfLang(tag string) family {
	base, _, _ := strings.Cut(tag, "-")
	switch strings.ToLower(base) {
	case "ar", "fa", "ps", "ckb", "sd", "ug":
		return arabic
	case "ur":
		return naskh
	case "he", "yi":
		return hebrew
	case "hi", "mr", "ne", "sa":
		return devanagari
	case "bn", "as":
		return bengali
	case "ta":
		return tamil
	case "th":
		return thai
	case "zh", "yue":
		if traditionalHan(tag) {
			return traditional
		}
		return simplified
	case "ja":
		return japanese
	case "ko":
		return korean
	}
	return latin
}

// traditionalHan reads script and region of a Chinese tag; Hong Kong, Macao and Taiwan write traditional
// characters unless the tag says otherwise (CLDR likely subtags).
func traditionalHan(tag string) bool {
	lower := strings.ToLower(tag)
	if strings.Contains(lower, "-hans") {
		return false
	}
	for _, part := range []string{"-hant", "-tw", "-hk", "-mo"} {
		if strings.Contains(lower, part) {
			return true
		}
	}
	return strings.HasPrefix(lower, "yue")
}

// familyOfScript is the family made for a script. home decides where a script has several.
func familyOfScript(script language.Script, home family) family {
	switch script {
	case language.Arabic:
		if home == naskh {
			return naskh
		}
		return arabic
	case language.Hebrew:
		return hebrew
	case language.Devanagari:
		return devanagari
	case language.Bengali:
		return bengali
	case language.Tamil:
		return tamil
	case language.Thai:
		return thai
	case language.Hiragana, language.Katakana:
		return japanese
	case language.Hangul:
		return korean
	case language.Bopomofo:
		return traditional
	case language.Han:
		if home.han() {
			return home
		}
		return simplified
	}
	return latin
}

// scriptOfFamily is the script with which a family shapes runes of no script of their own.
func scriptOfFamily(f family) language.Script {
	switch f {
	case arabic, naskh:
		return language.Arabic
	case hebrew:
		return language.Hebrew
	case devanagari:
		return language.Devanagari
	case bengali:
		return language.Bengali
	case tamil:
		return language.Tamil
	case thai:
		return language.Thai
	case simplified, traditional:
		return language.Han
	case japanese:
		return language.Hiragana
	case korean:
		return language.Hangul
	}
	return language.Latin
}

// fallbacks is the fixed order in which families are tried for a rune that the families of its script
// and of its language do not have.
var fallbacks = [...]family{latin, arabic, naskh, hebrew, devanagari, bengali, tamil, thai,
	simplified, traditional, japanese, korean}

// firstHan is below every rune that only Han families have; it saves loading them for others.
const firstHan = 0x2000

// familyOfRune chooses the family that shows a rune: wanted if it can, else that of the language, else
// the first that can. ok is false if none can.
func (e *Engine) familyOfRune(r rune, wanted, home family) (f family, ok bool) {
	if r < 0x180 && wanted == latin {
		return latin, true // printable and covered; a test holds the face to it
	}
	if e.covers(wanted, r) {
		return wanted, true
	}
	if home != wanted && e.covers(home, r) {
		return home, true
	}
	for _, f := range fallbacks {
		if e.covers(f, r) {
			return f, true
		}
	}
	return wanted, false
}

func (e *Engine) covers(f family, r rune) bool {
	if f.han() && r < firstHan {
		return false
	}
	return e.face(f.face(false)).has(r)
}
