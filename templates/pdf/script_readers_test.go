package pdf_test

import (
	"encoding/json"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
	"unicode"

	"philtrum/templates/layout"
	"philtrum/templates/pdf"
	"philtrum/templates/text"
)

// readerNames are the programs whose text is compared with the source.
var readerNames = []string{"poppler", "mupdf", "pdfjs", "pdfium"}

// readAll gives what each reader finds in each file. The readers of testdata/readers/package.json are looked
// for in the folder that PHILTRUM_NODE_MODULES names, else beside that file.
func readAll(t *testing.T, files [][]byte) []map[string]string {
	t.Helper()
	pdftotext, node := tool(t, "pdftotext"), tool(t, "node")
	modules := os.Getenv("PHILTRUM_NODE_MODULES")
	if modules == "" {
		modules = filepath.Join("testdata", "readers", "node_modules")
	}
	if _, err := os.Stat(filepath.Join(modules, "mupdf")); err != nil {
		missing(t, "the readers of testdata/readers/package.json are not installed")
	}
	dir := t.TempDir()
	args := []string{"testdata/readers/extract.mjs", modules}
	for i, file := range files {
		path := filepath.Join(dir, fmt.Sprintf("%02d.pdf", i))
		if err := os.WriteFile(path, file, 0o600); err != nil {
			t.Fatal(err)
		}
		args = append(args, path)
	}
	cmd := exec.Command(node, args...)
	var complaints strings.Builder
	cmd.Stderr = &complaints
	out, err := cmd.Output()
	if err != nil {
		t.Fatalf("node: %v\n%s", err, complaints.String())
	}
	var all []map[string]string
	if err := json.Unmarshal(out, &all); err != nil {
		t.Fatal(err)
	}
	for i, path := range args[2:] {
		out, err := exec.Command(pdftotext, "-enc", "UTF-8", path, "-").Output()
		if err != nil {
			t.Fatalf("pdftotext: %v", err)
		}
		all[i]["poppler"] = string(out)
	}
	return all
}

// squeezed drops what readers put in or leave out as they please: white space, marks of direction, and
// invisible places to break.
func squeezed(s string) string {
	return strings.Map(func(r rune) rune {
		if unicode.IsSpace(r) || unicode.Is(unicode.Cf, r) {
			return -1
		}
		return r
	}, s)
}

// wordsOf splits into runs of letters of one direction and runs of digits, sorted: the same words in
// whatever order.
func wordsOf(s string) []string {
	var all []string
	var word []rune
	kind := 0
	for _, r := range s + " " {
		k := 0
		switch {
		case r == '\u200C' || unicode.IsMark(r):
			k = kind
		case unicode.Is(unicode.Latin, r):
			k = 3 // a space beside it is lost in some readers
		case unicode.IsLetter(r):
			k = 1
		case unicode.IsDigit(r):
			k = 2
		case unicode.Is(unicode.Cf, r):
			continue
		}
		if k != kind && len(word) > 0 {
			all, word = append(all, strings.ReplaceAll(string(word), "\u200C", "")), nil
		}
		if kind = k; k != 0 {
			word = append(word, r)
		}
	}
	slices.Sort(all)
	return all
}

// readsOtherwise lists, by language and reader, words that come out otherwise, with the reason.
var readsOtherwise = map[string]map[string]string{
	"ur by pdfjs": {"فوراً": "a space is put between the last letter and the mark on it", "فورا": "what is left of that"},
}

// Left to right, readers find every character in order; right to left, every word. A date or a dose reads
// as it was written.
func TestReadersFindTheTextOfEveryScript(t *testing.T) {
	long(t)
	engine := text.NewEngine()
	all := scripts(t)
	var files [][]byte
	for i := range all {
		file, r := written(t, engine, all[i].page(), pdf.PDFA2u)
		if len(r.Pages) != 1 {
			t.Errorf("%s: %d pages", all[i].Lang, len(r.Pages))
		}
		files = append(files, file)
	}
	if len(all) < 17 {
		t.Errorf("only %d languages", len(all))
	}
	read := readAll(t, files)
	for i := range all {
		s := &all[i]
		for _, reader := range readerNames {
			t.Run(s.Lang+" by "+reader, func(t *testing.T) { s.compare(t, reader, read[i][reader]) })
		}
	}
}

