package desk

import (
	"bytes"
	"io/fs"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"time"
	"unicode"

	"philtrum/locales"
	"philtrum/templates/layout"
	"philtrum/templates/pdf"
	"philtrum/templates/pdf/conform"
)

// told is the invented clinic of the demonstration after its story.
func told(t *testing.T) (*Desk, Demonstration) {
	t.Helper()
	catalogue, err := locales.Load(locales.Default)
	if err != nil {
		t.Fatal(err)
	}
	shown, problems, err := Demonstrate(filepath.Join(t.TempDir(), "clinic"), os.DirFS("../demo"), catalogue)
	if err != nil || len(problems) > 0 {
		t.Fatal(err, problems)
	}
	d, problems, err := Open(shown.Folder, catalogue, time.Date(2026, 12, 4, 8, 0, 0, 0, time.UTC), bytes.NewReader(nil))
	if err != nil || len(problems) > 0 {
		t.Fatal(err, problems)
	}
	return d, shown
}

// each makes every paper that may be made of every visit of the demonstration.
func each(t *testing.T, d *Desk, shown Demonstration, do func(name string, m made, file []byte)) {
	t.Helper()
	for _, v := range shown.Visits {
		checked, err := d.Check(v.Checked.Visit)
		if err != nil {
			t.Fatal(err)
		}
		for _, kind := range Kinds() {
			if refused, problems := forbids(checked, kind); len(refused) > 0 || len(problems) > 0 {
				continue
			}
			m, problems, err := d.compose(checked, Issued{Kind: kind, Language: d.language(checked, kind, Request{})}, Request{})
			if err != nil || len(problems) > 0 {
				t.Fatalf("%s of %s: %v %v", kind, v.Checked.Visit, err, problems)
			}
			var out bytes.Buffer
			if err := pdf.Write(&out, m.result, m.fonts, pdf.Info{DocumentID: m.document, Producer: "test"}); err != nil {
				t.Fatal(err)
			}
			do(kind+" "+m.result.Lang+" "+v.Checked.Visit, m, out.Bytes())
		}
	}
}

// tool skips the test without the program, or fails it where tools are required.
func tool(t *testing.T, name string) string {
	t.Helper()
	path, err := exec.LookPath(name)
	if err != nil && os.Getenv("PHILTRUM_REQUIRE_TOOLS") == "1" {
		t.Fatal(name, "is not installed")
	}
	if err != nil {
		t.Skip(name, "is not installed")
	}
	return path
}

// painted is the text of a paper in the order in which it is painted, without spaces.
func painted(r layout.Result) string {
	var b strings.Builder
	for i := range r.Pages {
		for j := range r.Pages[i].Items {
			item := &r.Pages[i].Items[j]
			b.WriteString(readable(item.Line))
			for _, l := range item.Labels {
				b.WriteString(l.Line.Text)
			}
		}
	}
	return squeezed(b.String())
}

// readable is a line's text without the labels of its lines to write on, which are for the ear alone.
func readable(line layout.Line) string {
	text := line.Text
	for _, run := range line.Runs {
		if run.Blank && run.Text != "" {
			text = strings.Replace(text, run.Text, "", 1)
		}
	}
	return text
}

// squeezed leaves out spaces and what no reader gives back: soft hyphens and marks of direction.
func squeezed(s string) string {
	return strings.Map(func(r rune) rune {
		if unicode.IsSpace(r) || r == '\u00ad' || unicode.Is(unicode.Cf, r) {
			return -1
		}
		return r
	}, s)
}

// Every word of every paper can be copied out of its file again, in order, by a reader that is not ours
// (poppler's pdftotext, in the order of the content).
func TestPapersReadBackWordForWord(t *testing.T) {
	pdftotext := tool(t, "pdftotext")
	d, shown := told(t)
	papers := 0
	each(t, d, shown, func(name string, m made, file []byte) {
		papers++
		path := filepath.Join(t.TempDir(), "paper.pdf")
		if err := os.WriteFile(path, file, 0o600); err != nil {
			t.Fatal(err)
		}
		out, err := exec.Command(pdftotext, "-raw", "-enc", "UTF-8", path, "-").Output()
		if err != nil {
			t.Fatal(name, err)
		}
		got, want := squeezed(strings.ReplaceAll(string(out), "\f", "")), painted(m.result)
		// A hyphen that the engine put in is shown by some readers at the line's end.
		got, want = strings.ReplaceAll(got, "-", ""), strings.ReplaceAll(want, "-", "")
		got, want = strings.ReplaceAll(got, "•", ""), strings.ReplaceAll(want, "•", "")
		if strings.ContainsFunc(want, func(r rune) bool { return unicode.Is(unicode.Arabic, r) }) {
			// This reader puts the parts of a line with both directions in an order of its own.
			bare := strings.NewReplacer("(", "", ")", "")
			got, want = sorted(bare.Replace(got)), sorted(bare.Replace(want))
		}
		if got != want {
			t.Errorf("%s: read back differs near %s", name, difference(got, want))
		}
	})
	if papers < 30 {
		t.Errorf("only %d papers", papers)
	}
}

