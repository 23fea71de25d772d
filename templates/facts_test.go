package templates_test

import (
	"slices"
	"testing"
	"time"

	"philtrum/forms"
	"philtrum/forms/clinic"
	"philtrum/forms/intake"
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
