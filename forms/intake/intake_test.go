package intake

import (
	"slices"
	"strings"
	"testing"
	"testing/fstest"
	"time"

	"philtrum/forms"
	"philtrum/forms/source"
	"philtrum/forms/visit"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"
)

const formFile = `id: trial
version: "1"
sections:
  - id: health
    questions:
      - {id: pregnant, kind: yes_no, shelf_life: on_the_day, not_applicable: yes, irrelevant: no}
      - {id: sex, kind: one_of, options: [female, male], shelf_life: always}
      - {id: skin, kind: some_of, options: [dry, sore], shelf_life: always}
      - {id: vaccine, kind: date, shelf_life: always}
      - {id: weight, kind: number, shelf_life: always, checks: [{least: 30}, {most: 250}]}
      - {id: wish, kind: text, shelf_life: always}
      - {id: medicines, kind: medicines, shelf_life: always}
      - id: fillers
        kind: entries
        shelf_life: always
        fields:
          - {id: what, kind: text, checks: [required]}
          - {id: when, kind: date}
          - {id: lump, kind: yes_no}
`

func trial(t testing.TB) *forms.Form {
	t.Helper()
	form, problems := forms.Load(fstest.MapFS{"trial.yaml": {Data: []byte(formFile)}}, "trial")
	if err := problems.Err(); err != nil {
		t.Fatal(err)
	}
	return form
}

type fataler interface {
	Helper()
	Fatal(...any)
}

// readAnswers reads the lines of an answers node.
func readAnswers(t fataler, form *forms.Form, answers string) (Intake, source.Problems) {
	t.Helper()
	data := "id: v-1\npatient: p-1\nkind: treatment\nappointment: 2026-12-04 14:00\n" +
		"answered: {by: patient, via: paper, at: 2026-12-04 13:50}\nanswers:\n"
	for _, line := range strings.Split(answers, "\n") {
		data += "  " + line + "\n"
	}
	n, problems := source.Parse("visit.yaml", []byte(data))
	if len(problems) > 0 {
		t.Fatal(problems)
	}
	r := &source.Reader{}
	v := visit.Read(n, r, time.UTC)
	in := Read(form, v, r)
	return in, r.Problems()
}

// Every scalar is what the form expects of it, never what YAML would guess.
func TestAnswersAreReadByTheirKind(t *testing.T) {
	form := trial(t)
	for _, c := range []struct {
		yaml  string
		state forms.State
		want  string // of the value
	}{
		{"pregnant: no", forms.Given, "no"},
		{"pregnant: yes", forms.Given, "yes"},
		{"pregnant: false", forms.Given, "no"},
		{"pregnant: n/a", forms.Given, "n/a"},
		{"pregnant: unsure", forms.Unsure, ""},
		{"pregnant: declined", forms.Declined, ""},
		{"pregnant: blank", forms.Blank, ""},
		{"pregnant:", forms.Blank, ""},
		{"pregnant: {state: unsure}", forms.Unsure, ""},
		{"pregnant: {state: given, value: n/a}", forms.Given, "n/a"},
		{"sex: female", forms.Given, "female"},
		{"skin: []", forms.Given, ""},
		{"skin: [sore, dry]", forms.Given, "sore,dry"},
		{"vaccine: 2026", forms.Given, "2026"},
		{"vaccine: 2026-11", forms.Given, "2026-11"},
		{"vaccine: 2026-11-05", forms.Given, "2026-11-05"},
		{"weight: 61,5", forms.Given, "61.5"},
		{"weight: 061.50", forms.Given, "61.5"},
		{"wish: no", forms.Given, "no"},
		{"wish: 0012", forms.Given, "0012"},
		{"wish: 12E4", forms.Given, "12E4"},
		{"wish: 10:30", forms.Given, "10:30"},
		{"wish: 0,5", forms.Given, "0,5"},
		{"wish: 03/04/2026", forms.Given, "03/04/2026"},
		{"wish: ~", forms.Given, "~"},
		{"wish: null", forms.Given, "null"},
		{`wish: "unsure"`, forms.Given, "unsure"},
		{"wish: unsure", forms.Unsure, ""},
		{"medicines: []", forms.Given, ""},
		{"medicines: [no, 12E4, 'unsure', aspirin 0.5]", forms.Given, "no,12E4,unsure,aspirin 0.5"},
		{"medicines: declined", forms.Declined, ""},
	} {
		in, problems := readAnswers(t, form, c.yaml)
		if len(problems) > 0 {
			t.Errorf("%s: %v", c.yaml, problems)
			continue
		}
		id, _, _ := strings.Cut(c.yaml, ":")
		a, asked := in.Answer(id)
		if !asked || a.State != c.state || show(a.Value) != c.want {
			t.Errorf("%s: asked %v, %s, %q; want %s, %q", c.yaml, asked, a.State, show(a.Value), c.state, c.want)
		}
		if a.By != "patient" || a.Via != "paper" || a.At.IsZero() {
			t.Errorf("%s: not signed as the visit says: %+v", c.yaml, a)
		}
	}
}

