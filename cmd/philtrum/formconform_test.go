package main

import (
	"os"
	"slices"
	"strings"
	"testing"

	"philtrum/templates/pdf/conform"
)

// The form claims PDF/UA alone: what a reader types in has letters that no file can hold. Everything that a machine can
// check of that is checked in every offered language. Nothing of a person is in it, and every field says what it is.
func TestFormConforms(t *testing.T) {
	dir, command := formDesk(t)
	var first []string
	for _, lang := range offered(t) {
		file := issuedFormIn(t, dir, command, lang)
		data, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		for _, v := range conform.Check(data) {
			if v.Rule != conform.RuleAID {
				t.Errorf("%s: %s", lang, v)
			}
		}
		var names []string
		for _, f := range readForm(t, file).Fields {
			names = append(names, f.Name)
			if f.Tip == "" && f.Name != "about" {
				t.Errorf("%s: field %s has no name for people", lang, f.Name)
			}
		}
		names = slices.DeleteFunc(names, func(n string) bool { return strings.HasPrefix(n, "page-") }) // pages differ
		for i := range names {                                                                         // and so does the order of the parts of a date
			for _, part := range []string{"-day", "-month", "-year"} {
				names[i] = strings.TrimSuffix(names[i], part)
			}
		}
		if first == nil {
			first = names
		}
		if !slices.Equal(first, names) {
			t.Errorf("%s: other fields than in the first language, or in another order", lang)
		}
	}
}
