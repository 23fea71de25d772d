package cldr

import (
	"encoding/json"
	"os"
	"slices"
	"strings"
	"testing"
	"time"
)

// either is an answer that may differ between the digits of the locale and Latin ones.
type either struct{ def, latn string }

func (e *either) UnmarshalJSON(b []byte) error {
	if b[0] == '"' {
		err := json.Unmarshal(b, &e.def)
		e.latn = e.def
		return err
	}
	var m map[string]string
	if err := json.Unmarshal(b, &m); err != nil {
		return err
	}
	e.def, e.latn = m["default"], m["latn"]+m["gregoryLatn"]
	return nil
}

func readJSON(t *testing.T, name string, into any) {
	t.Helper()
	data, err := os.ReadFile("testdata/" + name)
	if err != nil {
		t.Fatal(err)
	}
	if err := json.Unmarshal(data, into); err != nil {
		t.Fatal(err)
	}
}

func must(t *testing.T, tag, digits string) *Locale {
	t.Helper()
	l, err := For(tag, digits)
	if err != nil {
		t.Fatal(err)
	}
	return l
}

// covers holds a sample to the locales of every offered language, so that none drops out of it unseen.
func covers[T any](t *testing.T, locales map[string]T) {
	t.Helper()
	for _, tag := range []string{"en-GB", "en-US", "es", "fr", "de", "pl", "ar", "hi", "zh-Hans"} {
		if _, ok := locales[tag]; !ok {
			t.Errorf("the sample has no answers for %s", tag)
		}
	}
}

var blanks = strings.NewReplacer("\u202f", " ", "\u00a0", " ")

func same(t *testing.T, what, got, want string) {
	t.Helper()
	if strings.HasPrefix(what, "fr") {
		got = strings.ReplaceAll(got, "1er", "1") // see TestFirstOfAMonthInFrench
	}
	if blanks.Replace(got) != blanks.Replace(want) {
		t.Errorf("%s: got %q, want %q", what, got, want)
	}
}

// digitsOf is the numbering system that the reference used for a locale of the sample.
func digitsOf(tag string) string {
	if tag == "ar-SA" {
		return "arab"
	}
	return "latn"
}

func TestDatesAgainstReference(t *testing.T) {
	var sample struct {
		Instants []struct{ ID, UTC, Zone string }
		Locales  map[string]struct {
			Dates map[string]map[string]either
		}
	}
	readJSON(t, "dates-sample.json", &sample)
	covers(t, sample.Locales)
	if len(sample.Instants) < 4 {
		t.Fatalf("%d instants", len(sample.Instants))
	}
	for tag, locale := range sample.Locales {
		def, latn := must(t, tag, digitsOf(tag)), must(t, tag, "latn")
		for _, in := range sample.Instants {
			at, err := time.Parse(time.RFC3339, in.UTC)
			if err != nil {
				t.Fatal(err)
			}
			zone, err := time.LoadLocation(in.Zone)
			if err != nil {
				t.Fatal(err)
			}
			at = at.In(zone)
			want := locale.Dates[in.ID]
			if len(want) == 0 {
				t.Fatalf("no answers for %s %s", tag, in.ID)
			}
			for key, e := range want {
				same(t, tag+" "+in.ID+" "+key, sampleDate(def, key, at), e.def)
				same(t, tag+" latn "+in.ID+" "+key, sampleDate(latn, key, at), e.latn)
			}
		}
	}
}

func sampleDate(l *Locale, key string, at time.Time) string {
	d := Day{at.Year(), int(at.Month()), at.Day()}
	switch key {
	case "dateFull":
		return l.Date(d, Full)
	case "dateLong":
		return l.Date(d, Long)
	case "dateMedium":
		return l.Date(d, Medium)
	case "dateShort":
		return l.Date(d, Short)
	case "timeShort":
		return l.Clock(at.Hour(), at.Minute())
	case "dateTimeFullShort":
		return l.DateTime(d, at.Hour(), at.Minute(), Full)
	case "weekday":
		return l.WeekdayName(at.Weekday())
	}
	return "unknown key " + key
}

