package forms_test

import (
	"fmt"
	"strings"
	"testing"
	"time"
	"unicode/utf8"

	"philtrum/forms/intake"
	"philtrum/forms/measure"
	"philtrum/forms/source"
	"philtrum/forms/visit"
)

// inside checks that every problem stands in the file, or is about the file as a whole.
func inside(t *testing.T, file string, data []byte, problems source.Problems) {
	t.Helper()
	lines := strings.Split(strings.ReplaceAll(strings.TrimPrefix(string(data), "\ufeff"), "\r\n", "\n"), "\n")
	for _, p := range problems {
		if p.Span == (source.Span{}) || p.Span.Line == 0 && p.Span.File == file {
			continue
		}
		if p.Span.File != file || p.Span.Line < 1 || p.Span.Line > len(lines) || p.Span.Col < 1 ||
			p.Span.Col > utf8.RuneCountInString(lines[p.Span.Line-1])+1 {
			t.Errorf("%s stands at %v, outside the file", p.ID, p.Span)
		}
	}
}

const canary = "Zanzibarbara"

// Whatever a visit file holds, reading it does not panic, problems stand inside the file, and what was
// typed as a value is not repeated by any.
func FuzzIntake(f *testing.F) {
	for _, seed := range []string{
		"id: v-1\npatient: p-1\nkind: treatment\nappointment: 2026-12-04 14:00\nanswered: {by: patient, via: paper, at: 2026-12-04 13:50}\nanswers:\n  sex: female\n  pregnant: n/a\n  conditions: [heart]\n  heart_date: 2026-11\n  weight: 61,5\n  medicines: [Zanzibarbara]\n  allergies:\n    - {to: Zanzibarbara, severe: unsure, since: 2019}\n",
		"answers:\n  sex: Zanzibarbara\n  heart_date: 03/04/2026\n  wish: {state: given, value: Zanzibarbara, replaced: [{state: unsure}]}\n",
		"treatment:\n  rows:\n    - {zone: Zanzibarbara, volume: 0,5}\n  syringes: Zanzibarbara\nplan: {zones: [Zanzibarbara]}\n",
		"answers: [1]\ntreatment: [2]\nplan: 3\ndecisions: {}\n",
	} {
		f.Add([]byte(seed))
	}
	form, zone := sample(f), london(f)
	f.Fuzz(func(t *testing.T, data []byte) {
		n, problems := source.Parse("visit.yaml", data)
		inside(t, "visit.yaml", data, problems)
		if len(problems) > 0 {
			return
		}
		r := &source.Reader{}
		v := visit.Read(n, r, zone)
		in := intake.Read(form, v, r)
		found := r.Problems()
		if v.Treatment != nil {
			found = append(found, v.Treatment.Marks...)
			v.Treatment.Remarks(visitDay)
			v.Treatment.Outside(v.Plan.Scope(), func(string) visit.Line { return visit.Line{} })
		}
		inside(t, "visit.yaml", data, found)
		for _, p := range found {
			if p.ID != "problem.unknown_key" && p.ID != "problem.unknown_key_near" && p.ID != "problem.duplicate_key" &&
				strings.Contains(fmt.Sprint(p.Args), canary) {
				t.Errorf("%s repeats a value: %v", p.ID, p.Args)
			}
		}
		for id, a := range in.Answers {
			if a.State == "" {
				t.Errorf("%s has no state", id)
			}
		}
	})
}

var visitDay = measure.Date{Year: 2026, Month: time.December, Day: 4}
