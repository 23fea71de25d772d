package templates_test

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"philtrum/templates"
	"philtrum/templates/layout"
	"philtrum/templates/pdf"
	"philtrum/templates/text"
)

// What comes after is written to PAPERS_DIR in its states, on either page, to look at.
func TestLookAfter(t *testing.T) {
	dir := os.Getenv("PAPERS_DIR")
	if dir == "" {
		t.Skip("PAPERS_DIR names no folder to write to")
	}
	engine := text.NewEngine()
	for _, name := range []string{"emergency_sheet", "letter"} {
		for when, facts := range map[string]templates.Facts{"empty": {}, "filled": treatedFacts(t), "longest": longFacts(t)} {
			for _, page := range []string{"A4", "Letter"} {
				for _, tag := range []string{"en", "es"} {
					tpl := load(t, name)
					doc, _ := templates.Compose(templates.Paper{Kind: name, Template: tpl, Printer: printer(t, tag), Facts: facts, Sheet: templates.SheetName(tpl.Look, page)})
					setter := engine.NewSetter(text.Options{Lang: doc.Lang})
					placed := layout.Place(doc, setter)
					for _, r := range placed.Reports {
						t.Logf("%s %s %s %s: %+v", name, when, page, tag, r)
					}
					f, err := os.Create(filepath.Join(dir, strings.Join([]string{name, when, page, tag}, "-")+".pdf"))
					if err != nil {
						t.Fatal(err)
					}
					if err := pdf.Write(f, placed, setter.Fonts(), pdf.Info{Title: doc.Title}); err != nil {
						t.Error(err)
					}
					if err := f.Close(); err != nil {
						t.Error(err)
					}
				}
			}
		}
	}
}

// The emergency sheet records: it names no dose, no amount of a medicine and no order to give one.
func TestEmergencySheetNamesNoDose(t *testing.T) {
	for _, tag := range []string{"en", "es"} {
		doc, problems := templates.Compose(templates.Paper{Kind: "emergency_sheet", Template: load(t, "emergency_sheet"), Printer: printer(t, tag)})
		if len(problems) > 0 {
			t.Error(problems)
		}
		said := strings.ToLower(doc.Dump())
		for _, no := range []string{"1500", "1,500", "500 ", " iu", " ui", "micrograms", "microgramos", "mg", "hourly", "cada hora"} {
			if strings.Contains(said, no) {
				t.Errorf("%s: the sheet says %q", tag, no)
			}
		}
	}
}

// Nobody's paper shows vessels but the clinic's own.
func TestVesselsOnTheClinicsPapersAlone(t *testing.T) {
	for _, name := range papers {
		tpl := load(t, name)
		doc, _ := templates.Compose(templates.Paper{Kind: name, Template: tpl, Printer: printer(t, "en"), Facts: treatedFacts(t)})
		if tpl.ForPatient() && strings.Contains(doc.Dump(), "vessels at risk") {
			t.Errorf("%s shows vessels to a patient", name)
		}
	}
}
