package measure_test

import (
	"encoding/json"
	"errors"
	"fmt"
	"os"
	"regexp"
	"strconv"
	"strings"
	"testing"
	"time"
	_ "time/tzdata"

	"philtrum/forms/measure"

	"pgregory.net/rapid"
)

// reference is testdata/dates.json, which names its sources.
type reference struct {
	Age []struct {
		Birth, On string
		Mar1      int
	}
	AddCalendar    []struct{ Start, Add, Result string }
	AddZoned       []struct{ Start, Zone, Add, Result, ResultUTC string }
	LocalToInstant []struct{ Local, Zone, Compatible, Reject string }
	Difference     []struct {
		From, To string
		Days     int
	}
	RFC3339 []struct {
		Text    string
		RFC3339 bool
	}
}

func load(t *testing.T) reference {
	t.Helper()
	data, err := os.ReadFile("testdata/dates.json")
	if err != nil {
		t.Fatal(err)
	}
	var r reference
	if err := json.Unmarshal(data, &r); err != nil {
		t.Fatal(err)
	}
	if len(r.Age) == 0 || len(r.AddCalendar) == 0 || len(r.AddZoned) == 0 || len(r.LocalToInstant) == 0 ||
		len(r.Difference) == 0 || len(r.RFC3339) == 0 {
		t.Fatal("a part of the reference is missing")
	}
	return r
}

func day(t testing.TB, s string) measure.Date {
	t.Helper()
	d, err := measure.ParseDate(s)
	if err != nil {
		t.Fatalf("%s: %v", s, err)
	}
	return d
}

func zone(t testing.TB, name string) *time.Location {
	t.Helper()
	loc, err := time.LoadLocation(name)
	if err != nil {
		t.Fatal(err)
	}
	return loc
}

func TestAge(t *testing.T) {
	for _, c := range load(t).Age {
		if got := measure.Age(day(t, c.Birth), day(t, c.On)); got != c.Mar1 {
			t.Errorf("born %s, on %s: %d, not %d", c.Birth, c.On, got, c.Mar1)
		}
	}
}

func TestAgeGrowsByOneADayAYear(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		born := anyDay().Draw(t, "born")
		on := born.AddDays(rapid.IntRange(0, 40000).Draw(t, "days"))
		today, tomorrow := measure.Age(born, on), measure.Age(born, on.AddDays(1))
		if tomorrow < today || tomorrow > today+1 {
			t.Errorf("born %s: %d on %s, %d a day later", born, today, on, tomorrow)
		}
	})
}

// period is the part of ISO 8601 durations that the reference uses.
var period = regexp.MustCompile(`^P(?:(\d+)Y)?(?:(\d+)M)?(?:(\d+)W)?(?:(\d+)D)?$`)

func TestAdding(t *testing.T) {
	for _, c := range load(t).AddCalendar {
		m := period.FindStringSubmatch(c.Add)
		n := make([]int, len(m))
		for i := range m {
			n[i], _ = strconv.Atoi(m[i])
		}
		got := day(t, c.Start).AddMonths(12*n[1] + n[2]).AddDays(7*n[3] + n[4])
		if got.String() != c.Result {
			t.Errorf("%s and %s: %s, not %s", c.Start, c.Add, got, c.Result)
		}
	}
	for _, c := range load(t).Difference {
		if got := day(t, c.From).DaysUntil(day(t, c.To)); got != c.Days {
			t.Errorf("%s to %s: %d, not %d", c.From, c.To, got, c.Days)
		}
	}
}

func anyDay() *rapid.Generator[measure.Date] {
	return rapid.Custom(func(t *rapid.T) measure.Date {
		return measure.Date{Year: 1900, Month: time.January, Day: 1}.AddDays(rapid.IntRange(0, 90000).Draw(t, "day"))
	})
}

func TestDaysAndMonthsHold(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d := anyDay().Draw(t, "d")
		n := rapid.IntRange(-3000, 3000).Draw(t, "n")
		if later := d.AddDays(n); d.DaysUntil(later) != n || later.AddDays(-n) != d || (n > 0) != later.After(d) {
			t.Errorf("%s and %d days: %s", d, n, later)
		}
		months := rapid.IntRange(-400, 400).Draw(t, "months")
		later := d.AddMonths(months)
		if got := (later.Year-d.Year)*12 + int(later.Month-d.Month); got != months || later.Day > d.Day {
			t.Errorf("%s and %d months: %s", d, months, later)
		}
		if later.Day < d.Day && later.AddDays(1).Day != 1 {
			t.Errorf("%s and %d months: %s is not the end of its month", d, months, later)
		}
		if again, err := measure.ParseDate(d.String()); err != nil || again != d {
			t.Errorf("%s reads as %s: %v", d, again, err)
		}
	})
}

