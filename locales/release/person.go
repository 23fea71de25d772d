package release

import (
	"slices"
	"strings"
	"unicode"

	"golang.org/x/text/unicode/norm"
)

// Named says whether a name holds a letter: a dash in its place names nobody.
func Named(name string) bool { return strings.ContainsFunc(name, unicode.IsLetter) }

// SamePerson says whether two names are of one person, however they are written: capitals, signs between the
// words, their order ("Solano, Henrik") and the way in which accents are stored make no difference.
func SamePerson(a, b string) bool { return slices.Equal(words(a), words(b)) }

func words(name string) []string {
	list := strings.FieldsFunc(strings.ToLower(norm.NFKC.String(name)), func(r rune) bool {
		return !unicode.IsLetter(r) && !unicode.IsMark(r) && !unicode.IsDigit(r)
	})
	slices.Sort(list)
	return list
}
