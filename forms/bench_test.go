package forms_test

import (
	"testing"

	"philtrum/forms"
	"philtrum/forms/place"
)

func BenchmarkLoadForm(b *testing.B) {
	for b.Loop() {
		if _, problems := forms.Load(forms.Default, "lips"); len(problems) > 0 {
			b.Fatal(problems)
		}
	}
}

func BenchmarkLoadPlaces(b *testing.B) {
	for b.Loop() {
		if _, problems := place.Load(place.Default); len(problems) > 0 {
			b.Fatal(problems)
		}
	}
}
