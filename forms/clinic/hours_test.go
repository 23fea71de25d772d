package clinic

import (
	"testing"

	"pgregory.net/rapid"

	"philtrum/forms/measure"
)

const openClinic = `name: A
place: GB-ENG
zone: Europe/London
language: en-GB
telephone: "1"
hours: {monday: "09:00-17:30", tuesday: "09:00-12:00, 13:00-17:00", friday: "10:00-14:00"}
closed:
  - 2026-12-25
  - {from: 2026-12-28, to: 2027-01-04}
`

// A review that falls on a closed day moves to the next open one.
func TestNextOpen(t *testing.T) {
	c, _, _, problems := read(t, openClinic, "", "")
	if len(problems) > 0 {
		t.Fatal(problems)
	}
	for _, w := range []struct{ day, want measure.Date }{
		{day(2026, 12, 1), day(2026, 12, 1)}, // a Tuesday
		{day(2026, 12, 2), day(2026, 12, 4)}, // closed on Wednesdays and Thursdays
		{day(2026, 12, 25), day(2027, 1, 5)}, // a holiday on a Friday, then the weekend, then closed to the Monday
		{day(2026, 12, 28), day(2027, 1, 5)}, // the first day of a closure
		{day(2027, 1, 4), day(2027, 1, 5)},   // the last one
	} {
		if got := c.Hours.NextOpen(w.day); got != w.want {
			t.Errorf("%s moves to %s, want %s", w.day, got, w.want)
		}
	}
}

func TestNextOpenWithoutHours(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d := day(2026, 1, 1).AddDays(rapid.IntRange(0, 2000).Draw(t, "day"))
		if got := (Hours{}).NextOpen(d); got != d {
			t.Errorf("%s moved to %s although no hours are known", d, got)
		}
		always := Hours{Closed: []Closure{{day(2020, 1, 1), day(2090, 1, 1)}}}
		if got := always.NextOpen(d); got != d {
			t.Errorf("%s moved to %s although no day is open", d, got)
		}
	})
}

func TestHoursThatCannotBe(t *testing.T) {
	for _, bad := range []string{`"17:00-09:00"`, `"9 to 5"`, `"09:00"`, `"09:00-25:00"`} {
		_, _, _, problems := read(t, "name: A\nplace: GB-ENG\nzone: Europe/London\nlanguage: en-GB\ntelephone: \"1\"\nhours: {monday: "+bad+"}\n", "", "")
		if len(problems) != 1 || problems[0].ID != "problem.opening_hours" {
			t.Errorf("%s: %v", bad, problems)
		}
	}
}
