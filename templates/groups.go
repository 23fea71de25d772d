package templates

import (
	"slices"

	"philtrum/locales"
)

// carried are the groups whose messages come into papers as values: terms, what rules add, questions, what a
// place asks for, and the words of the paper itself.
var carried = []string{"language", "paper", "place", "question", "rule", "term"}

// Groups are the groups of messages that a paper made from the template may say something of, sorted.
func (t *Template) Groups() []string {
	groups := slices.Clone(carried)
	add := func(w words) {
		for _, s := range w {
			if s.message != "" {
				groups = append(groups, locales.GroupOf(s.message))
			}
		}
	}
	walk(slices.Concat(t.blocks, t.closing), func(b *block) { b.body.texts(func(w words, _ string) { add(w) }) })
	for _, f := range []furniture{t.head, t.foot} {
		for _, all := range [][]words{f.start, f.end, f.over, f.under, f.firstStart, f.firstEnd} {
			for _, w := range all {
				add(w)
			}
		}
	}
	slices.Sort(groups)
	return slices.Compact(groups)
}

// Signs says whether the paper has room for signatures.
func (t *Template) Signs() bool {
	signs := false
	walk(t.blocks, func(b *block) {
		_, ok := b.body.(*signatureBody)
		signs = signs || ok
	})
	return signs
}
