package cldr

import (
	"time"

	"golang.org/x/text/language"
	"golang.org/x/text/language/display"
)

// MonthNames are the names of a month: alone, within a date, and short.
func (l *Locale) MonthNames(m time.Month) []string {
	return []string{l.monthsAlone[m-1], l.months[m-1], l.monthsShort[m-1]}
}

// LanguageName is what one language calls another, both by their BCP 47 tags; "" where that is not known.
func LanguageName(of, in string) string {
	language1, err1 := language.Parse(of)
	language2, err2 := language.Parse(in)
	if err1 != nil || err2 != nil {
		return ""
	}
	namer := display.Languages(language2)
	if namer == nil {
		return ""
	}
	base, _ := language1.Base()
	return namer.Name(language.Make(base.String()))
}
