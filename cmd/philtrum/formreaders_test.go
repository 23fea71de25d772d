package main

import (
	"encoding/json"
	"maps"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"philtrum/locales"
	"philtrum/templates/pdf/read"
)

// own are words in the script of each language, with what is hard in it: joined letters, marks, digits of its own.
var ownWords = map[string]string{
	"en": "Zoë’s naïve wish — £20", "es": "Añoranza y pingüino, ¿sí?", "fr": "Œuvre d’été à l’aîné", "de": "Größe überprüfen, „straff“",
	"pl": "Zażółć gęślą jaźń", "ar": "أريد شفتين أكثر امتلاءً قليلًا ٣٫٥", "hi": "होंठ थोड़े भरे हुए चाहिए १२", "zh-Hans": "希望嘴唇稍微丰满一些，自然",
	"pt": "Lábios um pouco maiores, não é?", "it": "Labbra un po’ più piene", "ru": "Немного полнее губы", "tr": "Biraz daha dolgun dudak, ığüşöç",
}

// formDesk is a clinic with a visit, and a way to run the command on it.
func formDesk(t *testing.T) (dir string, command func(args ...string) (string, status)) {
	t.Helper()
	dir = t.TempDir()
	now := time.Date(2026, 12, 4, 8, 0, 0, 0, time.UTC)
	command = func(args ...string) (string, status) {
		var out, errs strings.Builder
		end := run(world{args: args, in: strings.NewReader(""), out: &out, err: &errs, now: func() time.Time { return now },
			random: counted{}, environment: func(string) (string, bool) { return "", false }, dir: dir})
		return out.String() + errs.String(), end
	}
	if said, end := command("demo", "clinic"); end == statusFailure || end == statusUsage {
		t.Fatalf("no demonstration: %s", said)
	}
	dir = filepath.Join(dir, "clinic")
	return dir, command
}

// counted gives bytes for ids that need not be unlike any other.
type counted struct{}

func (counted) Read(p []byte) (int, error) {
	for i := range p {
		p[i] = byte(i * 37)
	}
	return len(p), nil
}

const formVisit = "f92hztj40j30vjc8" // the demonstration's visit of which hardly anything is answered

// issuedFormIn issues the form in a language and gives its file.
func issuedFormIn(t *testing.T, dir string, command func(...string) (string, status), lang string) string {
	t.Helper()
	said, end := command("--clinic", dir, "issue", formVisit, "questionnaire", "--as", "form", "--lang", lang)
	if end != statusDone {
		t.Fatalf("%s: not issued: %s", lang, said)
	}
	for _, line := range strings.Split(said, "\n") {
		if strings.HasSuffix(line, ".pdf") {
			return line
		}
	}
	t.Fatalf("%s: no file in %q", lang, said)
	return ""
}

func offered(t *testing.T) []string {
	t.Helper()
	catalogue, err := locales.Load(locales.Default)
	if err != nil {
		t.Fatal(err)
	}
	var tags []string
	for _, l := range catalogue.Languages() {
		tags = append(tags, l.Tag)
	}
	return tags
}

func readForm(t *testing.T, file string) read.Form {
	t.Helper()
	data, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	form, fault := formAt(data)
	if fault != "" {
		t.Fatalf("%s: %s", filepath.Base(file), fault)
	}
	return form
}

// fillings are a value for every field: the longest that it takes, in the language's own script.
func fillings(form read.Form, words string) map[string]any {
	out := map[string]any{}
	for i, f := range form.Fields {
		switch {
		case f.Name == "about":
		case f.Kind == "Btn" && len(f.States) > 1:
			out[f.Name] = f.States[i%len(f.States)]
		case f.Kind == "Btn":
			out[f.Name] = true
		case f.Kind == "Ch":
			out[f.Name] = f.Options[len(f.Options)-1]
		case strings.HasSuffix(f.Name, "-day"):
			out[f.Name] = "28"
		case strings.HasSuffix(f.Name, "-year"):
			out[f.Name] = "2025"
		case f.Name == "hba1c":
			out[f.Name] = "105.3"
		default:
			var long []rune
			for len(long) < 1900 {
				long = append(long, []rune(words+" ")...)
			}
			out[f.Name] = strings.TrimSpace(string(long[:1900]))
		}
	}
	return out
}

// formReaders are the readers of PDF files that fill a form in, and the command of each.
var formReaders = map[string]func(modules string) []string{
	"mupdf":   func(modules string) []string { return []string{"node", readersAt("fill.mjs"), modules, "mupdf"} },
	"pdfjs":   func(modules string) []string { return []string{"node", readersAt("fill.mjs"), modules, "pdfjs"} },
	"pdfium":  func(modules string) []string { return []string{"node", readersAt("fill.mjs"), modules, "pdfium"} },
	"poppler": func(string) []string { return []string{"/usr/bin/python3", readersAt("fill.py")} },
}

