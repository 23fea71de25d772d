package medicine

import (
	"slices"
	"testing"
)

// A word that is passed over beside a name is no name of a substance with a class, nor nearly one.
func TestNoPlainWordReadsLikeAMedicine(t *testing.T) {
	l, problems := Load(Default)
	if len(problems) > 0 {
		t.Fatal(problems)
	}
	// A salt of skin steroids, and the French thyroid, which counts only after "pour" or in brackets.
	near := []string{"valerate", "thyroide"}
	for word := range kinds() {
		for _, inn := range append(l.suggest(word, nil), l.exactly(word)...) {
			if s, _ := l.Find(inn); len(s.Classes) > 0 && !slices.Contains(near, word) {
				t.Errorf("%q reads like %s", word, inn)
			}
		}
	}
}

// exactly are the substances that a word names.
func (l *Lexicon) exactly(word string) []string {
	var out []string
	for _, m := range l.Match(word) {
		if m.INN != "" {
			out = append(out, m.INN)
		}
	}
	return out
}
