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

// PAPERS_DIR names a folder to which papers in two languages are written, one from the right, to look at.
func TestLookTwoLanguages(t *testing.T) {
	dir := os.Getenv("PAPERS_DIR")
	if dir == "" {
		t.Skip("PAPERS_DIR names no folder to write to")
	}
	catalogue := withArabic(t)
	for _, kind := range []string{"information", "consent", "aftercare"} {
		for _, sheet := range []string{"patient-A4", "large-A4"} {
			doc, problems := templates.Compose(templates.Paper{Kind: kind, Template: load(t, kind), Printer: tongue(t, catalogue, "ar"),
				Clinic: tongue(t, catalogue, "en"), With: tongue(t, catalogue, "en"), Facts: treatedFacts(t), Sheet: sheet})
			if len(problems) > 0 {
				t.Fatal(problems)
			}
			setter := text.NewEngine().NewSetter(text.Options{Lang: doc.Lang})
			placed := layout.Place(doc, setter)
			f, err := os.Create(filepath.Join(dir, strings.Join([]string{"two", kind, sheet}, "-")+".pdf"))
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
