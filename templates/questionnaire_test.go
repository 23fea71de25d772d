package templates

import (
	"reflect"
	"slices"
	"strings"
	"testing"

	"philtrum/forms"
	"philtrum/forms/visit"
	"philtrum/locales"
)

func shippedForm(t *testing.T) *forms.Form {
	t.Helper()
	form, problems := forms.Load(forms.Default, "lips")
	if len(problems) > 0 {
		t.Fatal(problems.Err())
	}
	return form
}

// Every question that a patient is asked stands on the questionnaire once, none of the practitioner's, and each that is
// meant for some only stands below the one that tells for whom.
func TestQuestionnaireAsksEverything(t *testing.T) {
	form := shippedForm(t)
	for _, kind := range []visit.Kind{visit.Consultation, visit.Treatment, visit.Dissolving} {
		all := questionList(form, kind)
		want := 0
		for _, s := range form.Sections {
			for _, q := range s.Questions {
				at := position(all, q.ID)
				asked := s.ID != practitionerSection && q.Asks(string(kind))
				if asked {
					want++
				}
				if asked != (at >= 0) {
					t.Errorf("%s: %s stands there: %v", kind, q.ID, at >= 0)
				}
			}
		}
		if len(all) != want {
			t.Errorf("%s: %d questions, want %d", kind, len(all), want)
		}
		for i, l := range all {
			if (l.question.When != "") != (l.lead != nil) || (l.level > 0) != (l.question.When != "") {
				t.Errorf("%s: %s: level %d, condition %q", kind, l.question.ID, l.level, l.question.When)
			}
			for _, m := range l.means {
				if p := position(all, m.question); p < 0 || p >= i {
					t.Errorf("%s: %s stands before %s", kind, l.question.ID, m.question)
				}
			}
		}
	}
}

func TestNumbersOfQuestions(t *testing.T) {
	all := questionList(shippedForm(t), visit.Treatment)
	seen := map[string]bool{}
	for _, l := range all {
		if seen[l.number] {
			t.Errorf("number %s twice", l.number)
		}
		seen[l.number] = true
		if strings.Count(l.number, ".") != l.level {
			t.Errorf("%s: number %s at level %d", l.question.ID, l.number, l.level)
		}
	}
	at := position(all, "infection_end")
	if p := position(all, "infection_over"); !strings.HasPrefix(all[at].number, all[p].number+".") {
		t.Errorf("infection_end is %s below %s", all[at].number, all[p].number)
	}
}

func TestConditionsInWords(t *testing.T) {
	known := func(id string) bool { return !strings.HasPrefix(id, "takes") }
	cases := map[string][]literal{
		"infection":                    {{question: "infection"}},
		"infection && over":            {{question: "over"}},
		"!still":                       {{question: "still", no: true}},
		`"palsy" in face && !now`:      {{question: "now", no: true}},
		`"diabetes" in ill || takes_x`: {{question: "ill", option: "diabetes"}},
		"filler || dissolved":          {{question: "filler"}, {question: "dissolved"}},
		"takes_x":                      nil,
	}
	for when, want := range cases {
		if got := literals(when, known); !slices.Equal(got, want) {
			t.Errorf("%s: %+v", when, got)
		}
	}
}

// Questions that wait for one another are asked all the same.
func TestQuestionsInARing(t *testing.T) {
	form := &forms.Form{ID: "ring", Sections: []forms.Section{{ID: "today", Questions: []*forms.Question{
		{ID: "a", Kind: forms.YesNo, When: "b"}, {ID: "b", Kind: forms.YesNo, When: "a"}, {ID: "c", Kind: forms.YesNo},
	}}}}
	if all := questionList(form, visit.Treatment); len(all) != 3 {
		t.Errorf("%d questions of 3", len(all))
	}
}

// "If yes" without a number means the last question above that is answered with yes or no, and no other.
func TestIfYesMeansTheQuestionAbove(t *testing.T) {
	for _, kind := range []visit.Kind{visit.Consultation, visit.Treatment, visit.Dissolving} {
		last, numbered := "", 0
		for _, l := range questionList(shippedForm(t), kind) {
			if l.lead != nil && len(l.means) == 1 && l.means[0].option == "" {
				bare := reflect.DeepEqual(*l.lead, locales.Ref("questionnaire.if_yes")) || reflect.DeepEqual(*l.lead, locales.Ref("questionnaire.if_no"))
				if !bare {
					numbered++
				} else if l.means[0].question != last {
					t.Errorf("%s: %s hangs on %s, but %s stands between", kind, l.question.ID, l.means[0].question, last)
				}
			}
			if l.question.Kind == forms.YesNo {
				last = l.question.ID
			}
		}
		if kind == visit.Treatment && numbered == 0 {
			t.Error("no question names the number of the one that it hangs on")
		}
	}
}
