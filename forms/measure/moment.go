package measure

import (
	"regexp"
	"strconv"
	"strings"
	"time"
)

var (
	// rfc3339 is date-time of RFC 3339 5.6, whose letters may be small.
	rfc3339 = regexp.MustCompile(
		`^([0-9]{4}-[0-9]{2}-[0-9]{2})[Tt]([0-9]{2}):([0-9]{2}):([0-9]{2})(\.[0-9]+)?([Zz]|[+-][0-9]{2}:[0-9]{2})$`)
	wallTime = regexp.MustCompile(`^([0-9]{4}-[0-9]{2}-[0-9]{2}) ([0-9]{2}:[0-9]{2})$`)
	clock    = regexp.MustCompile(`^([0-9]{1,2}):([0-9]{2})$`)
)

// ParseTime reads a moment: as RFC 3339 with its offset, or as a date and a 24-hour time on the clocks of
// loc, "2026-12-04 14:05". A time that those clocks skip or show twice is refused, as only an offset says
// which is meant. The result is in loc. Fractions count to the nanosecond. The error is a *Wrong.
func ParseTime(s string, loc *time.Location) (time.Time, error) {
	if m := rfc3339.FindStringSubmatch(s); m != nil {
		return withOffset(m, loc)
	}
	m := wallTime.FindStringSubmatch(s)
	if m == nil {
		return time.Time{}, wrong("problem.time_form")
	}
	d, err := ParseDate(m[1])
	if err != nil {
		return time.Time{}, err
	}
	hour, minute, err := ParseClock(m[2])
	if err != nil {
		return time.Time{}, err
	}
	t, found := moment(time.Date(d.Year, d.Month, d.Day, hour, minute, 0, 0, time.UTC), loc)
	switch found {
	case 0:
		return time.Time{}, wrong("problem.time_skipped")
	case 1:
		return t, nil
	}
	return time.Time{}, wrong("problem.time_twice")
}

// withOffset takes the parts of rfc3339.
func withOffset(m []string, loc *time.Location) (time.Time, error) {
	d, err := ParseDate(m[1])
	if err != nil {
		return time.Time{}, err
	}
	hour, _ := strconv.Atoi(m[2])
	minute, _ := strconv.Atoi(m[3])
	second, _ := strconv.Atoi(m[4])
	offset, ok := offsetSeconds(m[6])
	if !ok || hour > 23 || minute > 59 || second > 60 {
		return time.Time{}, wrong("problem.time_not_real")
	}
	nanoseconds := 0
	if m[5] != "" {
		nanoseconds, _ = strconv.Atoi((m[5] + "000000000")[1:10])
	}
	t := time.Date(d.Year, d.Month, d.Day, hour, minute, second, nanoseconds, time.UTC).
		Add(-time.Duration(offset) * time.Second)
	// A leap second ends a day in UTC (RFC 3339 5.7); Go's clock has none, so it counts as the next second.
	if second == 60 && (t.Hour() != 0 || t.Minute() != 0) {
		return time.Time{}, wrong("problem.time_not_real")
	}
	return t.In(loc), nil
}

func offsetSeconds(s string) (int, bool) {
	if strings.EqualFold(s, "z") {
		return 0, true
	}
	hours, _ := strconv.Atoi(s[1:3])
	minutes, _ := strconv.Atoi(s[4:6])
	seconds := hours*3600 + minutes*60
	if s[0] == '-' {
		seconds = -seconds
	}
	return seconds, hours <= 23 && minutes <= 59
}

// ParseClock reads a 24-hour time, 14:05 or 9:30. The error is a *Wrong.
func ParseClock(s string) (hour, minute int, err error) {
	m := clock.FindStringSubmatch(s)
	if m == nil {
		return 0, 0, wrong("problem.clock_form")
	}
	hour, _ = strconv.Atoi(m[1])
	minute, _ = strconv.Atoi(m[2])
	if hour > 23 || minute > 59 {
		return 0, 0, wrong("problem.clock_form")
	}
	return hour, minute, nil
}

// moment is when the clocks of loc show what wall shows in UTC, and how often they do: a time that they
// skip is moved on by what they skip, of several the first is taken.
func moment(wall time.Time, loc *time.Location) (time.Time, int) {
	_, before := wall.Add(-24 * time.Hour).In(loc).Zone()
	_, after := wall.Add(24 * time.Hour).In(loc).Zone()
	early := wall.Add(-time.Duration(before) * time.Second).In(loc)
	late := wall.Add(-time.Duration(after) * time.Second).In(loc)
	shows := func(t time.Time) bool {
		_, offset := t.Zone()
		return t.UTC().Add(time.Duration(offset) * time.Second).Equal(wall)
	}
	switch {
	case before == after, shows(early) && !shows(late):
		return early, 1
	case shows(late) && !shows(early):
		return late, 1
	case shows(early) && shows(late):
		if late.Before(early) {
			early = late
		}
		return early, 2
	}
	return early, 0
}