// difference shows where two texts part.
func difference(a, b string) string {
	x, y := []rune(a), []rune(b)
	i := 0
	for i < len(x) && i < len(y) && x[i] == y[i] {
		i++
	}
	from := max(i-20, 0)
	return string(x[from:min(i+20, len(x))]) + " / " + string(y[from:min(i+20, len(y))])
}

// Files are sound for qpdf, and keep every machine-checkable condition that package conform knows.
func TestPapersAreSoundFiles(t *testing.T) {
	qpdf := tool(t, "qpdf")
	d, shown := told(t)
	each(t, d, shown, func(name string, m made, file []byte) {
		path := filepath.Join(t.TempDir(), "paper.pdf")
		if err := os.WriteFile(path, file, 0o600); err != nil {
			t.Fatal(err)
		}
		if out, err := exec.Command(qpdf, "--check", path).CombinedOutput(); err != nil {
			t.Errorf("%s: %v %s", name, err, out)
		}
		for _, v := range conform.Check(file) {
			t.Errorf("%s: %s at %s", name, v.Rule, v.Where)
		}
	})
}

// forbidden are words that no paper may use of a treatment (design of the wording: README.md).
var forbidden = regexp.MustCompile(`(?i)\b(safe|safely|safety|guaranteed?|risk-free|es segur[oa]|totalmente segur[oa]|garantizad[oa]|garantiza)\b`)

// No paper reassures falsely, and nothing in a file or its name points to a person but the pages themselves.
func TestPapersReassureNobodyAndKeepNamesOnPages(t *testing.T) {
	d, shown := told(t)
	each(t, d, shown, func(name string, m made, file []byte) {
		for i := range m.result.Pages {
			for j := range m.result.Pages[i].Items {
				if text := m.result.Pages[i].Items[j].Line.Text; forbidden.MatchString(text) {
					t.Errorf("%s says %q", name, text)
				}
			}
		}
		if len(m.result.Reports) > 0 {
			t.Errorf("%s: %v", name, m.result.Reports)
		}
	})
	var names []string
	for _, v := range shown.Visits {
		names = append(names, v.Checked.Case.Patient.Family, v.Checked.Case.Patient.Given)
	}
	err := fs.WalkDir(os.DirFS(shown.Folder.Path()), ".", func(path string, entry fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		for _, name := range names {
			if strings.Contains(path, name) {
				t.Errorf("a file is named after a person: %s", path)
			}
		}
		if filepath.Ext(path) != ".pdf" && filepath.Ext(path) != ".jsonl" {
			return nil
		}
		data, err := shown.Folder.Read(path)
		for _, name := range names {
			if bytes.Contains(data, []byte(name)) {
				t.Errorf("%s holds a name outside its pages", path)
			}
		}
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
}

// The same inputs give the same paper: issuing again writes nothing.
func TestIssuingAgainIsNoWork(t *testing.T) {
	d, shown := told(t)
	for _, v := range shown.Visits {
		if _, _, err := d.Issue(v.Checked.Visit, Request{}); err != nil {
			t.Fatal(err)
		}
		before, _ := d.folder.Read("journal.jsonl")
		issued, problems, err := d.Issue(v.Checked.Visit, Request{})
		if err != nil || len(problems) > 0 {
			t.Fatal(err, problems)
		}
		for _, paper := range issued {
			if paper.File != "" && !paper.Existing {
				t.Errorf("%s of %s was written anew", paper.Kind, v.Checked.Visit)
			}
		}
		if after, _ := d.folder.Read("journal.jsonl"); !bytes.Equal(before, after) {
			t.Errorf("%s: the journal grew", v.Checked.Visit)
		}
	}
}
