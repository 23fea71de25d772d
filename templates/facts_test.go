package templates_test

import (
	"slices"
	"strings"
	"testing"
	"time"

	"philtrum/forms"
	"philtrum/forms/clinic"
	"philtrum/forms/intake"
	"philtrum/forms/place"
	"philtrum/forms/screen"
	"philtrum/forms/visit"
	"philtrum/templates"
)

// A question of the day is still to be asked unless it was answered on the day of the appointment, by
// the clinic's clock.
func TestQuestionsOfTheDay(t *testing.T) {
	form := &forms.Form{Sections: []forms.Section{{Questions: []*forms.Question{
		{ID: "pregnant", ShelfLife: forms.ShelfLife{OnTheDay: true}},
		{ID: "allergy"},
	}}}}
	appointment := at(12, 4, 14, 0)
	for name, c := range map[string]struct {
		answered time.Time
		want     []string
	}{
		"never answered":                         {time.Time{}, []string{"pregnant"}},
		"answered the day before":                {at(12, 3, 23, 59), []string{"pregnant"}},
		"answered that morning":                  {at(12, 4, 0, 1), nil},
		"answered at another zone's same moment": {at(12, 4, 9, 0).In(time.FixedZone("", 14*3600)), nil},
	} {
		answers := map[string]forms.Answer{"allergy": {State: forms.Given, At: at(11, 1, 9, 0)}}
		if !c.answered.IsZero() {
			answers["pregnant"] = forms.Answer{State: forms.Given, At: c.answered}
		}
		f := templates.Gather(templates.Issue{}, screen.Case{
			Intake: intake.Intake{Form: form, Answers: answers},
			Visit:  visit.Visit{Appointment: appointment},
			Clinic: clinic.Clinic{Zone: london},
		}, screen.Report{Asked: []string{"pregnant", "allergy"}})
		if !slices.Equal(f.OnTheDay, c.want) {
			t.Errorf("%s: to be asked %v, want %v", name, f.OnTheDay, c.want)
		}
	}
}

// The day from which consent is possible counts from the first time that the information was handed over,
// in this visit or the one that it continues; a repeated treatment needs no new period.
func TestReflection(t *testing.T) {
	handed := func(days ...int) []visit.Handed {
		var out []visit.Handed
		for _, d := range days {
			out = append(out, visit.Handed{Paper: "information", At: at(11, d, 9, 0)})
		}
		return out
	}
	before := visit.Visit{ID: "a", Handed: handed(20)}
	treated := visit.Visit{ID: "b", Treatment: &visit.Given{Start: at(7, 1, 10, 0), Rows: []visit.Row{{Zone: "UL-VB"}}}}
	for name, c := range map[string]struct {
		handed  []visit.Handed
		earlier []visit.Visit
		want    string // empty: no period
	}{
		"handed twice, the first counts":  {handed(28, 25), nil, "27 November 2026"},
		"handed in the visit before":      {nil, []visit.Visit{before}, "22 November 2026"},
		"treated five months ago":         {handed(28), []visit.Visit{treated}, ""},
		"handed in a visit of no concern": {nil, []visit.Visit{{ID: "x", Handed: handed(1)}}, "2  days to think"},
	} {
		f := plannedFacts(t)
		f.Place.Reflection = place.Reflection{Days: 2, Before: "consent", RepeatMonths: 6}
		f.Visit.ID, f.Visit.After, f.Visit.Handed, f.Earlier = "v", "a", c.handed, c.earlier
		text := textOf(compose(t, "information", f, "en"))
		if c.want == "" {
			if !strings.Contains(text, "Take the time you need") {
				t.Errorf("%s: a period is printed", name)
			}
			continue
		}
		if !strings.Contains(text, c.want) {
			t.Errorf("%s: no %q", name, c.want)
		}
	}
}