func show(v forms.Value) string {
	switch {
	case v.NotApplicable:
		return "n/a"
	case v.Kind == forms.YesNo && v.Yes:
		return "yes"
	case v.Kind == forms.YesNo:
		return "no"
	case v.Kind == forms.DateKind:
		return v.Date.String()
	case v.Kind == forms.Number:
		return v.Number.String()
	}
	return v.Choice + v.Text + strings.Join(v.Choices, ",") + strings.Join(v.Names, ",")
}

func TestQuestionWithoutEntryWasNotAsked(t *testing.T) {
	in, _ := readAnswers(t, trial(t), "sex: male")
	if _, asked := in.Answer("pregnant"); asked {
		t.Error("a question without an entry counts as asked")
	}
}

func TestFullAnswerKeepsWhatItReplaced(t *testing.T) {
	in, problems := readAnswers(t, trial(t), `pregnant:
  state: given
  value: no
  by: nurse-1
  via: speech
  at: 2026-12-04 14:10
  why: misread
  replaced:
    - {state: given, value: yes, by: patient, via: paper, at: 2026-12-04 13:50}
    - {state: unsure, by: patient, via: screen, at: 2026-12-03 09:00}`)
	if len(problems) > 0 {
		t.Fatal(problems)
	}
	a, _ := in.Answer("pregnant")
	if a.Value.Yes || a.By != "nurse-1" || a.Via != "speech" || a.Why != "misread" || len(a.Replaced) != 2 ||
		!a.Replaced[0].Value.Yes || a.Replaced[1].State != forms.Unsure {
		t.Errorf("%+v", a)
	}
}

func TestEntriesKeepTheStateOfEachField(t *testing.T) {
	in, problems := readAnswers(t, trial(t), `fillers:
  - {what: gel, when: 2024, lump: unsure}
  - what: {state: given, value: oil, by: nurse-1, via: speech, at: 2026-12-04 14:10}
    lump:`)
	if len(problems) > 0 {
		t.Fatal(problems)
	}
	a, _ := in.Answer("fillers")
	var got []string
	for _, e := range a.Value.Entries {
		for _, f := range []string{"what", "when", "lump"} {
			v, there := e[f]
			if !there {
				got = append(got, f+" -")
				continue
			}
			got = append(got, f+" "+string(v.State)+" "+show(v.Value)+" "+v.By)
		}
	}
	want := []string{
		"what given gel patient", "when given 2024 patient", "lump unsure  patient",
		"what given oil nurse-1", "when -", "lump blank  patient",
	}
	if diff := cmp.Diff(want, got); diff != "" {
		t.Error(diff)
	}
}

