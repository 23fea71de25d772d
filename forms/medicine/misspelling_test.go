package medicine_test

import (
	"encoding/csv"
	"os"
	"slices"
	"testing"

	"philtrum/forms/medicine"
)

// How people write names wrongly, by language: letters doubled, dropped, swapped or written as they sound, and
// spellings of the neighbouring language. Common practice, no source. Each is recognised as what it is, or it is
// not recognised and what it is stands among the suggestions; none is passed over, and none is taken for another
// medicine.
func TestTypicalMisspellingsAreNeverPassedOver(t *testing.T) {
	file, err := os.Open("testdata/misspellings.csv")
	if err != nil {
		t.Fatal(err)
	}
	defer file.Close()
	rows, err := csv.NewReader(file).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	l := load(t)
	seen := map[string]int{}
	for _, row := range rows[1:] {
		language, written, inn := row[0], row[1], row[2]
		seen[language]++
		if _, known := l.Find(inn); !known {
			t.Errorf("%s: the lists hold no %s", written, inn)
			continue
		}
		matches := l.Match(written)
		if len(matches) == 0 {
			t.Errorf("%s %q is passed over", language, written)
		}
		told := slices.ContainsFunc(matches, func(m medicine.Match) bool {
			return m.INN == inn || slices.Contains(m.Suggestions, inn)
		})
		if !told {
			t.Errorf("%s %q: %v, suggested %q; want %s", language, written, names(matches), matches[0].Suggestions, inn)
		}
		for _, m := range matches {
			if m.Recognised && m.INN != inn {
				t.Errorf("%s %q is taken for %s", language, written, m.INN)
			}
		}
	}
	for _, language := range []string{"en", "es", "fr", "de", "it", "pt", "pl", "ru", "ar"} {
		if seen[language] < 7 {
			t.Errorf("%s has only %d misspellings", language, seen[language])
		}
	}
}
