package cldr

import "time"

// MonthNames are the names of a month: alone, within a date, and short.
func (l *Locale) MonthNames(m time.Month) []string {
	return []string{l.monthsAlone[m-1], l.months[m-1], l.monthsShort[m-1]}
}
