package cldr

import (
	"slices"
	"strconv"
	"time"
)

//go:generate sh -c "node hijri.mjs > hijritable.go && gofmt -w hijritable.go"

// hijriRegions are those in which Arabic papers carry the date of the Umm al-Qura calendar beside the Gregorian
// one: CLDR names it right after the Gregorian there (supplemental calendarPreferenceData, read through Intl).
// No other language here has one: hi-IN and zh-Hans-CN date papers by the Gregorian calendar; India's national
// calendar and the Chinese one do not date appointments in common use (common practice, no source).
var hijriRegions = []string{"ar-SA", "ar-AE", "ar-KW", "ar-QA", "ar-BH"}

// Beside is the day in the calendar that stands beside the Gregorian one in the region, empty where none does, and
// for days outside the table (1445 to 1500 of the Hijra, 2023 to 2077).
func (l *Locale) Beside(d Day) string {
	if !slices.Contains(hijriRegions, l.region) || d.D == 0 || !d.Valid() {
		return ""
	}
	y, m, day, ok := hijri(d)
	if !ok {
		return ""
	}
	return l.localDigits(strconv.Itoa(day)) + " " + hijriMonths[m-1] + " " + l.localDigits(strconv.Itoa(y)) + " هـ"
}

// hijri converts a day by counting the months of the table.
func hijri(d Day) (year, month, day int, ok bool) {
	from, err := time.Parse(time.DateOnly, hijriFrom)
	if err != nil {
		return 0, 0, 0, false
	}
	left := int(time.Date(d.Y, time.Month(d.M), d.D, 0, 0, 0, 0, time.UTC).Sub(from) / (24 * time.Hour))
	if left < 0 {
		return 0, 0, 0, false
	}
	for i, bits := range hijriYears {
		for m := range 12 {
			length := 29 + int(bits>>m&1)
			if left < length {
				return hijriYear + i, m + 1, left + 1, true
			}
			left -= length
		}
	}
	return 0, 0, 0, false
}
