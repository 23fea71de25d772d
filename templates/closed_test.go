package templates_test

import (
	"reflect"
	"regexp"
	"slices"
	"testing"

	"philtrum/forms/clinic"
	"philtrum/forms/measure"
	"philtrum/templates"
	"philtrum/templates/layout"
	"philtrum/templates/outline"
)

// Days on which the clinic is closed move the review, in the text, in the figure and in the calendar, and nothing that
// a patient has to keep to for their health.
func TestClosedDaysMoveTheReviewAlone(t *testing.T) {
	day := func(d int) measure.Date { return measure.Date{Year: 2026, Month: 12, Day: d} }
	kept := func(change func(*templates.Facts)) (untils []string, figure *layout.Drawing, entries []outline.Entry) {
		f := treatedFacts(t)
		change(&f)
		doc := compose(t, "aftercare", f, "en")
		untils = regexp.MustCompile(`Until  (\d\d:\d\d  on  )?\d+.\pL+.\d{4}`).FindAllString(textOf(doc), -1)
		figure = drawn(doc.Blocks)
		entries, problems := templates.Calendar(templates.Paper{Kind: "aftercare", Template: load(t, "aftercare"), Printer: printer(t, "en"), Facts: f})
		if len(problems) > 0 || figure == nil || len(untils) < 5 {
			t.Fatal(problems, figure == nil, untils)
		}
		return untils, figure, entries
	}
	closed := func(f *templates.Facts) {
		f.Clinic.Hours.Closed = []clinic.Closure{{From: day(5), To: day(20)}}
	}
	asked, _, before := kept(func(*templates.Facts) {})
	open, planned, _ := kept(func(f *templates.Facts) { f.Visit.Plan.ReviewOn = day(21) })
	got, figure, entries := kept(closed)
	if !slices.Equal(got, asked) || !slices.Equal(open, asked) {
		t.Errorf("instructions end\n%q\nnot\n%q", got, asked)
	}
	if !reflect.DeepEqual(figure, planned) {
		t.Error("the figure shows the review on another day")
	}
	for i, e := range entries {
		moved := e.Day != before[i].Day
		if review := e.Lead == 24; review != moved || review && e.Day.Day() != 21 {
			t.Errorf("entry %d on %v, before on %v", i, e.Day, before[i].Day)
		}
	}
}

// drawn is the first drawing of blocks, or of the groups among them.
func drawn(blocks []layout.Block) *layout.Drawing {
	for _, b := range blocks {
		switch v := b.(type) {
		case *layout.Figure:
			return v.Drawing
		case *layout.Group:
			if d := drawn(v.Blocks); d != nil {
				return d
			}
		}
	}
	return nil
}
