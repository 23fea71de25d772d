package cldr

import (
	"strconv"
	"strings"
	"time"
)

// Style is how much of a date is said.
type Style string

// Styles of dates. Full has the weekday.
const (
	Full   Style = "full"
	Long   Style = "long"
	Medium Style = "medium"
	Short  Style = "short"
)

// Styles are all of them.
var Styles = [4]Style{Full, Long, Medium, Short}

func (s Style) index() int {
	for i, k := range Styles {
		if k == s {
			return i
		}
	}
	return 1
}

// Day is a day of the Gregorian calendar. D, or D and M, are 0 when they are not known.
type Day struct{ Y, M, D int }

// Valid reports whether d is a day, month or year that exists, of the years 1 to 9999.
func (d Day) Valid() bool {
	switch {
	case d.Y < 1 || d.Y > 9999 || d.M < 0 || d.M > 12 || d.D < 0 || d.M == 0 && d.D != 0:
		return false
	case d.D == 0:
		return true
	}
	return d.D <= time.Date(d.Y, time.Month(d.M)+1, 0, 0, 0, 0, 0, time.UTC).Day()
}

// Weekday is the day of the week of a whole date.
func (d Day) Weekday() time.Weekday {
	return time.Date(d.Y, time.Month(d.M), d.D, 0, 0, 0, 0, time.UTC).Weekday()
}

// Date writes a day; of a partial one only what is known. A style that is not known counts as long.
func (l *Locale) Date(d Day, s Style) string {
	switch {
	case d.M == 0:
		return l.fill(l.yearPattern(), d, 0, 0)
	case d.D == 0 && s.index() >= 2:
		return l.fill(l.monthYear[1], d, 0, 0)
	case d.D == 0:
		return l.fill(l.monthYear[0], d, 0, 0)
	}
	return l.fill(l.dates[s.index()], d, 0, 0)
}

// yearPattern is a year alone; Chinese writes the word for year behind it (CLDR 48, availableFormats y).
func (l *Locale) yearPattern() string {
	if l.language() == "zh" {
		return "y年"
	}
	return "y"
}

// WeekdayName is the name of a weekday as it stands alone.
func (l *Locale) WeekdayName(w time.Weekday) string { return l.weekdays[w] }

// MonthName is the name of a month (1 to 12) as it stands alone.
func (l *Locale) MonthName(m int) string { return l.monthsAlone[m-1] }

// Clock writes a time of day, with twelve or twenty-four hours as the locale does.
func (l *Locale) Clock(hour, minute int) string {
	return l.fill(l.clock, Day{}, hour, minute)
}

// DateTime writes a day and a time of day.
func (l *Locale) DateTime(d Day, hour, minute int, s Style) string {
	return l.join(s, l.Date(d, s), l.Clock(hour, minute))
}

// ClockIn is the byte of what [Locale.DateTime] writes at which the time begins: with the words that lead to it
// ("at 16:20"), unless they are said behind the date, as in Hindi.
func (l *Locale) ClockIn(d Day, s Style) int {
	pattern := l.dateTimes[s.index()]
	before, after, _ := strings.Cut(pattern, "{1}")
	joint := strings.Index(after, "{0}")
	if space := strings.IndexByte(after, ' '); space >= 0 && l.language() != "hi" {
		joint = min(joint, space+1)
	}
	return len(before) + len(l.Date(d, s)) + joint
}

func (l *Locale) join(s Style, date, clock string) string {
	return strings.NewReplacer("{1}", date, "{0}", clock).Replace(l.dateTimes[s.index()])
}

// DateRange writes the days from a to b, saying once what both share. Equal days are one date.
func (l *Locale) DateRange(a, b Day, s Style) string {
	if a == b {
		return l.Date(a, s)
	}
	kind := 2
	switch {
	case a.Y == b.Y && a.M == b.M:
		kind = 0
	case a.Y == b.Y:
		kind = 1
	}
	from, to, _ := strings.Cut(l.ranges[s.index()][kind], "|")
	return l.fill(from, a, 0, 0) + l.fill(to, b, 0, 0)
}

// ClockRange writes a stretch of one day, from one time to a later one.
func (l *Locale) ClockRange(hour, minute, toHour, toMinute int) string {
	kind := 0
	if hour < 12 != (toHour < 12) {
		kind = 1
	}
	from, to, _ := strings.Cut(l.clockRanges[kind], "|")
	return l.fill(from, Day{}, hour, minute) + l.fill(to, Day{}, toHour, toMinute)
}

// DateClockRange writes a day with a stretch of it.
func (l *Locale) DateClockRange(d Day, hour, minute, toHour, toMinute int, s Style) string {
	return l.join(s, l.Date(d, s), l.ClockRange(hour, minute, toHour, toMinute))
}

// fill writes a pattern of UTS 35, part 4, "Date Format Patterns".
func (l *Locale) fill(pattern string, d Day, hour, minute int) string {
	var b strings.Builder
	for i := 0; i < len(pattern); {
		c := pattern[i]
		if c == '\'' {
			end := i + 1 + strings.IndexByte(pattern[i+1:], '\'')
			b.WriteString(pattern[i+1 : end])
			i = end + 1
			continue
		}
		n := i
		for n < len(pattern) && pattern[n] == c {
			n++
		}
		if c >= 'a' && c <= 'z' || c >= 'A' && c <= 'Z' {
			b.WriteString(l.symbol(c, n-i, d, hour, minute))
		} else {
			b.WriteString(pattern[i:n])
		}
		i = n
	}
	return b.String()
}

// symbol writes one field of a pattern, width letters wide.
func (l *Locale) symbol(c byte, width int, d Day, hour, minute int) string {
	switch c {
	case 'E':
		if width > 3 {
			return l.weekdays[d.Weekday()]
		}
		return l.weekdaysShort[d.Weekday()]
	case 'y':
		if width == 2 {
			return l.figures(d.Y%100, 2)
		}
		return l.figures(d.Y, 1)
	case 'M':
		switch width {
		case 4:
			return l.months[d.M-1]
		case 3:
			return l.monthsShort[d.M-1]
		}
		return l.figures(d.M, width)
	case 'L':
		return l.monthsAlone[d.M-1]
	case 'd':
		if width == 1 && d.D == 1 {
			return l.figures(1, 1) + l.first()
		}
		return l.figures(d.D, width)
	case 'H':
		return l.figures(hour, width)
	case 'h':
		return l.figures((hour+11)%12+1, width)
	case 'm':
		return l.figures(minute, width)
	case 'a':
		return l.halves[hour/12]
	}
	return ""
}

// first is what makes the figure of a month's first day an ordinal where a date is written with words. CLDR has no field
// for it; French writes it so (common practice, no source).
func (l *Locale) first() string {
	if l.language() == "fr" {
		return "er"
	}
	return ""
}

func (l *Locale) figures(n, width int) string {
	s := strconv.Itoa(n)
	for len(s) < width {
		s = "0" + s
	}
	return l.localDigits(s)
}

// Order is in which order day, month and year stand in a date written in figures: "dmy", "mdy" or "ymd" (CLDR 48,
// the short date).
func (l *Locale) Order() string {
	order := ""
	for _, r := range strings.ToLower(l.dates[Short.index()]) {
		if strings.ContainsRune("dmy", r) && !strings.ContainsRune(order, r) {
			order += string(r)
		}
	}
	return order
}
