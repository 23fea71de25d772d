package locales

import (
	"slices"
	"testing"
	"testing/fstest"

	"philtrum/locales/readability"
)

func TestLanguagesOfTheProgram(t *testing.T) {
	all, err := loadLanguages(Default)
	if err != nil {
		t.Fatal(err)
	}
	for _, l := range all {
		base := l.Tag
		if l.Tag == "zh-Hans" {
			base = "zh"
		}
		formula, ok := readability.First(base)
		if !ok {
			formula.ID = "none"
		}
		if l.Formula != formula.ID {
			t.Errorf("%s: formula %q, the package readability uses %q", l.Tag, l.Formula, formula.ID)
		}
		if want := map[bool]string{true: "rtl", false: "ltr"}[l.Tag == "ar"]; l.Direction != want {
			t.Errorf("%s runs %s", l.Tag, l.Direction)
		}
	}
	c, err := Load(Default)
	if err != nil {
		t.Fatal(err)
	}
	for _, l := range c.Languages() {
		for _, region := range append(l.Regions, l.Tag) {
			if _, err := c.Printer(region); err != nil {
				t.Error(err)
			}
		}
	}
}

// Both glossaries name the same things, and each has the forty terms that the papers cannot do without.
func TestGlossariesOfTheProgram(t *testing.T) {
	ids := map[string][]string{}
	for _, tag := range []string{"en", "es"} {
		terms, err := Glossary(Default, tag)
		if err != nil {
			t.Fatal(err)
		}
		for _, term := range terms {
			ids[tag] = append(ids[tag], term.ID)
			if slices.Contains(term.Avoid, term.Use) {
				t.Errorf("%s: %s is to be used and avoided", tag, term.ID)
			}
		}
		if len(terms) < 40 {
			t.Errorf("%s: %d terms", tag, len(terms))
		}
	}
	for _, id := range ids["en"] {
		if !slices.Contains(ids["es"], id) {
			t.Errorf("es: no term %s", id)
		}
	}
}

func TestGlossary(t *testing.T) {
	fsys := fstest.MapFS{"en/glossary.yaml": {Data: []byte("lot:\n  use: lot\n  avoid: batch, Charge\n  why: w\n")}}
	terms, err := Glossary(fsys, "en")
	if err != nil || len(terms) != 1 || terms[0].ID != "lot" || !slices.Equal(terms[0].Avoid, []string{"batch", "Charge"}) {
		t.Errorf("%v %v", terms, err)
	}
	if terms, err := Glossary(fsys, "es"); err != nil || terms != nil {
		t.Errorf("a language without a glossary gives %v %v", terms, err)
	}
	fsys["es/glossary.yaml"] = &fstest.MapFile{Data: []byte("lot:\n  use: lote\n")}
	if _, err := Glossary(fsys, "es"); err == nil {
		t.Error("a term without a reason was accepted")
	}
}

func TestHoldsWord(t *testing.T) {
	for _, c := range []struct {
		text, word string
		want       bool
	}{
		{"one shot.", "shot", true}, {"shotgun", "shot", false}, {"a shotgun shot", "shot", true}, {"", "shot", false},
		{"su aguja", "agujas", false}, {"él tú", "tú", true}, {"tútu tú.", "tú", true}, {"menú", "ú", false},
		{"blood-thinner", "thinner", true}, {"{shot}", "shot", true},
	} {
		if got := holdsWord(c.text, c.word); got != c.want {
			t.Errorf("%q in %q: %v", c.word, c.text, got)
		}
	}
}
