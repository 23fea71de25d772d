package cldr

import (
	"strings"

	"golang.org/x/text/language"
)

// Serves gives the tag among those offered that serves a wanted one (BCP 47): the same language in the same
// script, where a tag without a script has the one that is likely (CLDR likelySubtags). Among several the same
// region wins, then one with the same parent locale ("en-AU" is written as "en-GB", not as "en-US"), then the
// first. ok is false where none does: another language or script never serves.
func Serves(want string, offered []string) (tag string, ok bool) {
	wanted, err := language.All.Parse(want)
	if err != nil || strings.Contains(want, "_") { // BCP 47 knows hyphens only
		return "", false
	}
	if named, _, _ := strings.Cut(wanted.String(), "-"); named == "und" {
		return "", false // names no language; the likeliest one would be a guess
	}
	region, _ := wanted.Region()
	best, grade := "", 0
	for _, candidate := range offered {
		t, err := language.All.Parse(candidate)
		if err != nil || !sameWriting(wanted, t) {
			continue
		}
		own, _ := t.Region()
		g := 1
		switch {
		case own == region:
			g = 3
		case t.Parent() == wanted.Parent():
			g = 2
		}
		if g > grade {
			best, grade = candidate, g
		}
	}
	return best, grade > 0
}

func sameWriting(a, b language.Tag) bool {
	baseA, _ := a.Base()
	baseB, _ := b.Base()
	scriptA, _ := a.Script()
	scriptB, _ := b.Script()
	return baseA == baseB && scriptA == scriptB
}
