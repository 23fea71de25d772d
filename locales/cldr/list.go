package cldr

import "strings"

// List joins items: "a, b and c"; with or, "a, b or c".
func (l *Locale) List(items []string, or bool) string {
	var b strings.Builder
	for i, item := range items {
		if i > 0 {
			b.WriteString(l.Joint(i, items, or))
		}
		b.WriteString(item)
	}
	return b.String()
}

// Joint is what stands before item i of a list, i from 1.
func (l *Locale) Joint(i int, items []string, or bool) string {
	joints := l.and
	if or {
		joints = l.or
	}
	switch {
	case i < len(items)-1:
		return joints[1]
	case l.language() == "es":
		return spanishJoint(items[i], or)
	case len(items) == 2:
		return joints[0]
	}
	return joints[2]
}

// spanishJoint: y becomes e before the sound of i, o becomes u before that of o (Real Academia Española,
// Diccionario panhispánico de dudas, "y" and "o"; ICU does the same). Before hie- and hia- y stays.
func spanishJoint(next string, or bool) string {
	s := strings.ToLower(next)
	if or {
		for _, start := range []string{"o", "ó", "ho", "hó", "8"} {
			if strings.HasPrefix(s, start) {
				return " u "
			}
		}
		if s == "11" || strings.HasPrefix(s, "11 ") {
			return " u "
		}
		return " o "
	}
	if strings.HasPrefix(s, "hi") && !strings.HasPrefix(s, "hie") && !strings.HasPrefix(s, "hia") ||
		strings.HasPrefix(s, "hí") || strings.HasPrefix(s, "í") || s == "i" ||
		strings.HasPrefix(s, "i") && !vowelAt(s, 1) {
		return " e "
	}
	return " y "
}

// vowelAt reports whether a vowel follows an opening i, which then sounds as a consonant.
func vowelAt(s string, i int) bool { return len(s) > i && strings.IndexByte("aeou", s[i]) >= 0 }
