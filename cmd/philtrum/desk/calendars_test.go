package desk

import (
	"regexp"
	"slices"
	"strings"
	"testing"

	"philtrum/templates"
)

// gregorianYear is a year of the Gregorian calendar in a date in words.
var gregorianYear = regexp.MustCompile(`202[67]`)

// Where people read by another calendar as well, what a patient has to do by a day names the day in both: on the
// aftercare sheet, normal and large, alone and beside the clinic's language, and in the notes of a calendar.
func TestDaysOfBothCalendars(t *testing.T) {
	d, visits := visitsToRead(t)
	treated := visits[1]
	for _, region := range []string{"ar-SA", "ar-AE", "ar-KW", "ar-QA", "ar-BH", "ar"} {
		for _, r := range []Request{{}, {LargePrint: true}, {With: "en"}, {LargePrint: true, Page: "Letter"}} {
			r.Language = region
			m, problems, err := d.compose(treated, Issued{Kind: "aftercare", Language: region}, r)
			if err != nil || len(problems) > 0 {
				t.Fatal(region, err, problems)
			}
			for _, report := range m.result.Reports {
				t.Errorf("%s %+v: %s in %s on page %d", region, r, report.ID, report.Block, report.Page)
			}
			both, days := strings.Count(painted(m.result), "هـ)"), 0
			for _, line := range strings.Split(m.composed.Dump(), "\n") {
				if slices.ContainsFunc([]string{"until", "ديسمبر", "يناير", "نوفمبر"}, func(s string) bool { return strings.Contains(line, s) }) {
					days += len(gregorianYear.FindAllString(line, -1))
				}
			}
			if region == "ar" && both > 0 || region != "ar" && both < 8 {
				t.Errorf("%s %+v: %d of %d days in both calendars", region, r, both, days)
			}
			if r.LargePrint || r.With != "" {
				continue
			}
			entries, problems := templates.Calendar(m.paper)
			if len(problems) > 0 || len(entries) == 0 {
				t.Fatal(region, problems)
			}
			for _, e := range entries {
				if got := strings.Contains(e.Note, "هـ)"); got != (region != "ar") {
					t.Errorf("%s: the note %q names the day of the other calendar: %v", region, e.Note, got)
				}
			}
		}
	}
}
