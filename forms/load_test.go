package forms_test

import (
	"os"
	"slices"
	"strings"
	"testing"
	"testing/fstest"

	"philtrum/forms"
	"philtrum/forms/visit"

	"github.com/google/go-cmp/cmp"
)

func TestShippedFormLoads(t *testing.T) {
	form, problems := forms.Load(forms.Default, "lips")
	if err := problems.Err(); err != nil {
		t.Fatal(describe(problems))
	}
	if form.ID != "lips" || form.Version == "" || len(form.Questions()) == 0 {
		t.Errorf("form %q, version %q, %d questions", form.ID, form.Version, len(form.Questions()))
	}
}

func TestMissingFormIsAProblemOfItsFile(t *testing.T) {
	form, problems := forms.Load(fstest.MapFS{}, "lips")
	if form != nil || len(problems) != 1 || problems[0].ID != "problem.form_missing" || problems[0].Span.File != "lips.yaml" {
		t.Errorf("got %v, %v", form, describe(problems))
	}
}

func TestFormKeepsWhatItSays(t *testing.T) {
	form := sample(t)
	q, ok := form.Question("pregnant")
	if !ok {
		t.Fatal("no such question")
	}
	if q.When != `sex != "male"` || !q.NotApplicable || !q.ShelfLife.OnTheDay || q.Irrelevant.Kind != forms.YesNo || q.Irrelevant.Yes {
		t.Errorf("pregnant: %+v", q)
	}
	weight, _ := form.Question("weight")
	var checks []string
	for _, c := range weight.Checks {
		checks = append(checks, c.Word+" "+c.Arg)
	}
	if diff := cmp.Diff([]string{"least 30", "most 250", "decimals 1"}, checks); diff != "" {
		t.Error(diff)
	}
	allergies, _ := form.Question("allergies")
	if to, ok := allergies.Field("to"); !ok || to.ID != "allergies.to" || to.FieldName() != "to" {
		t.Errorf("field: %+v", to)
	}
	if _, ok := form.Question("allergies.to"); ok {
		t.Error("a field is found as a question of the form")
	}
	heart, _ := form.Question("heart_date")
	if !heart.Irrelevant.None || heart.Ahead {
		t.Errorf("heart_date: %+v", heart)
	}
	if event, _ := form.Question("event_date"); !event.Ahead || event.ShelfLife.Days != 30 {
		t.Errorf("event_date: %+v", event)
	}
}

func TestVisitsThatAsk(t *testing.T) {
	form := sample(t)
	wish, _ := form.Question("wish")
	sex, _ := form.Question("sex")
	for kind, want := range map[visit.Kind][2]bool{
		visit.Consultation: {true, true}, visit.Treatment: {false, true}, visit.Complication: {false, false},
		visit.Dissolving: {false, false}, visit.Call: {false, false}, visit.Review: {false, false},
	} {
		if got := [2]bool{wish.Asks(string(kind)), sex.Asks(string(kind))}; got != want {
			t.Errorf("%s: asks %v, want %v", kind, got, want)
		}
		if !slices.Contains(forms.VisitKinds, string(kind)) {
			t.Errorf("a form cannot name the visit kind %s", kind)
		}
	}
	if len(forms.VisitKinds) != 6 {
		t.Errorf("forms know %d kinds of visit, visits have 6", len(forms.VisitKinds))
	}
}

// The manual lists every kind and every check word, and no other check word.
func TestManualNamesTheWholeDialect(t *testing.T) {
	data, err := os.ReadFile("README.md")
	if err != nil {
		t.Fatal(err)
	}
	manual := string(data)
	_, after, _ := strings.Cut(manual, "## Checks")
	checks, _, _ := strings.Cut(after, "## Answers")
	words := map[string]bool{}
	for _, k := range []forms.Kind{forms.YesNo, forms.OneOf, forms.SomeOf, forms.DateKind, forms.Number, forms.Text, forms.Medicines, forms.Entries} {
		if !strings.Contains(manual, "`"+string(k)+"`") {
			t.Errorf("README.md does not name the kind %s", k)
		}
		for _, w := range forms.CheckWords(k) {
			words[w] = true
		}
	}
	for w := range words {
		if !strings.Contains(checks, "`"+w+"`") && !strings.Contains(checks, "`"+w+": N`") {
			t.Errorf("README.md does not explain the check %s", w)
		}
	}
	for _, line := range strings.Split(checks, "\n") {
		cell, isRow := strings.CutPrefix(line, "| `")
		if !isRow {
			continue
		}
		word, _, _ := strings.Cut(cell, "`")
		if word, _, _ = strings.Cut(word, ":"); !words[word] {
			t.Errorf("README.md explains the check %s, which does not exist", word)
		}
	}
}

func TestNumbersAreWhatTheyLookLike(t *testing.T) {
	for text, want := range map[string]string{
		"0.5": "0.5", "0,5": "0.5", "-3": "-3", "007": "7", "61,50": "61.5",
		"1e2": "", "0x10": "", "1.000,5": "", "1,000.5": "", "1,000": "", "61,500": "", "61.500": "61.5", "61,5000": "61.5", ".5": "", "5.": "", "1_000": "", "": "", "½": "", "٣": "", "+1": "", " 1": "",
	} {
		d, ok := forms.ParseNumber(text)
		if ok != (want != "") || ok && d.String() != want {
			t.Errorf("%q: %v %v, want %q", text, d, ok, want)
		}
	}
}

func FuzzLoad(f *testing.F) {
	data, err := os.ReadFile("testdata/sample.yaml")
	if err != nil {
		f.Fatal(err)
	}
	f.Add(data)
	f.Add([]byte("id: sample\nsections: [{questions: [{fields: []}]}]\n"))
	f.Fuzz(func(t *testing.T, data []byte) {
		form, problems := forms.Load(fstest.MapFS{"sample.yaml": {Data: data}}, "sample")
		if (form == nil) != (len(problems) > 0) {
			t.Errorf("form %v with problems %v", form, problems)
		}
		inside(t, "sample.yaml", data, problems)
	})
}
