package main

import (
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"golang.org/x/text/unicode/norm"
)

// What was typed into a form stands on the questionnaire with its answers, in every offered language: as text for
// readers, and joined and in order for the eye where letters of a script join.
func TestTypedAnswersAreSetAnew(t *testing.T) {
	for _, tool := range []string{"pdftoppm", "tesseract", "pdftotext"} {
		if _, err := exec.LookPath(tool); err != nil {
			missing(t, tool+" is not installed")
		}
	}
	dir, command := formDesk(t)
	joined := map[string]string{"ar": "ara", "hi": "hin"}
	for _, lang := range offered(t) {
		t.Run(lang, func(t *testing.T) {
			file := answered(t, dir, command, lang)
			page := pageWith(t, file, ownWords[lang])
			if sight, ok := joined[lang]; ok {
				seenOn(t, file, page, sight, ownWords[lang])
			}
		})
	}
}

// answered gives a paper with the answers of a form that was filled in and read.
func answered(t *testing.T, dir string, command func(...string) (string, status), lang string) string {
	t.Helper()
	data, err := os.ReadFile(issuedFormIn(t, dir, command, lang))
	if err != nil {
		t.Fatal(err)
	}
	data, err = filledIn(data, map[string]string{"prescribed": ownWords[lang], "filled_on-day": "4", "filled_on-month": "12", "filled_on-year": "2026"}, nil, "")
	if err != nil {
		t.Fatal(err)
	}
	filled := filepath.Join(t.TempDir(), "filled.pdf")
	if err := os.WriteFile(filled, data, 0o600); err != nil {
		t.Fatal(err)
	}
	if said, _ := command("--clinic", dir, "read", filled, "--by", "amara", "--why", "asked again"); !strings.Contains(said, ownWords[lang]) {
		t.Fatalf("%s: not read: %s", lang, said)
	}
	said, _ := command("--clinic", dir, "issue", formVisit, "questionnaire", "--as", "filled", "--lang", lang)
	for _, line := range strings.Split(said, "\n") {
		if strings.HasSuffix(line, ".pdf") {
			return line
		}
	}
	t.Fatalf("%s: not issued with its answers: %s", lang, said)
	return ""
}

// seenOn looks for words on the pages of a file as a camera does. Unjoined or turned round, hardly any would be read.
func seenOn(t *testing.T, file, page, language, words string) {
	t.Helper()
	dir := t.TempDir()
	shot := exec.Command("pdftoppm", "-r", "300", "-gray", "-singlefile", "-f", page, "-l", page, file, filepath.Join(dir, "page"))
	if err := shot.Run(); err != nil {
		t.Fatal(err)
	}
	sight := exec.Command("tesseract", filepath.Join(dir, "page.pgm"), "-", "-l", language, "--psm", "6")
	sight.Env = append(os.Environ(), "OMP_THREAD_LIMIT=1")
	got, err := sight.Output()
	if err != nil {
		t.Fatal(err)
	}
	read, all := 0, strings.Fields(words)
	for _, word := range all {
		if strings.Contains(compact(string(got)), compact(word)) {
			read++
		}
	}
	if read*3 < len(all)*2 {
		t.Errorf("%d of %d words are seen", read, len(all))
	}
}

// pageWith is the page on which words stand.
func pageWith(t *testing.T, file, words string) string {
	t.Helper()
	for _, page := range strings.Fields("1 2 3 4 5 6 7 8 9 10 11 12 13 14") {
		text, err := exec.Command("pdftotext", "-f", page, "-l", page, file, "-").Output()
		if err != nil {
			break
		}
		if strings.Contains(compact(string(text)), compact(words)) {
			return page
		}
	}
	t.Fatal("the words stand on no page")
	return ""
}

// compact is a text without spaces and marks of direction, composed.
func compact(s string) string {
	return strings.Map(func(r rune) rune {
		if strings.ContainsRune(" \n\r\t\f\u00a0\u200e\u200f\u202a\u202b\u202c\u2066\u2067\u2068\u2069", r) {
			return -1
		}
		return r
	}, norm.NFC.String(s))
}
