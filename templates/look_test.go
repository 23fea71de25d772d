package templates_test

import (
	"fmt"
	"os"
	"path/filepath"
	"testing"

	"philtrum/locales"
	"philtrum/templates"
	"philtrum/templates/layout"
	"philtrum/templates/pdf"
	"philtrum/templates/text"
)

// PAPERS_DIR names a folder to which every paper is written as a file, to look at.
func TestLook(t *testing.T) {
	dir := os.Getenv("PAPERS_DIR")
	if dir == "" {
		t.Skip("PAPERS_DIR names no folder to write to")
	}
	engine := text.NewEngine()
	words := map[bool]*locales.Printer{false: tongue(t, heldCatalogue(t), "en"), true: printer(t, "en")}
	for _, name := range papers {
		for when, facts := range map[string]templates.Facts{"before": plannedFacts(t), "after": treatedFacts(t), "held": heldFacts(t), "long": longFacts(t)} {
			for _, sheet := range []string{"", "large-A4"} {
				if sheet != "" && !load(t, name).ForPatient() {
					continue
				}
				doc, problems := templates.Compose(templates.Paper{Kind: name, Template: load(t, name), Printer: words[when == "long"], Facts: facts, Sheet: sheet})
				if len(problems) > 0 {
					t.Error(problems)
				}
				setter := engine.NewSetter(text.Options{Lang: doc.Lang})
				placed := layout.Place(doc, setter)
				for _, r := range placed.Reports {
					t.Logf("%s %s %s: %+v", name, when, sheet, r)
				}
				f, err := os.Create(filepath.Join(dir, fmt.Sprintf("%s-%s%s.pdf", name, when, sheet)))
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
