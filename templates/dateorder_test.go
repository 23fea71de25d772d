package templates

import (
	"strings"
	"testing"

	"philtrum/forms"
	"philtrum/forms/measure"
	"philtrum/locales"
	"philtrum/templates/layout"
)

// The boxes for a date stand in the order in which the language of the paper writes one (CLDR 48, the short date), in
// every language and region, also for a second language beside it.
func TestBoxesOfADateStandInTheOrderOfTheLanguage(t *testing.T) {
	catalogue, err := locales.Load(locales.Default)
	if err != nil {
		t.Fatal(err)
	}
	regions := 0
	for _, language := range catalogue.Languages() {
		for _, region := range language.Regions {
			regions++
			first, err := catalogue.Printer(region)
			if err != nil {
				t.Fatal(err)
			}
			for _, second := range []string{region, "en", "zh-Hans"} {
				other, err := catalogue.Printer(second)
				if err != nil {
					t.Fatal(err)
				}
				facts := &Facts{}
				c := &composer{paper: Paper{Printer: other, Clinic: other}, language: first.Language(), facts: facts, args: map[string][]string{}}
				given := forms.Answer{State: forms.Given, Value: forms.Value{Date: measure.PartialDate{Year: 2033, Month: 11, Day: 22}}}
				p := placed{scope: &scope{c: c}, question: &forms.Question{ID: FilledOn, Kind: forms.DateKind}, name: FilledOn, words: "?", answer: given}
				var a layout.Asked
				p.date(&a)
				got := ""
				for _, part := range a.Parts {
					for _, sign := range part.Value {
						got += sign[0].Text
					}
					if name := strings.TrimPrefix(part.Field.Name, FilledOn+"-"); len(part.Value) != map[string]int{"day": 2, "month": 2, "year": 4}[name] {
						t.Errorf("%s: %s has the figures of another", region, name)
					}
				}
				want := map[string]string{"en-US": "11222033", "zh-Hans-CN": "20331122"}[region]
				if want == "" {
					want = "22112033"
				}
				if got != want || len(c.problems) > 0 {
					t.Errorf("%s with %s: %s, want %s (%s) %v", region, second, got, want, first.Language().DateOrder, c.problems)
				}
			}
		}
	}
	if regions < 8 {
		t.Errorf("only %d regions", regions)
	}
}
