package templates_test

import (
	"fmt"
	"strings"
	"testing"

	"philtrum/templates"
	"philtrum/templates/layout"
	"philtrum/templates/text"
)

// sealedFacts is a treated visit as the cover of its sealed file knows it.
func sealedFacts(t testing.TB, signed bool, files int) templates.Facts {
	t.Helper()
	f := treatedFacts(t)
	f.Seal = &templates.Sealing{
		At: at(12, 4, 11, 0), By: "amara", Entries: 41, Head: strings.Repeat("0123456789abcdef", 4),
		Files: []templates.SealedFile{
			{Name: "visit.yaml", What: "visit", Digest: strings.Repeat("a1", 32)},
			{Name: "patient.yaml", What: "patient", Digest: strings.Repeat("b2", 32)},
			{Name: "record-0123456789ab.pdf", What: "record", Digest: strings.Repeat("c3", 32)},
		},
	}
	for i := range files {
		f.Seal.Files = append(f.Seal.Files, templates.SealedFile{
			Name: fmt.Sprintf("scan-%016d.pdf", i), What: "attached", Digest: strings.Repeat("d4", 32),
		})
	}
	f.Seal.Files = append(f.Seal.Files, templates.SealedFile{Name: "journal.jsonl", What: "journal", Digest: strings.Repeat("e5", 32)})
	if signed {
		f.Seal.Level, f.Seal.Holder, f.Seal.Issuer, f.Seal.Until = "PAdES B-B", "Quayside Clinic (invented)", "Harbour Trust (invented)", at(12, 31, 23, 0)
	}
	return f
}

// The cover says what the file reaches and never more.
func TestSealedCoversAreAsReviewed(t *testing.T) {
	for name, signed := range map[string]bool{"seal_signed": true, "seal_unsigned": false} {
		got := compose(t, "seal", sealedFacts(t, signed, 1), "en").Dump()
		if strings.Contains(got, "PAdES") != signed || strings.Contains(got, "not signed") == signed {
			t.Errorf("%s says something else", name)
		}
		for _, level := range []string{"B-T", "B-LT", "qualified"} {
			if strings.Contains(got, level) {
				t.Errorf("%s claims %s", name, level)
			}
		}
		asReviewed(t, name+".txt", got)
	}
}

// A cover holds what it has to on few pages, with no word that does not fit.
func TestSealedCoversFitTheirPages(t *testing.T) {
	engine := text.NewEngine()
	for _, page := range []string{"A4", "Letter"} {
		for _, tag := range []string{"en", "es"} {
			for files, most := range map[int]int{4: 2, 40: 4} {
				doc, problems := templates.Compose(templates.Paper{Kind: "seal", Template: load(t, "seal"), Printer: printer(t, tag),
					Facts: sealedFacts(t, true, files), Sheet: templates.SheetName("record", page)})
				if len(problems) > 0 {
					t.Fatal(problems)
				}
				result := layout.Place(doc, engine.NewSetter(text.Options{Lang: tag}))
				for _, r := range result.Reports {
					t.Errorf("%s, %s, %d files: %+v", page, tag, files, r)
				}
				if n := len(result.Pages); n > most {
					t.Errorf("%s, %s, %d files: %d pages", page, tag, files, n)
				}
			}
		}
	}
}
