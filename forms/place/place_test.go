package place

import (
	"os"
	"slices"
	"strings"
	"testing"
	"testing/fstest"
	"time"

	"philtrum/forms/measure"
	"philtrum/forms/source"

	"github.com/google/go-cmp/cmp"
)

func shipped(t testing.TB) *Table {
	t.Helper()
	table, problems := Load(Default)
	if err := problems.Err(); err != nil {
		t.Fatal(problems)
	}
	return table
}

func date(y int, m time.Month, d int) measure.Date { return measure.Date{Year: y, Month: m, Day: d} }

var today = date(2026, 12, 4)

// Age floors checked against the acts themselves, not against this package's data.
func TestAgeFloorsOfTheActs(t *testing.T) {
	table := shipped(t)
	for _, c := range []struct {
		code     string
		on       measure.Date
		age      int
		standing Standing
		source   string // where the expectation comes from
	}{
		// Botulinum Toxin and Cosmetic Fillers (Children) Act 2021 (2021 c. 19) s. 1: an offence to give a filler
		// to a person under 18 for a cosmetic purpose in England; in force on 1 October 2021.
		{"GB-ENG", date(2021, 10, 1), 18, Law, "2021 c. 19"},
		{"GB-ENG", today, 18, Law, "2021 c. 19"},
		{"GB-ENG", date(2021, 9, 30), 18, Practice, ""},
		// Lag (2021:363): 18 years for injection treatments in Sweden; in force on 1 July 2021.
		{"SE", date(2021, 7, 1), 18, Law, "2021:363"},
		{"SE", date(2021, 6, 30), 18, Practice, ""},
		// BEK 834/2014 § 3: never under 18 in Denmark.
		{"DK", today, 18, Law, "BEK 834/2014 § 3"},
		// The English Act does not extend to Wales.
		{"GB-WLS", today, 18, Practice, ""},
	} {
		floor := table.On(c.code, c.on).AgeFloor
		if floor.Years() != c.age || floor.Standing != c.standing || !strings.Contains(floor.Source, c.source) {
			t.Errorf("%s on %s: %+v, want %d as %s of %q", c.code, c.on, floor, c.age, c.standing, c.source)
		}
	}
}

// Sweden, Lag (2021:363): two days before consent, none again within six months.
func TestReflectionOfSweden(t *testing.T) {
	r := shipped(t).On("SE", today).Reflection
	if r.Days != 2 || r.Before != "consent" || r.RepeatMonths != 6 || r.Standing != Law {
		t.Errorf("%+v", r)
	}
}

// The fifteen days of France and Belgium and the two weeks of Austria are for surgery; Australia's seven
// days for under-18s. None of them is the reflection of an adult before filler.
func TestPeriodsForSurgeryAreNotTaken(t *testing.T) {
	table := shipped(t)
	for _, code := range []string{"FR", "BE", "AT", "AU", "GB-ENG", "GB-SCT", "US"} {
		if r := table.On(code, today).Reflection; r.Days != 0 || r.Standing == "" {
			t.Errorf("%s: %+v", code, r)
		}
	}
}

func TestEveryPlaceIsWhole(t *testing.T) {
	table := shipped(t)
	for _, want := range []string{"GB-ENG", "GB-SCT", "GB-WLS", "GB-NIR", "IE", "SE", "DK", "FR", "DE", "ES", "IT", "PL", "BE", "NL", "AT", "PT", "US", "CA", "AU"} {
		if !slices.Contains(table.Codes(), want) {
			t.Errorf("%s is missing", want)
		}
	}
	for _, code := range table.Codes() {
		for _, on := range []measure.Date{date(2015, 1, 1), date(2021, 6, 30), date(2021, 10, 1), today, date(2040, 1, 1)} {
			p := table.On(code, on)
			if !p.Known || p.AgeFloor.Years() < Floor || p.Emergency.Value == "" || len(p.Reporting) == 0 ||
				p.RetainYears.Years() < 5 || len(p.Consent) == 0 && code != "GB-ENG" {
				t.Errorf("%s on %s: %+v", code, on, p)
			}
			if p.AgeFloor.Standing == "" || p.Reflection.Standing == "" || p.Reflection.Trust == "" {
				t.Errorf("%s on %s: a fact without standing or trust: %+v", code, on, p)
			}
		}
	}
}

