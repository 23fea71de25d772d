package templates_test

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"philtrum/forms/clinic"
	"philtrum/forms/measure"
	"philtrum/locales/readability"
	"philtrum/templates"
	"philtrum/templates/layout"
	"philtrum/templates/pdf"
	"philtrum/templates/text"
)

// recalledFacts is a treated visit after the recall of a lot: the one that was used, or another of the same line.
func recalledFacts(t testing.TB, used bool) templates.Facts {
	t.Helper()
	f := treatedFacts(t)
	lot := "Z9000"
	if used {
		lot = f.Visit.Treatment.Syringes[0].Lot
	}
	f.Stock.Recalls = []clinic.Recall{{Lot: lot, Product: f.Visit.Treatment.Syringes[0].Product, Reason: "Notice of the maker", On: measure.Date{Year: 2027, Month: 2, Day: 3}}}
	return f
}

var recalled = map[string]func(testing.TB) templates.Facts{
	"certain":  func(t testing.TB) templates.Facts { return recalledFacts(t, true) },
	"possible": func(t testing.TB) templates.Facts { return recalledFacts(t, false) },
}

func TestRecallLetterIsAsReviewed(t *testing.T) {
	for name, facts := range recalled {
		got := compose(t, "recall", facts(t), "en").Dump()
		asReviewed(t, "recall_"+name+".txt", got)
	}
}

// The reason of a recall is the clinic's own note in the clinic's language, and no letter repeats it.
func TestRecallLetterKeepsTheNoteBack(t *testing.T) {
	if strings.Contains(compose(t, "recall", recalledFacts(t, true), "en").Dump(), "Notice of the maker") {
		t.Error("the letter repeats the clinic's note")
	}
}

func TestRecallLetterIsEasyToRead(t *testing.T) {
	for name, facts := range recalled {
		for tag, r := range map[string]readability.Result{
			"en": readability.Score("en", sentencesOf(compose(t, "recall", facts(t), "en")), nil),
			"es": scoreSpanish(sentencesOf(composeShipped(t, "recall", facts(t), "es"))),
		} {
			if tag == "en" && r.Score > 6 || tag == "es" && r.Score < easyInSpanish {
				t.Errorf("%s %s: %s %.1f; hardest: %v", name, tag, r.Formula, r.Score, r.Worst)
			}
			t.Logf("%s %s: %s %.1f over %d words", name, tag, r.Formula, r.Score, r.Words)
		}
	}
}

// It stands on one page in ordinary print, on two or three in large, with nothing cut.
func TestRecallLetterFits(t *testing.T) {
	engine := text.NewEngine()
	dir := os.Getenv("PAPERS_DIR")
	for name, facts := range recalled {
		for _, tag := range []string{"en", "es"} {
			for sheet, most := range map[string]int{"patient-A4": 1, "patient-Letter": 1, "large-A4": 2, "large-Letter": 3} {
				doc, problems := templates.Compose(templates.Paper{Kind: "recall", Template: load(t, "recall"), Printer: printer(t, tag), Clinic: printer(t, "en"), Facts: facts(t), Sheet: sheet})
				setter := engine.NewSetter(text.Options{Lang: doc.Lang})
				placed := layout.Place(doc, setter)
				if len(problems)+len(placed.Reports) > 0 || len(placed.Pages) > most {
					t.Errorf("%s %s %s: %d pages, %v, %v", name, tag, sheet, len(placed.Pages), problems, placed.Reports)
				}
				if dir == "" {
					continue
				}
				f, err := os.Create(filepath.Join(dir, fmt.Sprintf("recall-%s-%s-%s.pdf", name, tag, sheet)))
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
