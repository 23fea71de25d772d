package desk

import (
	"strings"
	"testing"
	"time"

	"philtrum/forms/source"
	"philtrum/forms/visit"
)

// What the file says of a sentence's language goes with the sentence, and what a person wrote there is kept.
func TestLanguagesOfSentences(t *testing.T) {
	const head = "id: v-1\npatient: p-1\nkind: treatment\nappointment: 2026-12-04 14:05\n"
	for name, c := range map[string]struct{ before, after, in, want string }{
		"said of a new sentence":            {"", "plan: {wish: Algo más}\n", "es", "plan.wish=es"},
		"of no sentence that was there":     {"plan: {price: \"£280 in all\"}\n", "plan: {price: \"£280 in all\", wish: Algo más}\n", "es", "plan.wish=es"},
		"not said: the clinic's":            {"", "plan: {wish: A little}\n", "", ""},
		"said anew":                         {"plan: {wish: Algo más}\nwritten_in: [{where: plan.wish, language: es}]\n", "plan: {wish: Un peu}\nwritten_in: [{where: plan.wish, language: es}]\n", "fr", "plan.wish=fr"},
		"the sentence was replaced":         {"plan: {wish: Algo más}\nwritten_in: [{where: plan.wish, language: es}]\n", "plan: {wish: A little}\nwritten_in: [{where: plan.wish, language: es}]\n", "", ""},
		"the sentence stands":               {"plan: {wish: Algo más}\nwritten_in: [{where: plan.wish, language: es}]\n", "plan: {wish: Algo más, price: \"all of it\"}\nwritten_in: [{where: plan.wish, language: es}]\n", "", "plan.wish=es"},
		"written by hand before":            {"written_in: [{where: plan.wish, language: es}]\n", "plan: {wish: Algo más}\nwritten_in: [{where: plan.wish, language: es}]\n", "", "plan.wish=es"},
		"another note behind one":           {"states: [{state: consented, at: 2026-12-04 14:00, by: a, note: Bien así}]\nwritten_in: [{where: states.1.note, language: es}]\n", "states: [{state: consented, at: 2026-12-04 14:00, by: a, note: Bien así}, {state: declined, at: 2026-12-04 14:02, by: a, note: Non merci}]\nwritten_in: [{where: states.1.note, language: es}]\n", "fr", "states.1.note=es states.2.note=fr"},
		"an entry that nobody can read, so": {"written_in: [{where: plan.wich, language: es}]\n", "plan: {wish: Algo más}\nwritten_in: [{where: plan.wich, language: es}]\n", "es", "plan.wich=es plan.wish=es"},
	} {
		read := func(text string) visit.Visit {
			node, problems := source.Parse("visit.yaml", []byte(head+text))
			if len(problems) > 0 {
				t.Fatal(name, problems)
			}
			return visit.Read(node, &source.Reader{}, time.UTC)
		}
		d := &Desk{}
		d.clinic.Zone = time.UTC
		d.WriteIn(c.in)
		data, problems := d.withLanguages("visit.yaml", []byte(head+c.after), read(c.before))
		if len(problems) > 0 {
			t.Fatal(name, problems)
		}
		root, _ := source.Parse("visit.yaml", data)
		var got []string
		if list := child(root, "written_in"); list != nil {
			for _, entry := range list.Items {
				got = append(got, textOf(child(entry, "where"))+"="+textOf(child(entry, "language")))
			}
		}
		if strings.Join(got, " ") != c.want {
			t.Errorf("%s: %q, want %q", name, got, c.want)
		}
	}
}