func readersAt(name string) string {
	return filepath.Join("..", "..", "templates", "pdf", "testdata", "readers", name)
}

// readerModules is the folder of the readers, or a reason to skip.
func readerModules(t *testing.T) string {
	t.Helper()
	modules := os.Getenv("PHILTRUM_NODE_MODULES")
	if modules == "" {
		modules = readersAt("node_modules")
	}
	if _, err := os.Stat(filepath.Join(modules, "@embedpdf", "pdfium")); err != nil {
		missing(t, "the readers of templates/pdf/testdata/readers are not installed")
	}
	if exec.Command("/usr/bin/python3", "-c", "import gi; gi.require_version('Poppler', '0.18')").Run() != nil {
		missing(t, "poppler is not there for python3: gir1.2-poppler-0.18")
	}
	if _, err := exec.LookPath("pdftotext"); err != nil {
		missing(t, "pdftotext is not installed")
	}
	return modules
}

func missing(t *testing.T, what string) {
	t.Helper()
	if os.Getenv("PHILTRUM_REQUIRE_TOOLS") == "1" {
		t.Fatal(what)
	}
	t.Skip(what)
}

// Every offered language is filled in, in its own script and with the longest answers, by four readers of PDF files;
// the values come back as they were typed, and the form counts as the one that was issued. What they show of the values
// afterwards has every letter, in the form's own font; MuPDF alone uses its own.
func TestFormComesBackFromReaders(t *testing.T) {
	modules := readerModules(t)
	dir, command := formDesk(t)
	for _, lang := range offered(t) {
		words, ok := ownWords[lang]
		if !ok {
			t.Errorf("no words of %s to type", lang)
			continue
		}
		issued := issuedFormIn(t, dir, command, lang)
		blank := readForm(t, issued)
		want := fillings(blank, words)
		before := lettersIn(t, issued)
		for reader, args := range formReaders {
			t.Run(lang+"/"+reader, func(t *testing.T) {
				t.Parallel()
				values := want
				if reader == "poppler" {
					values = byPlace(blank, want)
				}
				filled := fillBy(t, args(modules), issued, values)
				sameValues(t, want, readForm(t, filled), blank)
				if reader != "mupdf" {
					after := lettersIn(t, filled)
					for _, r := range compact(words) {
						if after[r] <= before[r] {
							t.Errorf("%c is typed and not shown", r)
						}
					}
				}
				said, _ := command("--clinic", dir, "read", filled, "--by", "amara", "--dry-run")
				if strings.Contains(said, "tray") || !strings.Contains(said, formVisit) {
					t.Errorf("not taken back: %s", said)
				}
			})
		}
	}
}

// lettersIn counts the letters that a file shows, its fields included.
func lettersIn(t *testing.T, file string) map[rune]int {
	t.Helper()
	text, err := exec.Command("pdftotext", file, "-").Output()
	if err != nil {
		t.Fatal(err)
	}
	out := map[rune]int{}
	for _, r := range compact(string(text)) {
		out[r]++
	}
	return out
}

// byPlace gives boxes of which one is ticked by their place among the boxes of that name.
func byPlace(form read.Form, values map[string]any) map[string]any {
	out := maps.Clone(values)
	for _, f := range form.Fields {
		if state, ok := values[f.Name].(string); ok && f.Kind == "Btn" {
			out[f.Name] = slices.Index(f.States, state)
		}
	}
	return out
}

func fillBy(t *testing.T, args []string, issued string, values map[string]any) (filled string) {
	t.Helper()
	work := t.TempDir()
	file, filled := filepath.Join(work, "values.json"), filepath.Join(work, "filled.pdf")
	data, err := json.Marshal(values)
	if err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(file, data, 0o600); err != nil {
		t.Fatal(err)
	}
	args = append(args, issued, filled, file)
	if out, err := exec.Command(args[0], args[1:]...).CombinedOutput(); err != nil {
		t.Fatalf("%v\n%s", err, out)
	}
	return filled
}

// sameValues says whether a form came back with what was typed, and as the form that was issued.
func sameValues(t *testing.T, want map[string]any, back, blank read.Form) {
	t.Helper()
	for _, f := range back.Fields {
		wanted, ok := want[f.Name]
		if !ok {
			continue
		}
		text, typed := wanted.(string)
		if !typed {
			text = "yes"
		}
		got := slices.Clone(f.Values)
		for i := range got {
			got[i] = strings.ReplaceAll(strings.ReplaceAll(got[i], "\r\n", "\n"), "\r", "\n")
		}
		if !slices.Equal(got, []string{text}) {
			t.Errorf("field %s holds another value: %.60q, wanted %.60q", f.Name, got, text)
		}
	}
	if !slices.Equal(blank.Pages, back.Pages) || len(blank.Fields) != len(back.Fields) || back.Active {
		t.Errorf("not taken for the form that was issued: %d fields of %d", len(back.Fields), len(blank.Fields))
	}
}
