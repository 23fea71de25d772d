package text

import (
	"encoding/json"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"
	"unicode"

	"github.com/go-text/typesetting/language"
)

// kernedOtherwise are words in which hb-shape (HarfBuzz 6.0) kerns a pair that go-text does not: where a class
// table lists the second letter with class 0, go-text takes that for a match without effect and does not
// go on to the next table, which has the pair. Glyphs and places are the same, up to a twentieth of the em.
var kernedOtherwise = strings.Fields(`
	nhợt
	Τηλεφωνήστε έντονη είναι κοιμηθείτε μόνα πίνετε περνούν πόνος
	Осторожно Содержите головой достаточно кожа кожу ночь отёк охлаждайте пейте
	позвоните приподнятой проходят спите телефону тонко трогайте тяжёлых усилится чистоте
`)

// tongue is a language and one of its scripts.
type tongue struct {
	lang   string
	script language.Script
}

// pageWords are the distinct runs of letters of the pages in every script.
func pageWords(t *testing.T) map[tongue][]string {
	t.Helper()
	data, err := os.ReadFile("../pdf/testdata/script/pages.json")
	if err != nil {
		t.Fatal(err)
	}
	var pages []struct {
		Lang, Title, Heading, Paragraph, Mixed string
		Items, Head                            []string
		Rows                                   [][]string
	}
	if err := json.Unmarshal(data, &pages); err != nil {
		t.Fatal(err)
	}
	all, seen := map[tongue][]string{}, map[string]bool{}
	for _, p := range pages {
		words := append(append([]string{p.Title, p.Heading, p.Paragraph, p.Mixed}, p.Items...), p.Head...)
		for _, row := range p.Rows {
			words = append(words, row...)
		}
		for _, w := range strings.Fields(strings.Join(words, " ")) {
			if strings.ContainsAny(w, "{}") && familyOfLang(p.Lang) != simplified && familyOfLang(p.Lang) != traditional {
				continue
			}
			for _, run := range oneScript(w) {
				if key := p.Lang + run.text; !seen[key] {
					seen[key] = true
					k := tongue{p.Lang, run.script}
					all[k] = append(all[k], run.text)
				}
			}
		}
	}
	return all
}

// oneScript parts a word into runs of letters of one script each, everything else left out.
func oneScript(word string) []shaping {
	var runs []shaping
	open := false
	for _, r := range word {
		script := language.LookupScript(r)
		switch {
		case unicode.IsMark(r) && open || r == 0x200C && open:
			runs[len(runs)-1].text += string(r)
		case !unicode.IsLetter(r) || r < 0x80 && strings.ContainsAny(word, "{}"):
			open = false
		case open && runs[len(runs)-1].script == script:
			runs[len(runs)-1].text += string(r)
		default:
			runs, open = append(runs, shaping{text: string(r), script: script}), true
		}
	}
	return runs
}

// hbShape gives the glyphs of each word as hb-shape prints them, without clusters.
func hbShape(t *testing.T, program, font, lang string, script language.Script, rtl bool, words []string) []string {
	t.Helper()
	file := filepath.Join(t.TempDir(), "words.txt")
	if err := os.WriteFile(file, []byte(strings.Join(words, "\n")), 0o600); err != nil {
		t.Fatal(err)
	}
	direction := "ltr"
	if rtl {
		direction = "rtl"
	}
	out, err := exec.Command(program, filepath.Join("fonts", font+".ttf"), "--text-file="+file, "--language="+lang,
		"--script="+script.String(), "--direction="+direction, "--no-glyph-names", "--no-clusters").CombinedOutput()
	if err != nil {
		t.Fatalf("hb-shape: %v\n%s", err, out)
	}
	return strings.Split(strings.TrimSpace(string(out)), "\n")
}

// glyphs are those that the shaper has just made, as hb-shape prints them.
func (s *shaper) glyphs() string {
	var all []string
	for i, info := range s.buffer.Info {
		pos := s.buffer.Pos[i]
		g := fmt.Sprint(info.Glyph)
		if pos.XOffset != 0 || pos.YOffset != 0 {
			g += fmt.Sprintf("@%d,%d", pos.XOffset, pos.YOffset)
		}
		all = append(all, fmt.Sprintf("%s+%d", g, pos.XAdvance))
	}
	return "[" + strings.Join(all, "|") + "]"
}

// nearly says whether two lists of glyphs differ in advances alone, by 50 units at most.
func nearly(a, b string) bool {
	one, two := strings.Split(strings.Trim(a, "[]"), "|"), strings.Split(strings.Trim(b, "[]"), "|")
	for i := range one {
		if len(one) != len(two) {
			return false
		}
		glyph, advance, _ := strings.Cut(one[i], "+")
		other, beside, _ := strings.Cut(two[i], "+")
		x, err1 := strconv.Atoi(advance)
		y, err2 := strconv.Atoi(beside)
		if glyph != other || err1 != nil || err2 != nil || max(x-y, y-x) > 50 {
			return false
		}
	}
	return true
}

// Every word of the pages in every script gets HarfBuzz's glyphs, offsets and advances, in both weights.
func TestHarfBuzzAgreesOnTheWordsOfEveryScript(t *testing.T) {
	program := tool(t, "hb-shape")
	e, checked, scripts := NewEngine(), 0, map[language.Script]bool{}
	for k, words := range pageWords(t) {
		fam := familyOfLang(k.lang)
		rtl := fam == arabic || fam == naskh || fam == hebrew
		for _, bold := range []bool{false, true} {
			id := fam.face(bold)
			if bold && id == fam.face(false) {
				continue
			}
			f := e.face(id)
			for i, want := range hbShape(t, program, f.name, k.lang, k.script, rtl, words) {
				s := newShaper()
				s.shape(f, shaping{text: words[i], lang: &lang{language.NewLanguage(k.lang)}, script: k.script, rtl: rtl}, &clusterTable{})
				checked++
				got := s.glyphs()
				switch known := slices.Contains(kernedOtherwise, words[i]); {
				case known && got == want:
					t.Errorf("%s %s %s is kerned as HarfBuzz does it", k.lang, f.name, words[i])
				case got != want && !(known && nearly(got, want)):
					t.Errorf("%s %s %s\n%s\nHarfBuzz\n%s", k.lang, f.name, words[i], got, want)
				}
			}
		}
		scripts[k.script] = true
	}
	t.Logf("%d words in %d scripts", checked, len(scripts))
	for _, s := range []language.Script{language.Latin, language.Cyrillic, language.Greek, language.Arabic, language.Hebrew,
		language.Devanagari, language.Bengali, language.Tamil, language.Thai, language.Han, language.Hiragana, language.Katakana, language.Hangul} {
		if !scripts[s] {
			t.Errorf("no word in %s", s)
		}
	}
}