// Whatever is typed where an answer belongs: it is read, or it is a problem and counts as blank. It is
// never taken for no.
func TestUnreadableNeverCountsAsNo(t *testing.T) {
	form := trial(t)
	no := []string{"no", "false"}
	states := []string{"n/a", "unsure", "declined", "blank", "yes", "true", ""}
	rapid.Check(t, func(t *rapid.T) {
		text := rapid.StringMatching(`[A-Za-z0-9/.,-]{0,6}`).Draw(t, "text")
		if text == "-" || strings.HasPrefix(text, ",") || text == "---" || text == "..." || strings.HasPrefix(text, "---") {
			t.Skip("not a plain scalar")
		}
		in, problems := readAnswers(t, form, "pregnant: "+text+"\nsex: male")
		a, asked := in.Answer("pregnant")
		readable := slices.Contains(no, text) || slices.Contains(states, text)
		switch {
		case !asked:
			t.Fatal("a question with an entry counts as not asked")
		case readable != (len(problems) == 0):
			t.Fatalf("%q: problems %v", text, problems)
		case !readable && a.State != forms.Blank:
			t.Fatalf("%q: stands as %s", text, a.State)
		case a.State == forms.Given && !a.Value.Yes && !a.Value.NotApplicable && !slices.Contains(no, text):
			t.Fatalf("%q: taken for no", text)
		}
		if other, _ := in.Answer("sex"); other.State != forms.Given {
			t.Fatalf("%q: the next answer stands as %s", text, other.State)
		}
	})
}

func TestOneUnreadableEntryBlanksTheWholeList(t *testing.T) {
	in, problems := readAnswers(t, trial(t), "fillers:\n  - {what: gel, lump: no}\n  - {what: oil, lump: perhaps}")
	a, _ := in.Answer("fillers")
	if len(problems) != 1 || a.State != forms.Blank || len(a.Value.Entries) != 0 {
		t.Errorf("%v; %+v", problems, a)
	}
}

// The validator panics on a tag that it does not know: every word, with every argument that a form may
// give it, has to come through.
func TestEveryCheckWordHasItsTag(t *testing.T) {
	c := newChecker()
	for _, k := range []forms.Kind{forms.YesNo, forms.OneOf, forms.SomeOf, forms.DateKind, forms.Number, forms.Text, forms.Medicines, forms.Entries} {
		for _, word := range forms.CheckWords(k) {
			if word == forms.Past || word == forms.Future {
				continue
			}
			for _, arg := range []string{"", "0", "3", "2,5", "-1"} {
				tag, part := tagOf(forms.Check{Word: word, Arg: arg}, forms.Value{Kind: k})
				if tag == "" {
					t.Fatalf("%s of %s has no tag", word, k)
				}
				if needsArgument(t, word) != (arg != "") || word != forms.Least && word != forms.Most && (arg == "2,5" || arg == "-1") {
					continue // the loader refuses such a check
				}
				c.validate.Var(part, tag) // must not panic
			}
		}
	}
}

func needsArgument(t *testing.T, word string) bool {
	t.Helper()
	return slices.Contains([]string{forms.Least, forms.Most, forms.MostDecimals, forms.Longest, forms.Fewest, forms.MostOf}, word)
}

// Bounds are exact: binary fractions would let 250.00000000000000001 or refuse 30.
func TestBoundsAreExact(t *testing.T) {
	form := trial(t)
	for text, ok := range map[string]bool{
		"30": true, "29.999999999": false, "250": true, "250.000000001": false, "250,0": true, "-61": false,
	} {
		_, problems := readAnswers(t, form, "weight: "+text)
		if (len(problems) == 0) != ok {
			t.Errorf("weight %s: %v", text, problems)
		}
	}
}

func BenchmarkRead(b *testing.B) {
	form := trial(b)
	for b.Loop() {
		readAnswers(b, form, "pregnant: no\nsex: female\nskin: []\nvaccine: 2026-11\nweight: 61,5\nmedicines: [a, b]\nfillers:\n  - {what: gel, when: 2024}")
	}
}