func TestUnknownPlaceIsTheStrictest(t *testing.T) {
	table := shipped(t)
	p := table.On("ZZ", today)
	if p.Known || p.Emergency.Value != "" {
		t.Errorf("%+v", p)
	}
	for _, code := range table.Codes() {
		known := table.On(code, today)
		if known.AgeFloor.Years() > p.AgeFloor.Years() || known.RetainYears.Years() > p.RetainYears.Years() || known.Reflection.Days > p.Reflection.Days {
			t.Errorf("%s is stricter than an unknown place", code)
		}
	}
	if p.AgeFloor.Standing != Practice || p.Reflection.Standing != Practice || p.Reflection.RepeatMonths != 0 || p.Reflection.Before != "consent" {
		t.Errorf("a law is claimed for a place that nobody looked up: %+v", p)
	}
	if (&Table{}).On("ZZ", today).AgeFloor.Years() != Floor {
		t.Error("an empty table lets the floor sink")
	}
}

// A fact holds on both of its dates.
func TestFactsHoldFromTo(t *testing.T) {
	f := Fact{From: date(2021, 10, 1), To: date(2022, 1, 1)}
	for on, want := range map[measure.Date]bool{
		date(2021, 9, 30): false, date(2021, 10, 1): true, date(2022, 1, 1): true, date(2022, 1, 2): false,
	} {
		if f.Holds(on) != want {
			t.Errorf("on %s: %v", on, !want)
		}
	}
	if !(Fact{}).Holds(today) {
		t.Error("a fact without dates does not hold")
	}
}

// In the United States, approvals cover adults of 22 and older (FDA, Dermal Fillers): a note, not a floor.
func TestNoteOnTwentyTwo(t *testing.T) {
	p := shipped(t).On("US", today)
	if p.AgeFloor.Years() != 18 || !slices.ContainsFunc(p.Notes, func(f Fact) bool { return f.Value == "place.note.us_22" }) {
		t.Errorf("%+v", p)
	}
}

func TestEveryMessageOfAPlaceExists(t *testing.T) {
	data, err := os.ReadFile("../../locales/en/place.yaml")
	if err != nil {
		t.Fatal(err)
	}
	n, problems := source.Parse("place.yaml", data)
	if err := problems.Err(); err != nil {
		t.Fatal(problems)
	}
	have, used := map[string]bool{}, map[string]bool{}
	for _, k := range n.Keys {
		have[k.Name] = true
	}
	for code, r := range shipped(t).rows {
		for _, f := range slices.Concat(r.reporting, r.consent, r.notes) {
			used[f.Value] = true
			if !have[f.Value] {
				t.Errorf("%s: no message %s", code, f.Value)
			}
		}
	}
	for id := range have {
		if !used[id] {
			t.Errorf("no place uses %s", id)
		}
	}
}

func TestEmptyFolderIsAProblem(t *testing.T) {
	if table, problems := Load(fstest.MapFS{}); table != nil || len(problems) != 1 {
		t.Errorf("%v, %v", table, problems)
	}
}

// Find reads less and says the same.
func TestFindSaysWhatTheTableSays(t *testing.T) {
	table := shipped(t)
	for _, code := range append(table.Codes(), "ZZ", "", "../GB-ENG", "gb-eng") {
		for _, on := range []measure.Date{date(2015, 1, 1), date(2021, 9, 30), today} {
			got, problems := Find(Default, code, on)
			if diff := cmp.Diff(table.On(code, on), got); diff != "" || len(problems) > 0 {
				t.Errorf("%s on %s: %v %s", code, on, problems, diff)
			}
		}
	}
}

func BenchmarkFind(b *testing.B) {
	for b.Loop() {
		Find(Default, "GB-ENG", today)
	}
}
