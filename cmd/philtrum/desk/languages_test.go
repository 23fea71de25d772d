package desk

import (
	"bytes"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"philtrum/templates"
	"philtrum/templates/layout"
	"philtrum/templates/pdf"
)

// visitsToRead are a planned and a treated visit of the demonstration.
func visitsToRead(t *testing.T) (*Desk, []Checked) {
	t.Helper()
	d, shown := told(t)
	var visits []Checked
	for _, treated := range []bool{false, true} {
		i := slices.IndexFunc(shown.Visits, func(s Shown) bool {
			return (s.Checked.Case.Visit.Treatment != nil) == treated && !s.Checked.Report.Held
		})
		if i < 0 {
			t.Fatal("the demonstration has no such visit", treated)
		}
		checked, err := d.Check(shown.Visits[i].Checked.Visit)
		if err != nil {
			t.Fatal(err)
		}
		visits = append(visits, checked)
	}
	return d, visits
}

// inEveryLanguage makes every patient's paper of a planned and a treated visit of the demonstration in every
// language that is offered: normal and large, alone and beside the clinic's.
func inEveryLanguage(t *testing.T, do func(name string, r Request, m made)) {
	t.Helper()
	d, visits := visitsToRead(t)
	for _, checked := range visits {
		for _, kind := range Kinds() {
			if template, _ := d.printer().template(kind); template == nil || !template.ForPatient() {
				continue
			}
			if refused, problems := forbids(checked, kind); len(refused) > 0 || len(problems) > 0 {
				continue
			}
			for _, language := range d.catalogue.Languages() {
				for _, r := range []Request{{}, {LargePrint: true}, {With: "en"}, {With: "en", LargePrint: true}, {With: "es"}} {
					if r.With == language.Tag {
						continue
					}
					r.Language = language.Tag
					m, problems, err := d.compose(checked, Issued{Kind: kind, Language: language.Tag}, r)
					name := fmt.Sprintf("%s %s with %q large %v treated %v", kind, language.Tag, r.With, r.LargePrint, checked.Case.Visit.Treatment != nil)
					if err != nil || len(problems) > 0 {
						t.Errorf("%s: %v %v", name, err, problems)
						continue
					}
					do(name, r, m)
				}
			}
		}
	}
}

// Nothing is clipped, torn, crowded or laid over anything in any language, and no language takes more than one page
// beyond English. Beside another language a paper has no bound: it has the words of both.
func TestEveryLanguageFits(t *testing.T) {
	english := map[string]int{}
	inEveryLanguage(t, func(name string, r Request, m made) {
		for _, report := range m.result.Reports {
			t.Errorf("%s: %s in %s on page %d", name, report.ID, report.Block, report.Page)
		}
		for _, page := range m.result.Pages {
			for i := range page.Items {
				fitsPage(t, name, m.result.Sheet, page, i)
			}
		}
		if r.With != "" {
			return
		}
		key := strings.Replace(name, " "+r.Language+" ", " ", 1)
		if r.Language == "en" {
			english[key] = len(m.result.Pages)
			return
		}
		if n := len(m.result.Pages); n > english[key]+1 {
			t.Errorf("%s has %d pages, English %d", name, n, english[key])
		}
	})
}

func fitsPage(t *testing.T, name string, sheet layout.Sheet, page layout.Page, i int) {
	t.Helper()
	a := page.Items[i]
	if a.Kind != layout.ItemLine || len(a.Line.Runs) == 0 || a.Rect.Width == 0 {
		return
	}
	edge := min(sheet.Inner, sheet.Outer) - layout.Pt
	if a.Rect.X < edge || a.Rect.X+a.Rect.Width > sheet.Width-edge || a.Rect.Y > sheet.Height {
		t.Errorf("%s: %q leaves the margins of page %d", name, a.Line.Text, page.Number)
	}
	for _, b := range page.Items[:i] {
		if b.Kind != layout.ItemLine || len(b.Line.Runs) == 0 || b.Rect.Width == 0 {
			continue
		}
		beside := a.Rect.X >= b.Rect.X+b.Rect.Width || b.Rect.X >= a.Rect.X+a.Rect.Width
		apart := a.Rect.Y-a.Line.Runs[0].Size*6/10 >= b.Rect.Y || b.Rect.Y-b.Line.Runs[0].Size*6/10 >= a.Rect.Y
		if !beside && !apart {
			t.Errorf("%s: %q lies on %q on page %d", name, a.Line.Text, b.Line.Text, page.Number)
		}
	}
}

// Every text of every language can be copied out again by a reader that is not ours: word for word where it runs
// from the left, and with the same letters where some of it runs from the right.
func TestEveryLanguageReadsBack(t *testing.T) {
	pdftotext := tool(t, "pdftotext")
	path := filepath.Join(t.TempDir(), "paper.pdf")
	bare := strings.NewReplacer("-", "", "•", "", "(", "", ")", "")
	inEveryLanguage(t, func(name string, r Request, m made) {
		var file bytes.Buffer
		if err := pdf.Write(&file, m.result, m.fonts, pdf.Info{DocumentID: m.document, Producer: "test"}); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(path, file.Bytes(), 0o600); err != nil {
			t.Fatal(err)
		}
		out, err := exec.Command(pdftotext, "-raw", "-enc", "UTF-8", path, "-").Output()
		if err != nil {
			t.Fatal(name, err)
		}
		got := bare.Replace(squeezed(strings.ReplaceAll(string(out), "\f", "")))
		want := bare.Replace(painted(m.result))
		if r.Language == "ar" || r.With == "ar" {
			got, want = sorted(got), sorted(want)
		}
		if got != want {
			t.Errorf("%s: read back differs near %s", name, difference(got, want))
		}
	})
}

func sorted(s string) string {
	runes := []rune(s)
	slices.Sort(runes)
	return string(runes)
}

// A paper says nothing from a group of messages that nobody signs for.
func TestPapersSayOnlyWhatIsSignedFor(t *testing.T) {
	d, _ := told(t)
	for _, kind := range append(Kinds(), templates.Variants()...) {
		template, problems := d.printer().template(kind)
		if len(problems) > 0 {
			t.Fatal(problems)
		}
		for _, group := range []string{"paper", "term", "language", "rule", "question"} {
			if !slices.Contains(template.Groups(), group) {
				t.Errorf("%s: the group %s is not signed for", kind, group)
			}
		}
	}
}
