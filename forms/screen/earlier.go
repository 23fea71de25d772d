package screen

import (
	"slices"

	"philtrum/forms"
	"philtrum/forms/intake"
	"philtrum/forms/measure"
	"philtrum/forms/source"
)

// allergyWords are the options by which an allergy shows in the answers: of "allergies", and of
// "severe_allergy_to" once "severe_allergy" is a yes.
var allergyWords = map[string]struct{ known, severe []string }{
	"hyaluronidase": {known: []string{"hyaluronidase"}},
	"stings":        {known: []string{"stings"}, severe: []string{"sting"}},
	"anaesthetic":   {known: []string{"anaesthetic"}, severe: []string{"anaesthetic"}},
	"materials":     {known: []string{"antiseptic", "latex"}},
}

// earlierAllergy is the day on which an earlier visit was last told of an allergy that the visit's own answers
// do not tell of; zero if none was. It is not confirmed: emergency care is shown it and asks.
func (m *mind) earlierAllergy(what string) measure.Date {
	var last measure.Date
	if _, told := allergyIn(m.Intake, what); told {
		return last
	}
	for i := range m.Earlier {
		if m.Earlier[i].ID == m.Visit.ID {
			continue
		}
		// What is wrong in the file of another visit is told when that visit is checked.
		answers := intake.Read(m.rules.form, m.Earlier[i], &source.Reader{})
		a, told := allergyIn(answers, what)
		if !told {
			continue
		}
		at := a.At
		if at.IsZero() {
			at = m.Earlier[i].Appointment
		}
		if on := m.civil(at); on.After(last) {
			last = on
		}
	}
	return last
}

// allergyIn finds the answer that tells of an allergy.
func allergyIn(in intake.Intake, what string) (forms.Answer, bool) {
	severe := in.Answers["severe_allergy"]
	reacted := severe.State == forms.Given && severe.Value.Yes
	if what == "severe" {
		return severe, reacted
	}
	words := allergyWords[what]
	if a := in.Answers["allergies"]; holds(a, words.known) {
		return a, true
	}
	a := in.Answers["severe_allergy_to"]
	return a, reacted && holds(a, words.severe)
}

func holds(a forms.Answer, options []string) bool {
	return a.State == forms.Given && slices.ContainsFunc(a.Value.Choices, func(c string) bool { return slices.Contains(options, c) })
}
