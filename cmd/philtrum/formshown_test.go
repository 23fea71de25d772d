package main

import (
	"encoding/json"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
)

// Whoever fills a form in sees each letter while typing, in every offered language: none is left out, and none is a box
// that stands for any other. PDFium has no fonts of a machine here; what pdf.js shows is set by a browser.
func TestFormShowsWhatIsTyped(t *testing.T) {
	modules := readerModules(t)
	browserModules := filepath.Join("..", "..", "testdata", "node", "node_modules")
	chromium, err := exec.LookPath("chromium")
	if err != nil {
		missing(t, "chromium is not installed")
	}
	if _, err := os.Stat(filepath.Join(browserModules, "puppeteer-core")); err != nil {
		missing(t, "the modules of testdata/node are not installed")
	}
	dir, command := formDesk(t)
	type typed struct {
		File  string `json:"file"`
		Field string `json:"field"`
		Words string `json:"words"`
	}
	var forms []typed
	for _, lang := range offered(t) {
		forms = append(forms, typed{issuedFormIn(t, dir, command, lang), "prescribed", ownWords[lang]})
	}
	list := filepath.Join(t.TempDir(), "forms.json")
	data, err := json.Marshal(forms)
	if err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(list, data, 0o600); err != nil {
		t.Fatal(err)
	}
	var out, errs strings.Builder
	show := exec.Command("node", readersAt("show.mjs"), modules, browserModules, chromium, list)
	show.Stdout, show.Stderr = &out, &errs
	if err := show.Run(); err != nil {
		t.Fatalf("%v\n%s", err, errs.String())
	}
	var shown []map[string]map[string]string // of each form, by viewer, by letter: a digest of its picture
	if err := json.Unmarshal([]byte(out.String()), &shown); err != nil || len(shown) != len(forms) {
		t.Fatalf("%v, %d of %d forms", err, len(shown), len(forms))
	}
	for i, lang := range offered(t) {
		for _, viewer := range []string{"pdfium", "pdfjs"} {
			letters := shown[i][viewer]
			if len(letters) < 12 {
				t.Errorf("%s, %s: %d letters", lang, viewer, len(letters))
			}
			pictures := map[string]string{}
			for letter, picture := range letters {
				if other, ok := pictures[picture]; ok {
					t.Errorf("%s, %s: %+q looks as %+q does", lang, viewer, letter, other)
				}
				pictures[picture] = letter
			}
		}
	}
}
