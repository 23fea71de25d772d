package templates_test

import (
	"fmt"
	"os"
	"path/filepath"
	"testing"

	"philtrum/forms/measure"
	"philtrum/forms/place"
	"philtrum/forms/visit"
	"philtrum/templates"
	"philtrum/templates/layout"
	"philtrum/templates/outline"
	"philtrum/templates/pdf"
	"philtrum/templates/text"
)

// carried are the papers that a patient takes home.
var carried = []string{"aftercare", "card", "travel"}

// travelFacts is a treated visit of a patient who flies to another country the next day.
func travelFacts(t testing.TB, code string) templates.Facts {
	t.Helper()
	f := treatedFacts(t)
	f.Visit.ID, f.Visit.Salt = "v7q2", "0f1e2d3c"
	f.Visit.Stay = visit.Stay{Place: code, Until: measure.Date{Year: 2026, Month: 12, Day: 12}}
	places, problems := place.Load(place.Default)
	if len(problems) > 0 {
		t.Fatal(problems)
	}
	if p := places.On(code, measure.Date{Year: 2026, Month: 12, Day: 4}); p.Known {
		f.Stay = p
	}
	return f
}

// PAPERS_DIR names a folder to which what is carried is written in every state and form, to look at.
func TestLookAtWhatIsCarried(t *testing.T) {
	dir := os.Getenv("PAPERS_DIR")
	if dir == "" {
		t.Skip("PAPERS_DIR names no folder to write to")
	}
	engine := text.NewEngine()
	write := func(name string, data []byte) {
		if err := os.WriteFile(filepath.Join(dir, name), data, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	for _, name := range carried {
		for when, facts := range map[string]templates.Facts{"empty": {}, "before": plannedFacts(t), "after": treatedFacts(t), "away": travelFacts(t, "ES"), "long": longFacts(t)} {
			for _, tag := range []string{"en", "es"} {
				for _, sheet := range []string{"patient-A4", "patient-Letter", "large-A4"} {
					tpl := load(t, name)
					if tpl.FixedSize() {
						sheet = map[string]string{"patient-A4": "card-A4", "patient-Letter": "card-Letter", "large-A4": "card-A4"}[sheet]
					}
					doc, _ := templates.Compose(templates.Paper{Kind: name, Template: tpl, Printer: printer(t, tag), Clinic: printer(t, "en"), Facts: facts, Sheet: sheet})
					setter := engine.NewSetter(text.Options{Lang: doc.Lang})
					placed := layout.Place(doc, setter)
					for _, r := range placed.Reports {
						t.Logf("%s %s %s %s: %+v", name, when, tag, sheet, r)
					}
					f, err := os.Create(filepath.Join(dir, fmt.Sprintf("%s-%s-%s-%s.pdf", name, when, tag, sheet)))
					if err != nil {
						t.Fatal(err)
					}
					if err := pdf.Write(f, placed, setter.Fonts(), pdf.Info{Title: doc.Title}); err != nil {
						t.Error(err)
					}
					if err := f.Close(); err != nil {
						t.Error(err)
					}
					if sheet == "patient-A4" {
						write(fmt.Sprintf("%s-%s-%s.html", name, when, tag), []byte(outline.HTML(doc)))
						write(fmt.Sprintf("%s-%s-%s.txt", name, when, tag), []byte(outline.Text(doc)))
					}
				}
			}
		}
	}
}
