package templates

import (
	"testing"

	"philtrum/forms/screen"
	"philtrum/locales"
)

// Every word of a closed list has its term in every language that has messages of papers.
func TestVocabularyHasItsTerms(t *testing.T) {
	c, err := locales.Load(locales.Default)
	if err != nil {
		t.Fatal(err)
	}
	p, err := c.Printer("en")
	if err != nil {
		t.Fatal(err)
	}
	for kind, codes := range vocabulary() {
		for _, code := range codes {
			if id := "term." + kind + "." + code; !p.Has(id) {
				t.Errorf("no message %s", id)
			}
		}
	}
	for _, why := range []screen.MissingWhy{screen.NotAsked, screen.IsBlank, screen.IsUnsure, screen.IsRefused, screen.Outlived, screen.Partial, screen.Defect} {
		if !contains(vocabulary()["missing"], string(why)) {
			t.Errorf("no term for %s", why)
		}
	}
}

// A value, a fact and a list never share a name with something else at one place, so that a template
// means one thing.
func TestNamesAreUnambiguous(t *testing.T) {
	for name, l := range lists {
		for _, fact := range l.facts {
			if truths[fact] != nil {
				t.Errorf("fact %s of list %s hides a fact of the paper", fact, name)
			}
		}
		if name != listDays && l.items == nil {
			t.Errorf("list %s makes no items", name)
		}
	}
}

// Lists make items with exactly the values and facts that they declare: templates are proved against the
// declaration.
func TestListsKeepTheirWord(t *testing.T) {
	for name, l := range lists {
		if name == listDays {
			continue
		}
		for i, it := range l.items(fullFacts()) {
			for field := range l.fields {
				_, now := it.values[field]
				_, later := it.late[field]
				if now == later {
					t.Errorf("%s, item %d: value %s is there %t and late %t", name, i, field, now, later)
				}
			}
			if len(it.values)+len(it.late) != len(l.fields) {
				t.Errorf("%s, item %d: more values than declared", name, i)
			}
			for _, fact := range l.facts {
				if _, ok := it.facts[fact]; !ok {
					t.Errorf("%s, item %d: no fact %s", name, i, fact)
				}
			}
		}
	}
}
