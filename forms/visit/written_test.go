package visit

import (
	"slices"
	"strings"
	"testing"
	"time"

	"philtrum/forms/source"
)

func readWritten(t *testing.T, entry string) (Visit, source.Problems) {
	t.Helper()
	r := &source.Reader{}
	v := Read(parse(t, `id: v-1
patient: p-1
kind: treatment
appointment: 2026-12-04 14:05
plan: {wish: "Quiero los labios de antes", examination: "Soft."}
decisions:
  - {rule: a, outcome: b, reason: "First.", by: amara, at: 2026-12-04 14:00, digest: ab}
  - {rule: c, outcome: d, reason: "Déjà expliqué.", by: amara, at: 2026-12-04 14:00, digest: cd}
treatment: {notes: "Alles ruhig."}
written_in:
  - `+entry+"\n"), r, time.UTC)
	return v, r.Problems()
}

// A sentence has the language that its place is said to be in, and no other sentence has one.
func TestWrittenIn(t *testing.T) {
	for _, c := range []struct{ entry, text, language string }{
		{"{where: plan.wish, language: es-MX}", "Quiero los labios de antes", "es-MX"},
		{"{where: decisions.2.reason, language: fr}", "Déjà expliqué.", "fr"},
		{"{where: treatment.notes, language: de}", " Alles ruhig. ", "de"},
		{"{where: treatment.notes, language: de}", "Soft.", ""},
		{"{where: decisions.7.reason, language: fr}", "First.", ""},
		{"{where: review.words, language: fr}", "", ""},
	} {
		v, problems := readWritten(t, c.entry)
		if len(problems) > 0 {
			t.Errorf("%s: %v", c.entry, problems)
		}
		if got := v.LanguageOf(c.text); got != c.language {
			t.Errorf("%s: %q is in %q, want %q", c.entry, c.text, got, c.language)
		}
	}
}

func TestWrittenInIsRead(t *testing.T) {
	for entry, want := range map[string]string{
		"{where: plan.wich, language: es}":          "problem.unknown_word_near",
		"{where: plan.zones, language: es}":         "problem.unknown_word",
		"{where: decisions.0.reason, language: es}": "problem.unknown_word",
		"{where: decisions.reason, language: es}":   "problem.unknown_word",
		"{where: plan.wish, language: Spanish!}":    "problem.language",
		"{where: plan.wish}":                        "problem.missing_key",
	} {
		_, problems := readWritten(t, entry)
		if len(problems) != 1 || !strings.HasPrefix(problems[0].ID, want) {
			t.Errorf("%s: %v, want %s", entry, problems, want)
		}
	}
}

func TestWrittenPlacesAreKnown(t *testing.T) {
	for place := range writtenPlaces {
		if !slices.Contains(WrittenPlaces(), place) {
			t.Errorf("%s is not listed", place)
		}
	}
	if len(WrittenPlaces()) != len(writtenPlaces) {
		t.Error("a place is listed that nothing reads")
	}
}

// Every place that holds a sentence is found with its number, and none that is empty.
func TestWritten(t *testing.T) {
	v, _ := readWritten(t, "{where: plan.wish, language: es}")
	want := []string{"plan.wish", "plan.examination", "decisions.1.reason", "decisions.2.reason", "treatment.notes"}
	if got := v.Written(); !slices.Equal(got, want) {
		t.Errorf("sentences stand at %v, want %v", got, want)
	}
	if got := (Visit{}).Written(); len(got) > 0 {
		t.Errorf("an empty visit has sentences at %v", got)
	}
}
