package desk

import (
	"cmp"
	"os"
	"os/exec"
	"slices"
	"strings"
	"sync"
	"testing"
)

// sights are Tesseract's names of the languages, and the share of a paper's text that it may leave unread.
var sights = map[string]struct {
	name string
	lost float64
}{
	"en": {"eng", .02}, "es": {"spa", .02}, "fr": {"fra", .02}, "de": {"deu", .02}, "pl": {"pol", .02},
	"zh-Hans": {"chi_sim", .03}, "ar": {"ara", .04}, "hi": {"hin", .06},
}

// seenPaper is a paper to be read by eye, with what it came to.
type seenPaper struct {
	kind, language, look string
	made                 made
	wanted, lost         int
	worst                []misread
}

type misread struct {
	lost      int
	want, got string
	page      int
}

// toBeSeen are the papers of the test: of each patient's paper in each language one combination of size and second
// language, another in the next language, so that over the languages each paper is read in every combination and each
// language in all of them. As a trial it is the whole product, with a second foreign language beside.
func toBeSeen(t *testing.T, d *Desk, visits []Checked, whole bool) []*seenPaper {
	t.Helper()
	looks := []Request{{}, {With: "en", LargePrint: true}, {LargePrint: true}, {With: "en"}, {With: "es"}, {With: "es", LargePrint: true}}
	var out []*seenPaper
	for i, language := range d.catalogue.Languages() {
		number := 0
		for _, checked := range visits {
			for _, kind := range Kinds() {
				if template, _ := d.printer().template(kind); template == nil || !template.ForPatient() {
					continue
				}
				if refused, problems := forbids(checked, kind); len(refused) > 0 || len(problems) > 0 {
					continue
				}
				number++
				for k, r := range looks {
					if r.With == language.Tag || !whole && k != (number+i)%4 && !(language.Tag == "en" && k == (number+i)%4-1) {
						continue
					}
					r.Language = language.Tag
					m, problems, err := d.compose(checked, Issued{Kind: kind, Language: language.Tag}, r)
					if err != nil || len(problems) > 0 {
						t.Errorf("%s %s: %v %v", kind, language.Tag, err, problems)
						continue
					}
					look := cmp.Or(map[bool]string{true: "large"}[r.LargePrint], "normal") + cmp.Or(map[bool]string{true: " with " + r.With}[r.With != ""], "")
					if checked.Case.Visit.Treatment != nil {
						look += " treated"
					}
					out = append(out, &seenPaper{kind: kind, language: language.Tag, look: look, made: m})
				}
			}
		}
	}
	return out
}

// Every paper of the demonstration can be read by an eye that is not ours. Its pages are drawn at 300 dots to the inch
// in grey, each line of text is cut out by its place on the page and read by Tesseract in the language of the line (with
// a second one where the line holds a name or a unit of another script), and compared with the words that were set.
// Measured is the share of the signs that is not read: of titles, labels, tables, furniture and labels of figures as of
// running text. Finding the lines on a page of columns, boxes and tables is not measured: that is Tesseract's art and
// not ours. Lines that look the same in one language are read once; a paper counts each of its own once, so that the
// furniture of its pages does not outweigh the text.
//
// A quarter of the lines is read, and the level is that of a language. With PHILTRUM_TRIALS=1 all of them are, of the
// whole product of papers, sizes and second languages, and each paper of some length has to reach it.
func TestSightTrial(t *testing.T) {
	if testing.Short() {
		t.Skip("long")
	}
	pdftoppm, tesseract := tool(t, "pdftoppm"), tool(t, "tesseract")
	seesEveryLanguage(t, tesseract)
	d, visits := visitsToRead(t)
	whole := os.Getenv("PHILTRUM_TRIALS") != ""
	byLanguage := map[string][]*seenPaper{}
	for _, p := range toBeSeen(t, d, visits, whole) {
		byLanguage[p.language] = append(byLanguage[p.language], p)
	}
	if len(byLanguage) != len(sights) {
		t.Errorf("%d languages have papers", len(byLanguage))
	}
	var group sync.WaitGroup
	queue := make(chan string)
	for range 2 {
		group.Go(func() {
			for language := range queue {
				eye := eye{t: t, dir: t.TempDir(), pdftoppm: pdftoppm, tesseract: tesseract, whole: whole, strips: map[string]*strip{}}
				eye.read(byLanguage[language])
				tellLanguage(t, language, byLanguage[language], whole)
			}
		})
	}
	for _, language := range []string{"hi", "zh-Hans", "ar", "pl", "de", "fr", "es", "en"} {
		queue <- language
	}
	close(queue)
	group.Wait()
}

func seesEveryLanguage(t *testing.T, tesseract string) {
	t.Helper()
	known, err := exec.Command(tesseract, "--list-langs").Output()
	if err != nil {
		t.Fatal(err)
	}
	for _, s := range sights {
		if strings.Contains(string(known), "\n"+s.name+"\n") {
			continue
		}
		if os.Getenv("PHILTRUM_REQUIRE_TOOLS") == "1" {
			t.Fatal("tesseract has no data for", s.name)
		}
		t.Skip("tesseract has no data for", s.name)
	}
}

// leastSeen is how many signs of a language are read at least, so that nothing passes that was not looked at; a paper of
// fewer than leastJudged is judged with its language's others.
const (
	leastSeen   = 4000
	leastJudged = 1000
)

func tellLanguage(t *testing.T, language string, papers []*seenPaper, whole bool) {
	all := &seenPaper{kind: "all", language: language}
	for _, p := range papers {
		tellSeen(t, p, whole && p.wanted >= leastJudged)
		all.wanted, all.lost = all.wanted+p.wanted, all.lost+p.lost
		all.worst = append(all.worst, p.worst...)
	}
	tellSeen(t, all, true)
	if all.wanted < leastSeen {
		t.Errorf("%s: only %d signs were read", language, all.wanted)
	}
}

// tellSeen holds what was read of a paper to the level of its language.
func tellSeen(t *testing.T, p *seenPaper, judge bool) {
	share := float64(p.lost) / float64(max(p.wanted, 1))
	t.Logf("%-8s %-20s %-28s %2d pages, %6d signs, %.4f not read", p.language, p.kind, p.look, len(p.made.result.Pages), p.wanted, share)
	most := sights[p.language].lost
	if !judge || p.wanted == 0 || share <= most {
		return
	}
	t.Errorf("%s %s %s: %.3f of the text is not read, above %.2f", p.language, p.kind, p.look, share, most)
	slices.SortStableFunc(p.worst, func(a, b misread) int { return b.lost - a.lost })
	for _, w := range p.worst {
		t.Logf("    page %d, %d signs: %q read as %q", w.page, w.lost, w.want, w.got)
	}
}
