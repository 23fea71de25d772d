package measure

import (
	"fmt"
	"regexp"
	"strconv"
	"time"
)

var partial = regexp.MustCompile(`^([0-9]{4})(?:-([0-9]{2}))?$`)

// ParsePartial reads a year, a month or a day: 2026, 2026-03, 2026-03-04. The error is a *Wrong.
func ParsePartial(s string) (PartialDate, error) {
	m := partial.FindStringSubmatch(s)
	if m == nil {
		d, err := ParseDate(s)
		if err, ok := err.(*Wrong); ok && err.ID == "problem.date_form" {
			return PartialDate{}, wrong("problem.partial_date_form")
		}
		return PartialDate{d.Year, int(d.Month), d.Day}, err
	}
	month := m[2]
	if month == "" {
		month = "01"
	}
	d, err := dateFrom(m[1], month, "01")
	if err != nil {
		return PartialDate{}, err
	}
	p := PartialDate{Year: d.Year}
	if m[2] != "" {
		p.Month, _ = strconv.Atoi(m[2])
	}
	return p, nil
}

// PartialOf is a day as a partial date.
func PartialOf(d Date) PartialDate { return PartialDate{d.Year, int(d.Month), d.Day} }

// IsZero says whether p is no date.
func (p PartialDate) IsZero() bool { return p == PartialDate{} }

// Whole says whether p is a day.
func (p PartialDate) Whole() bool { return p.Day != 0 }

// Earliest is the first day that p may mean.
func (p PartialDate) Earliest() Date {
	if p.IsZero() {
		return Date{}
	}
	return Date{p.Year, time.Month(max(p.Month, 1)), max(p.Day, 1)}
}

// Latest is the last day that p may mean.
func (p PartialDate) Latest() Date {
	switch {
	case p.IsZero():
		return Date{}
	case p.Month == 0:
		return Date{p.Year, time.December, 31}
	case p.Day == 0:
		return Date{p.Year, time.Month(p.Month), daysIn(p.Year, time.Month(p.Month))}
	}
	return p.Earliest()
}

// String is p as ISO 8601 writes it, as far as it is known.
func (p PartialDate) String() string {
	switch {
	case p.IsZero():
		return ""
	case p.Month == 0:
		return fmt.Sprintf("%04d", p.Year)
	case p.Day == 0:
		return fmt.Sprintf("%04d-%02d", p.Year, p.Month)
	}
	return p.Earliest().String()
}