func TestNoDateStaysNone(t *testing.T) {
	var none measure.Date
	if !none.AddDays(3).IsZero() || !none.AddMonths(3).IsZero() || none.String() != "" || !none.Before(day(t, "1800-01-01")) {
		t.Error("no date became one")
	}
}

func TestDatesThatAreRefused(t *testing.T) {
	for text, want := range map[string]string{
		"03/04/2026":  "date_ambiguous map[first:2026-04-03 second:2026-03-04]",
		"4.3.2026":    "date_ambiguous map[first:2026-03-04 second:2026-04-03]",
		"04-03-2026":  "date_ambiguous map[first:2026-03-04 second:2026-04-03]",
		"25/12/2026":  "date_order map[reading:2026-12-25]",
		"12/25/2026":  "date_order map[reading:2026-12-25]",
		"4/4/2026":    "date_order map[reading:2026-04-04]",
		"40/40/2026":  "date_form map[]",
		"3/4.2026":    "date_form map[]",
		"3/4/26":      "date_form map[]",
		"20260304":    "date_form map[]",
		"2026-3-4":    "date_form map[]",
		"2026/03/04":  "date_form map[]",
		"4 March":     "date_form map[]",
		"":            "date_form map[]",
		" 2026-03-04": "date_form map[]",
		"２０２６-03-04":  "date_form map[]",
		"2026-02-30":  "date_not_real map[]",
		"2026-02-29":  "date_not_real map[]",
		"2026-13-01":  "date_not_real map[]",
		"2026-00-10":  "date_not_real map[]",
		"2026-01-00":  "date_not_real map[]",
		"0026-03-04":  "date_range map[least:1800 most:2200]",
		"9999-03-04":  "date_range map[least:1800 most:2200]",
	} {
		d, err := measure.ParseDate(text)
		if got := why(err); got != want || !d.IsZero() {
			t.Errorf("%q: %s, %s, not %s", text, d, got, want)
		}
	}
}

// why is the message and its placeholders.
func why(err error) string {
	var w *measure.Wrong
	if !errors.As(err, &w) {
		return fmt.Sprint(err)
	}
	return strings.TrimPrefix(w.ID, "problem.") + " " + fmt.Sprint(w.Args)
}

func TestPartialDates(t *testing.T) {
	for _, c := range []struct{ text, earliest, latest string }{
		{"2026", "2026-01-01", "2026-12-31"},
		{"2026-02", "2026-02-01", "2026-02-28"},
		{"2028-02", "2028-02-01", "2028-02-29"},
		{"2026-12", "2026-12-01", "2026-12-31"},
		{"2026-03-04", "2026-03-04", "2026-03-04"},
	} {
		p, err := measure.ParsePartial(c.text)
		if err != nil || p.String() != c.text || p.Earliest().String() != c.earliest || p.Latest().String() != c.latest {
			t.Errorf("%s: %v %s to %s, %v", c.text, p, p.Earliest(), p.Latest(), err)
		}
		if p.Whole() != (len(c.text) == 10) {
			t.Errorf("%s: whole is %v", c.text, p.Whole())
		}
	}
	for text, want := range map[string]string{
		"2026-13": "date_not_real map[]", "2026-00": "date_not_real map[]", "26": "partial_date_form map[]",
		"": "partial_date_form map[]", "03/2026": "partial_date_form map[]", "2026-03-40": "date_not_real map[]",
		"03/04/2026": "date_ambiguous map[first:2026-04-03 second:2026-03-04]", "0999": "date_range map[least:1800 most:2200]",
	} {
		if p, err := measure.ParsePartial(text); why(err) != want || !p.IsZero() {
			t.Errorf("%q: %v %s", text, p, why(err))
		}
	}
	var none measure.PartialDate
	if !none.IsZero() || none.String() != "" || !none.Earliest().IsZero() || !none.Latest().IsZero() {
		t.Error("no date became one")
	}
}

func FuzzDates(f *testing.F) {
	for _, s := range []string{"2026-03-04", "03/04/2026", "2026", "2026-03", "1.1.1999", "2026-02-29"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		if d, err := measure.ParseDate(s); err == nil && d.String() != s {
			t.Errorf("%q reads as %s", s, d)
		}
		p, err := measure.ParsePartial(s)
		if err == nil && (p.String() != s || p.Latest().Before(p.Earliest())) {
			t.Errorf("%q reads as %s", s, p)
		}
	})
}
