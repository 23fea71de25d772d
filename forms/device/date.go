package device

import (
	"time"

	"philtrum/forms/measure"
)

// century gives a year of two digits its century: with the difference to the two digits of the present year
// from 51 to 99 it is the last one, from -99 to -50 the next one, otherwise this one (GS1 General
// Specifications, section 7.12).
func century(two, present int) int {
	year := present - present%100 + two
	switch d := two - present%100; {
	case d > 50:
		return year - 100
	case d < -49:
		return year + 100
	}
	return year
}

// millennium gives a year of three digits the millennium nearest to the present year; IMDRF UDI WG N48 has
// only "014 = 2014".
func millennium(three, present int) int {
	year := present - present%1000 + three
	switch d := year - present; {
	case d > 500:
		return year - 1000
	case d < -500:
		return year + 1000
	}
	return year
}

// civil is a day, if there is such a one.
func civil(year, month, day int) (measure.Date, bool) {
	t := time.Date(year, time.Month(month), day, 0, 0, 0, 0, time.UTC)
	if month < 1 || month > 12 || t.Day() != day || t.Month() != time.Month(month) {
		return measure.Date{}, false
	}
	return measure.Date{Year: year, Month: time.Month(month), Day: day}, true
}

func lastOf(year, month int) measure.Date {
	return measure.Date{Year: year, Month: time.Month(month), Day: 1}.AddMonths(1).AddDays(-1)
}

// ordinal is the n-th day of a year, from 1.
func ordinal(year, n int) (measure.Date, bool) {
	d := measure.Date{Year: year, Month: time.January, Day: 1}.AddDays(n - 1)
	if n < 1 || d.Year != year {
		return measure.Date{}, false
	}
	return d, true
}

// number reads a few digits.
func number(digits string) int {
	n := 0
	for _, c := range digits {
		n = n*10 + int(c-'0')
	}
	return n
}