// Whatever was answered, writing it in full and reading it again gives the same answer.
func TestWrittenAnswersReadBack(t *testing.T) {
	form := trial(t)
	at := time.Date(2026, 12, 4, 13, 50, 0, 0, time.UTC)
	rapid.Check(t, func(rt *rapid.T) {
		words := rapid.SampledFrom([]string{"no", "yes", "unsure", "declined", "n/a", "0012", "12E4", "10:30", "a: b", "# c", "- d", "é\nf", "“g”", "'", "null"})
		var answer func(q *forms.Question, depth int) forms.Answer
		value := func(q *forms.Question, depth int) forms.Value {
			v := forms.Value{Kind: q.Kind}
			switch q.Kind {
			case forms.YesNo:
				v.Yes = rapid.Bool().Draw(rt, "yes")
			case forms.OneOf:
				v.Choice = rapid.SampledFrom(q.Options).Draw(rt, "choice")
			case forms.SomeOf:
				v.Choices = rapid.SliceOfNDistinct(rapid.SampledFrom(q.Options), 0, 2, rapid.ID[string]).Draw(rt, "choices")
			case forms.DateKind:
				v.Date.Year = rapid.IntRange(1990, 2030).Draw(rt, "year")
				v.Date.Month = rapid.IntRange(0, 12).Draw(rt, "month")
				if v.Date.Month > 0 {
					v.Date.Day = rapid.IntRange(0, 28).Draw(rt, "day")
				}
			case forms.Number:
				v.Number, _ = forms.ParseNumber(rapid.SampledFrom([]string{"30", "61.5", "249.99"}).Draw(rt, "number"))
			case forms.Text:
				v.Text = words.Draw(rt, "text")
			case forms.Medicines:
				v.Names = rapid.SliceOfN(words, 0, 3).Draw(rt, "names")
			case forms.Entries:
				v.Entries = []forms.Entry{}
				for range rapid.IntRange(0, 2).Draw(rt, "entries") {
					e := forms.Entry{}
					for _, f := range q.Fields {
						e[f.FieldName()] = answer(f, depth+1)
					}
					v.Entries = append(v.Entries, e)
				}
			}
			return v
		}
		answer = func(q *forms.Question, depth int) forms.Answer {
			a := forms.Answer{By: "nurse-1", Via: "speech", At: at.Add(time.Duration(rapid.IntRange(0, 99).Draw(rt, "at")) * time.Minute)}
			a.State = rapid.SampledFrom([]forms.State{forms.Given, forms.Given, forms.Unsure, forms.Declined, forms.Blank}).Draw(rt, "state")
			if a.State == forms.Given {
				a.Value = value(q, depth)
			}
			return a
		}
		var lines strings.Builder
		want := map[string]forms.Answer{}
		for _, q := range form.Questions() {
			a := answer(q, 0)
			old := answer(q, 0)
			if old.At.Before(a.At) {
				a.Why, a.Replaced = "misread", []forms.Answer{old}
			}
			want[q.ID] = a
			lines.Write(source.Write(source.Map(q.ID, Node(a, time.UTC))))
		}
		in, problems := readAnswers(rt, form, strings.TrimSuffix(lines.String(), "\n"))
		if len(problems) > 0 {
			rt.Fatalf("%v\n%s", problems, lines.String())
		}
		for id := range want {
			digest := func(a forms.Answer) string {
				return visit.Digest("s", map[string]forms.Answer{id: a}, []string{id}, a.By, a.Via, a.At.String(), a.Why)
			}
			got := in.Answers[id]
			if digest(got) != digest(want[id]) || len(got.Replaced) != len(want[id].Replaced) {
				rt.Fatalf("%s: %+v, want %+v\n%s", id, got, want[id], lines.String())
			}
			for i := range got.Replaced {
				if digest(got.Replaced[i]) != digest(want[id].Replaced[i]) {
					rt.Fatalf("%s, replaced: %+v, want %+v", id, got.Replaced[i], want[id].Replaced[i])
				}
			}
		}
	})
}
