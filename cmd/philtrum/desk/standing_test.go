package desk

import (
	"slices"
	"testing"

	"philtrum/forms/clinic"
	"philtrum/forms/visit"
	"philtrum/locales"
	"philtrum/templates"
)

// releasedIn keeps the releases of some languages only.
func releasedIn(d *Desk, languages ...string) {
	d.clinic.Releases = slices.DeleteFunc(slices.Clone(d.clinic.Releases), func(r clinic.Release) bool {
		return !slices.Contains(languages, r.Language)
	})
}

// A patient's signature stands on a released text that they read, or on the clinic's released text where somebody
// interprets in their language: on no other, whatever stands beside it.
func TestWhereSignaturesStand(t *testing.T) {
	base, shown := told(t)
	c, err := base.Check(shown.Visits[0].Checked.Visit)
	if err != nil {
		t.Fatal(err)
	}
	nobody, into := (*visit.InterpreterAttends)(nil), func(tag string) *visit.InterpreterAttends {
		return &visit.InterpreterAttends{Name: "Petra Lind", Language: tag}
	}
	all := []string{"en", "es", "fr", "hi"}
	for _, r := range []struct {
		kind, reads, speaks string
		released            []string
		interpreter         *visit.InterpreterAttends
		words, with         string
		draft, draftBeside  bool
		want                templates.Reading
	}{
		{"consent", "es", "es", all, nobody, "es", "", false, false, ""},
		{"consent", "es", "es", []string{"en"}, nobody, "es", "", true, false, templates.DraftText},
		{"consent", "es", "es", []string{"en"}, into("es"), "es", "", true, false, templates.DraftText},
		{"consent", "es", "es", []string{"en"}, into("es"), "es", "en", true, false, ""},
		{"consent", "es", "es", []string{"en"}, into("es"), "en", "es", false, true, ""},
		{"consent", "es", "es", []string{"en"}, nobody, "es", "en", true, false, templates.DraftText},
		{"consent", "es", "es", []string{"en"}, nobody, "en", "", false, false, templates.LacksInterpreter},
		{"consent", "es", "es", []string{"en"}, into("es"), "en", "", false, false, ""},
		{"consent", "es", "es", []string{"en"}, into("pl"), "en", "", false, false, templates.LacksInterpreter},
		{"consent", "es", "es", nil, into("es"), "en", "", true, false, templates.DraftText},
		{"consent", "es", "es", []string{"es"}, nobody, "es", "en", false, true, ""},
		{"consent", "es", "es", []string{"en", "es"}, nobody, "es", "fr", false, true, ""},
		{"consent", "es", "es", []string{"en", "es"}, nobody, "fr", "es", true, false, ""},
		// A released text in a language that is neither the patient's nor the clinic's, interpreted or not.
		{"consent", "hi", "hi", all, into("hi"), "fr", "", false, false, templates.LacksInterpreter},
		{"consent", "hi", "hi", all, into("hi"), "fr", "en", false, false, ""},
		{"consent", "none", "es", all, nobody, "es", "", false, false, ""},
		{"consent", "", "", all, nobody, "en", "", false, false, ""},
		// What staff sign for others after the needle asks for a released text and nothing else.
		{"travel", "es", "es", []string{"en"}, nobody, "es", "", true, false, templates.SignedElsewhere},
		{"travel", "es", "es", []string{"en"}, nobody, "en", "", false, false, ""},
		{"travel", "es", "es", []string{"en"}, nobody, "es", "en", true, false, ""},
		{"information", "es", "es", []string{"en"}, nobody, "es", "fr", true, true, ""},
	} {
		d := *base
		releasedIn(&d, r.released...)
		c.Case.Patient.Reads, c.Case.Patient.Speaks, c.Case.Visit.Interpreter = r.reads, r.speaks, r.interpreter
		c.Case.Patient.Interpreter = visit.Interpreter{}
		template, problems := d.printer().template(r.kind)
		if len(problems) > 0 {
			t.Fatal(problems)
		}
		in := func(tag string) *locales.Printer {
			if tag == "" {
				return nil
			}
			p, err := d.catalogue.Printer(tag)
			if err != nil {
				t.Fatal(err)
			}
			return p
		}
		l := languagesOf{in(r.words), in("en"), in(r.with)}
		got, err := d.standing(c, template, r.kind, l)
		if want := (standing{r.draft, r.draftBeside, r.want}); err != nil || got != want {
			t.Errorf("%s in %q with %q, reads %q, released %v, %+v: %+v (%v), want %+v", r.kind, r.words, r.with, r.reads, r.released, r.interpreter, got, err, want)
		}
	}
}

// A draft never goes to a patient without the clinic's own text, whichever form it has and whatever stands beside it.
func TestDraftsGoWithTheClinicsText(t *testing.T) {
	d, shown := told(t)
	releasedIn(d, "en")
	c, err := d.Check(shown.Visits[0].Checked.Visit)
	if err != nil {
		t.Fatal(err)
	}
	c.Case.Patient.Reads, c.Case.Patient.Speaks = "es", "es"
	for _, r := range []struct {
		Request
		want []string
	}{
		{Request{Kinds: []string{"information"}}, []string{"es", "en-GB"}},
		{Request{Kinds: []string{"aftercare"}, As: AsHTML}, []string{"es", "en-GB"}},
		{Request{Kinds: []string{"aftercare"}, As: AsText}, []string{"es", "en-GB"}},
		{Request{Kinds: []string{"aftercare"}, As: AsCalendar}, []string{"es"}},
		{Request{Kinds: []string{"information"}, With: "fr"}, []string{"es", "en-GB"}},
		{Request{Kinds: []string{"information"}, With: "en"}, []string{"es"}},
		{Request{Kinds: []string{"information"}, Language: "en"}, []string{"en"}},
		{Request{Kinds: []string{"travel"}}, []string{"es", "en-GB"}},
		{Request{Kinds: []string{"consent"}}, []string{"es"}},
	} {
		all, err := d.makeAll(c, r.Request)
		if err != nil {
			t.Fatal(err)
		}
		var got []string
		for _, i := range all {
			if len(i.Refused)+len(i.Problems) > 0 {
				t.Fatalf("%+v: %v %v", r.Request, i.Refused, i.Problems)
			}
			got = append(got, i.Language)
		}
		if !slices.Equal(got, r.want) {
			t.Errorf("%+v: %v, want %v", r.Request, got, r.want)
		}
	}
}
