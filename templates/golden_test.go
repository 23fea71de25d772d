package templates_test

import (
	"flag"
	"os"
	"path/filepath"
	"testing"

	"philtrum/templates"
	"philtrum/templates/layout"
	"philtrum/templates/text"

	"github.com/google/go-cmp/cmp"
)

var update = flag.Bool("update", false, "write the golden files anew")

// Each paper says what its golden file says, line by line: a change of words, order or values shows.
func TestPapersAreAsReviewed(t *testing.T) {
	cases := map[string]struct {
		paper, tag string
		facts      templates.Facts
	}{
		"information":        {"information", "en", plannedFacts(t)},
		"consent_held":       {"consent", "en", heldFacts(t)},
		"consent_two_tongue": {"consent", "es", plannedFacts(t)},
		"record_prepared":    {"record", "en", plannedFacts(t)},
		"record_final":       {"record", "en", treatedFacts(t)},
		"aftercare_before":   {"aftercare", "en", plannedFacts(t)},
		"aftercare_dated":    {"aftercare", "en", treatedFacts(t)},
		"summary_held":       {"summary", "en", heldFacts(t)},
		"deferral":           {"deferral", "en", heldFacts(t)},
		"emergency_sheet":    {"emergency_sheet", "en", treatedFacts(t)},
		"emergency_blank":    {"emergency_sheet", "es", templates.Facts{}},
		"letter":             {"letter", "en", treatedFacts(t)},
		"consent_unknown":    {"consent", "en", templates.Facts{}},
	}
	for name, c := range cases {
		got := compose(t, c.paper, c.facts, c.tag).Dump()
		asReviewed(t, name+".txt", got)
	}
}

// Every paper can be placed on every sheet that it may be set on without a word that does not fit, and
// the number to call stands in the top third of page one.
func TestPapersFitTheirSheets(t *testing.T) {
	engine := text.NewEngine()
	c := heldCatalogue(t)
	for _, name := range papers {
		tpl := load(t, name)
		for when, f := range map[string]templates.Facts{"before": plannedFacts(t), "after": treatedFacts(t), "held": heldFacts(t), "nothing known": {}} {
			for _, sheet := range []string{"A4", "Letter"} {
				for _, look := range []string{tpl.Look, "large"} {
					if look == "large" && !tpl.ForPatient() {
						continue
					}
					doc, _ := templates.Compose(templates.Paper{Template: tpl, Printer: tongue(t, c, "en"), Facts: f, Sheet: templates.SheetName(look, sheet)})
					placed := layout.Place(doc, engine.NewSetter(text.Options{Lang: doc.Lang}))
					for _, r := range placed.Reports {
						t.Errorf("%s %s on %s-%s: %+v", name, when, look, sheet, r)
					}
					if name == "aftercare" && when == "after" {
						numberInTopThird(t, placed)
					}
				}
			}
		}
	}
}

func numberInTopThird(t *testing.T, placed layout.Result) {
	t.Helper()
	for _, i := range placed.Pages[0].Items {
		if i.Kind == layout.ItemLine && i.Line.Text == "01632 960 999" {
			if i.Rect.Y > placed.Sheet.Height/3 || len(i.Line.Runs) == 0 || i.Line.Runs[0].Size < 20*layout.Pt {
				t.Errorf("%s: the number stands at %d of %d", placed.Sheet.Name, i.Rect.Y, placed.Sheet.Height)
			}
			return
		}
	}
	t.Errorf("%s: no number to call on page one", placed.Sheet.Name)
}

// asReviewed holds what a paper says against its golden file; -update rewrites that.
func asReviewed(t *testing.T, golden, got string) {
	t.Helper()
	file := filepath.Join("testdata", golden)
	if *update {
		if err := os.WriteFile(file, []byte(got), 0o644); err != nil {
			t.Fatal(err)
		}
		return
	}
	want, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	if diff := cmp.Diff(string(want), got); diff != "" {
		t.Errorf("%s (-reviewed +now):\n%s", golden, diff)
	}
}
