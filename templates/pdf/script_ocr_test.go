package pdf_test

import (
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"golang.org/x/text/unicode/norm"

	"philtrum/templates/pdf"
	"philtrum/templates/text"
)

// sight is what Tesseract 5.3 reads of a good page at 300 dots to the inch: its name of the language, and the
// share of the text that it may miss.
type sight struct {
	name string
	lost float64
}

var sights = map[string]sight{
	"en": {"eng", .02}, "es": {"spa", .02}, "fr": {"fra", .02}, "de": {"deu", .02}, "pl": {"pol", .02}, "cs": {"ces", .02},
	"tr": {"tur", .02}, "vi": {"vie", .02}, "ru": {"rus", .02}, "ja": {"jpn", .02}, "zh-Hant": {"chi_tra", .02},
	"bn": {"ben", .03}, "zh-Hans": {"chi_sim", .03}, "el": {"ell", .04}, "ar": {"ara", .04}, "he": {"heb", .04},
	"th": {"tha", .04}, "ko": {"kor", .04}, "hi": {"hin", .06}, "ur": {"urd", .07}, "fa": {"fas", .11},
	"ta": {"tam", .02}, // nothing is lost of a page that hb-view draws with the same face
}

// A camera reads what the eye sees: letters joined, marks in their places, nothing missing. Running text
// alone is read: Tesseract misses some headings of hb-view's pages, too (bold Bengali, large kana).
func TestOpticalReadingOfEveryScript(t *testing.T) {
	long(t)
	pdftoppm, tesseract := tool(t, "pdftoppm"), tool(t, "tesseract")
	known, err := exec.Command(tesseract, "--list-langs").Output()
	if err != nil {
		t.Fatal(err)
	}
	engine := text.NewEngine()
	for _, s := range scripts(t) {
		t.Run(s.Lang, func(t *testing.T) {
			want := sights[s.Lang]
			if !strings.Contains(string(known), "\n"+want.name+"\n") {
				missing(t, "tesseract has no data for "+want.name)
			}
			file, _ := written(t, engine, s.prose(), pdf.PDFA2u)
			dir := t.TempDir()
			if err := os.WriteFile(filepath.Join(dir, "page.pdf"), file, 0o600); err != nil {
				t.Fatal(err)
			}
			command(t, dir, pdftoppm, "-r", "300", "-gray", "-singlefile", "page.pdf", "page")
			got := command(t, dir, tesseract, "page.pgm", "-", "-l", want.name, "--psm", "6")
			lost := lostOf(compared(s.proseText()), compared(got))
			t.Logf("%s: %.3f of the text is not read", s.Lang, lost)
			if lost > want.lost {
				t.Errorf("%.3f of the text is not read, above %.2f:\n%s", lost, want.lost, got)
			}
		})
	}
}

// compared is text as reading compares it: composed signs and wide punctuation like any other.
func compared(s string) []rune { return []rune(squeezed(norm.NFKC.String(s))) }

func command(t *testing.T, dir, name string, args ...string) string {
	t.Helper()
	cmd := exec.Command(name, args...)
	cmd.Dir, cmd.Env = dir, append(os.Environ(), "OMP_THREAD_LIMIT=1")
	out, err := cmd.Output()
	if err != nil {
		t.Fatalf("%s: %v", filepath.Base(name), err)
	}
	return string(out)
}

// lostOf is the share of want that the longest common subsequence with got leaves out.
func lostOf(want, got []rune) float64 {
	before, row := make([]int, len(got)+1), make([]int, len(got)+1)
	for _, w := range want {
		for j, g := range got {
			if row[j+1] = max(row[j], before[j+1]); w == g {
				row[j+1] = before[j] + 1
			}
		}
		before, row = row, before
	}
	return 1 - float64(before[len(got)])/float64(len(want))
}
