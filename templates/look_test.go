package templates_test

import (
	"fmt"
	"os"
	"path/filepath"
	"testing"

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
	for _, name := range papers {
		for when, facts := range map[string]templates.Facts{"before": plannedFacts(t), "after": treatedFacts(t), "held": heldFacts(t)} {
			for _, sheet := range []string{"", "large-A4"} {
				if sheet != "" && !load(t, name).ForPatient() {
					continue
				}
				doc, problems := templates.Compose(templates.Paper{Kind: name, Template: load(t, name), Printer: tongue(t, heldCatalogue(t), "en"), Facts: facts, Sheet: sheet})
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