func (s *script) compare(t *testing.T, reader, got string) {
	if !s.rightToLeft() {
		if g, w := squeezed(got), squeezed(s.source()); g != w {
			t.Errorf("text is\n%s\nwant\n%s", g, w)
		}
		return
	}
	for _, word := range differing(wordsOf(s.source()), wordsOf(got)) {
		if readsOtherwise[s.Lang+" by "+reader][word] == "" {
			t.Errorf("%q is lost, or read and not written, in\n%s", word, got)
		}
	}
	for name, value := range scriptValues {
		if reader == "pdfium" { // orders the numbers and the words of a value anew, each of them whole
			for _, part := range regexp.MustCompile(`[0-9][0-9.-]*|[A-Za-z]+`).FindAllString(value, -1) {
				if !strings.Contains(got, part) {
					t.Errorf("%q of the %s is not read", part, name)
				}
			}
			continue
		}
		if !strings.Contains(squeezed(got), squeezed(value)) {
			t.Errorf("the %s is not read as %q", name, value)
		}
	}
}

// On the page, too, a value stands from left to right and in one piece within words from right to left.
func TestValuesNeverRunBackwards(t *testing.T) {
	engine := text.NewEngine()
	for _, s := range scripts(t) {
		_, r := written(t, engine, s.page(), pdf.PDFA2u)
		var page strings.Builder
		for i := range r.Pages[0].Items {
			page.WriteString(visual(&r.Pages[0].Items[i].Line) + "\n")
		}
		for name, value := range scriptValues {
			if !strings.Contains(page.String(), value) {
				t.Errorf("%s: the %s does not stand as %q in\n%s", s.Lang, name, value, page.String())
			}
		}
	}
}

// visual is the text of a line from its left end to its right.
func visual(l *layout.Line) string {
	runs := slices.Clone(l.Runs)
	slices.SortStableFunc(runs, func(a, b layout.Run) int { return int(a.X - b.X) })
	var b strings.Builder
	for i := range runs {
		letters := []rune(runs[i].Text)
		if runs[i].RightToLeft {
			slices.Reverse(letters)
		}
		b.WriteString(string(letters))
	}
	return b.String()
}

// Words that hold lam-alef, which readers usually lose, and all others come back from a long text.
func TestArabicWordsAreReadWhole(t *testing.T) {
	long(t)
	data, err := os.ReadFile("testdata/script/arabic.txt")
	if err != nil {
		t.Fatal(err)
	}
	source := string(data)
	d := layout.Document{Lang: "ar", Direction: layout.RightToLeft, Title: "نص", Sheet: plain()}
	for paragraph := range strings.Lines(source) {
		d.Blocks = append(d.Blocks, &layout.Paragraph{Text: say(strings.TrimSpace(paragraph))})
	}
	file, _ := written(t, text.NewEngine(), d, pdf.PDFA2u)
	want := wordsOf(source)
	lamAlef := 0
	for _, w := range want {
		if regexp.MustCompile("ل[اأإآ]").MatchString(w) {
			lamAlef++
		}
	}
	if len(want) < 300 || lamAlef < 100 {
		t.Errorf("the text has only %d words, %d of them with lam-alef", len(want), lamAlef)
	}
	for reader, got := range readAll(t, [][]byte{file})[0] {
		odd := differing(want, wordsOf(got))
		t.Logf("%s: %d words, %d of them with lam-alef; differing: %q", reader, len(want), lamAlef, odd)
		if len(odd)*100 > len(want) { // a word read otherwise counts twice
			t.Errorf("%s: %d of %d words differ: %q", reader, len(odd), len(want), odd)
		}
	}
}

// differing gives the words that only one of two lists has.
func differing(want, got []string) []string {
	count := map[string]int{}
	for _, w := range want {
		count[w]++
	}
	for _, w := range got {
		count[w]--
	}
	var odd []string
	for w, n := range count {
		for range max(n, -n) {
			odd = append(odd, w)
		}
	}
	slices.Sort(odd)
	return odd
}
