package measure_test

import (
	"strings"
	"testing"
	"time"

	"philtrum/forms/measure"

	"pgregory.net/rapid"
)

func TestRFC3339(t *testing.T) {
	for _, c := range load(t).RFC3339 {
		if _, err := measure.ParseTime(c.Text, time.UTC); (err == nil) != c.RFC3339 {
			t.Errorf("%q: %v", c.Text, err)
		}
	}
	for text, want := range map[string]string{
		"2026-03-14T10:15:00Z":            "2026-03-14T10:15:00Z",
		"2026-03-14t10:15:00.25+01:00":    "2026-03-14T09:15:00.25Z",
		"1990-12-31T15:59:60-08:00":       "1991-01-01T00:00:00Z",
		"1937-01-01T12:00:27.87+00:20":    "1937-01-01T11:40:27.87Z",
		"2026-03-14T10:15:00-00:00":       "2026-03-14T10:15:00Z",
		"2026-03-14T10:15:00.1234567891Z": "2026-03-14T10:15:00.123456789Z",
	} {
		got, err := measure.ParseTime(text, time.UTC)
		if err != nil || got.Format(time.RFC3339Nano) != want {
			t.Errorf("%q: %s %v", text, got.Format(time.RFC3339Nano), err)
		}
	}
	for _, text := range []string{"2026-03-14T12:00:60Z", "2026-03-14T23:59:61Z", "2026-03-14T10:15:00+01:60"} {
		if _, err := measure.ParseTime(text, time.UTC); why(err) != "time_not_real map[]" {
			t.Errorf("%q: %v", text, err)
		}
	}
}

func TestTimeOnTheClinicsClocks(t *testing.T) {
	for _, c := range load(t).LocalToInstant {
		loc := zone(t, c.Zone)
		text := strings.Replace(strings.TrimSuffix(c.Local, ":00"), "T", " ", 1)
		got, err := measure.ParseTime(text, loc)
		if refused := strings.HasPrefix(c.Reject, "error"); refused != (err != nil) {
			t.Errorf("%s in %s: %v", text, c.Zone, err)
		} else if !refused && got.Format(time.RFC3339) != c.Reject {
			t.Errorf("%s in %s: %s", text, c.Zone, got)
		}
		var d, clock, _ = strings.Cut(text, " ")
		h, m, err := measure.ParseClock(clock)
		if err != nil {
			t.Fatal(err)
		}
		if got := day(t, d).In(loc, h, m).Format("2006-01-02T15:04:05-07:00"); got != c.Compatible {
			t.Errorf("%s in %s is %s, not %s", text, c.Zone, got, c.Compatible)
		}
	}
	for text, want := range map[string]string{
		"2026-03-29 02:30": "time_skipped map[]",
		"2026-10-25 02:30": "time_twice map[]",
		"2026-10-25 02:00": "time_twice map[]",
		"2026-03-29 03:00": "<nil>",
		"2026-10-25 03:00": "<nil>",
		"2026-03-29 01:59": "<nil>",
		"2026-03-29T02:30": "time_form map[]",
		"2026-03-29 25:00": "clock_form map[]",
		"2026-02-30 12:00": "date_not_real map[]",
		"2026-12-04 2:05":  "time_form map[]",
		"2026-12-04":       "time_form map[]",
		"04.12.2026 14:05": "time_form map[]",
		"":                 "time_form map[]",
	} {
		if _, err := measure.ParseTime(text, zone(t, "Europe/Berlin")); why(err) != want {
			t.Errorf("%q: %s, not %s", text, why(err), want)
		}
	}
}

func TestHoursPassThroughClockChanges(t *testing.T) {
	for _, c := range load(t).AddZoned {
		loc := zone(t, c.Zone)
		text, _, _ := strings.Cut(strings.TrimSuffix(c.Start, ":00"), "Z")
		start, err := measure.ParseTime(strings.Replace(text, "T", " ", 1), loc)
		if err != nil {
			t.Fatal(err)
		}
		var end time.Time
		if hours, ok := strings.CutPrefix(c.Add, "PT"); ok {
			span, err := time.ParseDuration(strings.ToLower(hours))
			if err != nil {
				t.Fatal(err)
			}
			end = start.Add(span)
		} else {
			days := map[string]int{"P1D": 1, "P14D": 14}[c.Add]
			end = measure.DateOf(start, loc).AddDays(days).In(loc, start.Hour(), start.Minute())
		}
		if got := end.UTC().Format(time.RFC3339); got != c.ResultUTC {
			t.Errorf("%s in %s and %s: %s, not %s", c.Start, c.Zone, c.Add, got, c.ResultUTC)
		}
	}
}

// A moment written with its offset reads back; written on the clocks it reads back or is said to be
// shown twice.
func TestMomentsReadBack(t *testing.T) {
	names := []string{"Europe/London", "America/St_Johns", "Australia/Lord_Howe", "Asia/Kathmandu", "Pacific/Apia", "Africa/Casablanca", "UTC", "America/Asuncion"}
	rapid.Check(t, func(t *rapid.T) {
		loc, err := time.LoadLocation(rapid.SampledFrom(names).Draw(t, "zone"))
		if err != nil {
			t.Fatal(err)
		}
		at := time.Unix(60*rapid.Int64Range(0, 50_000_000).Draw(t, "minute"), 0).In(loc)
		if got, err := measure.ParseTime(at.Format(time.RFC3339), loc); err != nil || !got.Equal(at) {
			t.Errorf("%s reads as %s: %v", at, got, err)
		}
		got, err := measure.ParseTime(at.Format("2006-01-02 15:04"), loc)
		if err != nil && why(err) != "time_twice map[]" || err == nil && !got.Equal(at) {
			t.Errorf("%s reads as %s: %v", at, got, err)
		}
	})
}

func TestClock(t *testing.T) {
	for text, want := range map[string][2]int{"14:05": {14, 5}, "9:30": {9, 30}, "00:00": {0, 0}, "23:59": {23, 59}} {
		if h, m, err := measure.ParseClock(text); err != nil || h != want[0] || m != want[1] {
			t.Errorf("%s: %d:%d %v", text, h, m, err)
		}
	}
	for _, text := range []string{"24:00", "12:60", "2:05 pm", "1405", "14.05", "14:5", "", ":", "-1:00"} {
		if _, _, err := measure.ParseClock(text); why(err) != "clock_form map[]" {
			t.Errorf("%s: %v", text, err)
		}
	}
}

func FuzzTime(f *testing.F) {
	for _, s := range []string{"2026-12-04 14:05", "2026-03-29 02:30", "2026-03-14t10:15:00.5z", "1990-12-31T15:59:60-08:00"} {
		f.Add(s)
	}
	loc := zone(f, "Europe/London")
	f.Fuzz(func(t *testing.T, s string) {
		at, err := measure.ParseTime(s, loc)
		if err != nil {
			return
		}
		again, err := measure.ParseTime(at.UTC().Format(time.RFC3339Nano), loc)
		if utc := at.UTC().Year(); err != nil && utc >= 1800 && utc <= 2200 || err == nil && !again.Equal(at) {
			t.Errorf("%q reads as %s, then %s: %v", s, at, again, err)
		}
	})
}
