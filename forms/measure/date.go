package measure

import (
	"cmp"
	"fmt"
	"regexp"
	"strconv"
	"time"
)

// Years outside these are mistypes: nobody treated was born before, nothing planned lies after.
const (
	firstYear = 1800
	lastYear  = 2200
)

var (
	isoDate = regexp.MustCompile(`^([0-9]{4})-([0-9]{2})-([0-9]{2})$`)
	// otherDate is a day and month in some order before the year.
	otherDate = regexp.MustCompile(`^([0-9]{1,2})([./-])([0-9]{1,2})([./-])([0-9]{4})$`)
)

// ParseDate reads a day as ISO 8601 writes it, 2026-03-04. Day and month in another order are refused: with
// both readings in Args ("first", "second") if it can be read two ways, with the only one ("reading")
// otherwise. The error is a *Wrong.
func ParseDate(s string) (Date, error) {
	if m := isoDate.FindStringSubmatch(s); m != nil {
		return dateFrom(m[1], m[2], m[3])
	}
	return Date{}, misread(s)
}

func misread(s string) *Wrong {
	m := otherDate.FindStringSubmatch(s)
	if m == nil || m[2] != m[4] {
		return wrong("problem.date_form")
	}
	dayFirst, errDay := dateFrom(m[5], m[3], m[1])
	monthFirst, errMonth := dateFrom(m[5], m[1], m[3])
	switch {
	case errDay == nil && errMonth == nil && dayFirst != monthFirst:
		return &Wrong{ID: "problem.date_ambiguous",
			Args: map[string]any{"first": dayFirst.String(), "second": monthFirst.String()}}
	case errDay == nil:
		return &Wrong{ID: "problem.date_order", Args: map[string]any{"reading": dayFirst.String()}}
	case errMonth == nil:
		return &Wrong{ID: "problem.date_order", Args: map[string]any{"reading": monthFirst.String()}}
	}
	return wrong("problem.date_form")
}

// dateFrom takes digits only.
func dateFrom(year, month, day string) (Date, error) {
	y, _ := strconv.Atoi(year)
	m, _ := strconv.Atoi(month)
	d, _ := strconv.Atoi(day)
	if m < 1 || m > 12 || d < 1 || d > daysIn(y, time.Month(m)) {
		return Date{}, wrong("problem.date_not_real")
	}
	if y < firstYear || y > lastYear {
		return Date{}, &Wrong{ID: "problem.date_range", Args: map[string]any{"least": strconv.Itoa(firstYear), "most": strconv.Itoa(lastYear)}}
	}
	return Date{y, time.Month(m), d}, nil
}

func daysIn(year int, month time.Month) int {
	return time.Date(year, month+1, 0, 0, 0, 0, 0, time.UTC).Day()
}

// DateOf is the day on which t falls in loc.
func DateOf(t time.Time, loc *time.Location) Date {
	y, m, d := t.In(loc).Date()
	return Date{y, m, d}
}

func (d Date) utc() time.Time { return time.Date(d.Year, d.Month, d.Day, 0, 0, 0, 0, time.UTC) }

// String is the day as ISO 8601 writes it; the zero Date is empty.
func (d Date) String() string {
	if d.IsZero() {
		return ""
	}
	return fmt.Sprintf("%04d-%02d-%02d", d.Year, d.Month, d.Day)
}

// IsZero says whether d is no date.
func (d Date) IsZero() bool { return d == Date{} }

// Compare is -1, 0 or 1 as d lies before, on or after other; no date lies before every date.
func (d Date) Compare(other Date) int {
	return cmp.Or(cmp.Compare(d.Year, other.Year), cmp.Compare(d.Month, other.Month), cmp.Compare(d.Day, other.Day))
}

// Before says whether d lies before other.
func (d Date) Before(other Date) bool { return d.Compare(other) < 0 }

// After says whether d lies after other.
func (d Date) After(other Date) bool { return d.Compare(other) > 0 }

// AddDays is n days later, or earlier if n is below zero. No date stays no date.
func (d Date) AddDays(n int) Date {
	if d.IsZero() {
		return d
	}
	return DateOf(d.utc().AddDate(0, 0, n), time.UTC)
}

// AddMonths is the same day n months later; where that month is shorter, its last day (31 January and
// one month is 28 or 29 February), as the Temporal proposal's "constrain" has it.
func (d Date) AddMonths(n int) Date {
	if d.IsZero() {
		return d
	}
	first := time.Date(d.Year, d.Month+time.Month(n), 1, 0, 0, 0, 0, time.UTC)
	day := min(d.Day, daysIn(first.Year(), first.Month()))
	return Date{first.Year(), first.Month(), day}
}

// DaysUntil is the number of days from d to other, below zero if other lies before. Both must be dates.
func (d Date) DaysUntil(other Date) int {
	return int(other.utc().Sub(d.utc()) / (24 * time.Hour))
}

// In is the moment at which clocks in loc show hour and minute on d. A time that the clocks skip is
// moved on by what they skip, of a time that they show twice the first is meant ("compatible" in the
// Temporal proposal); [ParseTime] refuses both.
func (d Date) In(loc *time.Location, hour, minute int) time.Time {
	t, _ := moment(time.Date(d.Year, d.Month, d.Day, hour, minute, 0, 0, time.UTC), loc)
	return t
}

// Age is the whole years that somebody born on one day has lived on another, below zero before birth.
// Somebody born on 29 February has their birthday on 1 March of common years. Which day the law of
// England and Wales takes is disputed between the sources read; Hong Kong (cap. 410 s. 5) and Germany
// (BGB 187(2), 188, from memory) take 1 March, Taiwan (Civil Code 121, 124) takes 28 February. The later day is
// never earlier than any practice, as an age floor needs.
func Age(born, on Date) int {
	years := on.Year - born.Year
	if on.Month < born.Month || on.Month == born.Month && on.Day < born.Day {
		years--
	}
	return years
}
