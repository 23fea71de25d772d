package text

import (
	"unicode"

	"github.com/go-text/typesetting/language"

	"philtrum/templates/layout"
)

// langOf is the language of a span: its own, the request's or the document's.
func (s *Setter) langOf(req *layout.Request, span *layout.Span) string {
	switch {
	case span.Lang != "":
		return span.Lang
	case req.Lang != "":
		return req.Lang
	}
	return s.options.Lang
}

// homeOf is the family of a span's language; if that has none of its own, the document's decides among
// Han and Arabic.
func (s *Setter) homeOf(req *layout.Request, span *layout.Span) family {
	if f := familyOfLang(s.langOf(req, span)); f != latin {
		return f
	}
	return s.home
}

// chooseFamilies resolves scripts of common runes and picks each rune's family.
func (s *Setter) chooseFamilies(req *layout.Request) {
	a := &s.bench.analyst
	a.resolveScripts()
	a.family = a.family[:0]
	for i, r := range a.runes {
		span := &req.Spans[a.span[i]]
		if r < 0x180 && (a.scripts[i] == language.Latin || latinBeside(a.runes, i)) {
			a.family = append(a.family, latin)
			continue
		}
		home := s.homeOf(req, span)
		wanted := familyOfScript(a.scripts[i], home)
		if a.scripts[i] == language.Common {
			wanted = familyOfLang(s.langOf(req, span))
		}
		switch {
		case r == ' ' || r == 0xA0 || ignorable(r):
			a.family = append(a.family, wanted)
		case unicode.Is(unicode.M, r) && i > 0 && s.engine.covers(a.family[i-1], r):
			a.family = append(a.family, a.family[i-1]) // a mark stays with its letter
		default:
			f, _ := s.engine.familyOfRune(r, wanted, home)
			a.family = append(a.family, f)
		}
	}
	a.spacesFollow()
}

// spacesFollow gives spaces and invisible runes the family of what stands before them, so that a line
// changes fonts as seldom as can be.
func (a *analyst) spacesFollow() {
	for i, r := range a.runes {
		if r != ' ' && r != 0xA0 && !ignorable(r) {
			continue
		}
		if i > 0 && a.runes[i-1] != object {
			a.family[i] = a.family[i-1]
		}
	}
	first := 0
	for first < len(a.runes) && (a.runes[first] == ' ' || ignorable(a.runes[first])) {
		first++
	}
	for i := range first { // those before the first letter
		if first < len(a.runes) {
			a.family[i] = a.family[first]
		}
	}
}

// latinBeside says whether an ASCII sign belongs to a Latin word or a number in European digits, which
// stand in the Latin face in every language, so that figures look alike throughout a paper.
func latinBeside(runes []rune, i int) bool {
	r := runes[i]
	if r >= '0' && r <= '9' {
		return true
	}
	if r <= ' ' || r == 0xA0 {
		return false
	}
	return i > 0 && alphanumeric(runes[i-1]) || i+1 < len(runes) && alphanumeric(runes[i+1])
}

func alphanumeric(r rune) bool {
	return r >= '0' && r <= '9' || r >= 'A' && r <= 'Z' || r >= 'a' && r <= 'z'
}

// resolveScripts gives common and inherited runes the script before them in their span, else the one
// after them; Common stays where the span has none.
func (a *analyst) resolveScripts() {
	a.scripts = a.scripts[:0]
	for i, r := range a.runes {
		script := language.Latin
		switch {
		case r >= 0x80:
			script = language.LookupScript(r)
		case !alphanumeric(r) || r < 'A':
			script = language.Common
		}
		if script == language.Inherited || script == language.Common || script == language.Unknown {
			script = language.Common
			if i > 0 && a.span[i-1] == a.span[i] {
				script = a.scripts[i-1]
			}
		}
		a.scripts = append(a.scripts, script)
	}
	for i := len(a.scripts) - 2; i >= 0; i-- {
		if a.scripts[i] == language.Common && a.span[i] == a.span[i+1] {
			a.scripts[i] = a.scripts[i+1]
		}
	}
}