func TestNamesAgainstReference(t *testing.T) {
	var sample struct {
		Locales map[string]struct{ MonthsFormat, MonthsStandAlone, WeekdaysMonToSun []string }
	}
	readJSON(t, "locale-names.json", &sample)
	covers(t, sample.Locales)
	for tag, want := range sample.Locales {
		l := must(t, tag, "latn")
		for i := range 12 {
			same(t, tag, l.months[i], want.MonthsFormat[i])
			same(t, tag, l.MonthName(i+1), want.MonthsStandAlone[i])
		}
		for i, name := range want.WeekdaysMonToSun {
			same(t, tag, l.WeekdayName(time.Weekday((i+1)%7)), name)
		}
	}
}

func TestPluralsAgainstReference(t *testing.T) {
	var sample struct {
		Locales map[string]struct {
			Categories []Category
			Cardinal   map[string]Category
		}
	}
	readJSON(t, "plural-cases.json", &sample)
	covers(t, sample.Locales)
	for tag, want := range sample.Locales {
		l := must(t, tag, "latn")
		for number, category := range want.Cardinal {
			if got, err := l.Plural(number); err != nil || got != category {
				t.Errorf("%s: %s is %s (%v), want %s", tag, number, got, err, category)
			}
		}
		got, named := slices.Sorted(slices.Values(Categories(tag))), slices.Sorted(slices.Values(want.Categories))
		if !slices.Equal(got, named) {
			t.Errorf("%s: categories %v, want %v", tag, got, named)
		}
		if len(want.Cardinal) < 52 {
			t.Errorf("%s: %d numbers", tag, len(want.Cardinal))
		}
	}
}

func TestQuantitiesAgainstReference(t *testing.T) {
	var sample struct {
		Locales map[string]struct {
			Decimal, MilliliterShort, MilliliterLong, Other map[string]either
			List3                                           string
		}
	}
	readJSON(t, "unit-cases.json", &sample)
	covers(t, sample.Locales)
	for tag, want := range sample.Locales {
		def, latn := must(t, tag, digitsOf(tag)), must(t, tag, "latn")
		for number, e := range want.Decimal {
			check := func(l *Locale, w string) {
				got, err := l.Number(number)
				if err != nil {
					t.Fatal(err)
				}
				same(t, tag+" "+number, got, w)
			}
			check(def, e.def)
			check(latn, e.latn)
		}
		for number, e := range want.MilliliterShort {
			w := e.def
			if tag == "en-GB" { // see litreMark
				w = strings.Replace(w, "ml", "mL", 1)
			}
			got, _ := def.Quantity(number, Millilitre)
			same(t, tag+" mL "+number, got, w)
		}
		for number, e := range want.MilliliterLong {
			got, _ := def.QuantityInWords(number, Millilitre)
			same(t, tag+" millilitre "+number, got, e.def)
		}
		for what, e := range want.Other {
			if got := otherUnit(def, what); got != "" {
				same(t, tag+" "+what, got, e.def)
			}
		}
		same(t, tag+" list", latn.List([]string{"A", "B", "C"}, false), want.List3)
	}
}

// otherUnit gives "" for what the papers never write (money) and for percent in Arabic-Indic digits, which
// has a sign of its own.
func otherUnit(l *Locale, what string) string {
	words := strings.Fields(what)
	units := map[string]Unit{"weeks": Week, "hours": Hour, "minutes": Minute, "days": DayUnit, "day": DayUnit,
		"months": Month, "years": Year, "C": Celsius, "%": Percent}
	u, ok := units[words[1]]
	if !ok || u == Percent && l.digits != nil {
		return ""
	}
	write := l.Quantity
	if len(words) == 3 {
		write = l.QuantityInWords
	}
	s, err := write(words[0], u)
	if err != nil {
		return err.Error()
	}
	return s
}
