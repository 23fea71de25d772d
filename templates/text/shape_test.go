package text

import (
	"encoding/json"
	"os"
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/go-text/typesetting/language"
)

// sample is testdata/shaping-sample.json: what hb-shape (HarfBuzz 6.0) makes of hard words with Debian's
// Noto fonts.
type sample struct {
	Cases []struct {
		Lang, Font, Word         string
		Glyphs, Advance, Missing int
	}
}

// shaperDiffers lists words that go-text is known to shape unlike HarfBuzz, with the reason.
var shaperDiffers = map[string]string{
	"ґудзик": "a kerning pair of the Cyrillic letters in Noto Sans is not applied; 20 units in one word",
}

func TestWordsShapeAsHarfBuzzShapesThem(t *testing.T) {
	data, err := os.ReadFile("testdata/shaping-sample.json")
	if err != nil {
		t.Fatal(err)
	}
	var s sample
	if err := json.Unmarshal(data, &s); err != nil {
		t.Fatal(err)
	}
	faces := map[string]faceID{}
	for id, src := range sources {
		faces[src.name+".ttf"] = faceID(id)
	}
	e, checked := NewEngine(), 0
	for _, c := range s.Cases {
		id, ok := faces[c.Font]
		if !ok {
			continue // a face that no paper uses
		}
		checked++
		if reason, ok := shaperDiffers[c.Word]; ok {
			t.Logf("%s: %s", c.Word, reason)
			continue
		}
		script := language.Latin
		for _, r := range c.Word {
			if sc := language.LookupScript(r); sc != language.Common && sc != language.Inherited {
				script = sc
				break
			}
		}
		rtl := id.family() == arabic || id.family() == naskh || id.family() == hebrew
		shaper, table := newShaper(), &clusterTable{}
		w := shaper.shape(e.face(id), shaping{text: c.Word, lang: &lang{language.NewLanguage(c.Lang)}, script: script, rtl: rtl}, table)
		if glyphs := len(shaper.buffer.Info); glyphs != c.Glyphs || int(w.advance) != c.Advance {
			t.Errorf("%s %s %s: %d glyphs, advance %d; HarfBuzz: %d, %d", c.Lang, c.Font, c.Word, glyphs, w.advance, c.Glyphs, c.Advance)
		}
		var text strings.Builder
		for i := range w.clusters {
			if rtl {
				i = len(w.clusters) - 1 - i
			}
			text.WriteString(w.clusters[i].text)
		}
		if text.String() != c.Word {
			t.Errorf("%s: clusters read %q", c.Word, text.String())
		}
	}
	if checked < 30 {
		t.Errorf("only %d words of the sample were checked", checked)
	}
}

func TestRightToLeftClustersHaveACodeForEachRune(t *testing.T) {
	e := NewEngine()
	for _, id := range []faceID{arabic.face(false), arabic.face(true), naskh.face(false), naskh.face(true)} {
		for _, word := range []string{"لا", "لأ", "لإ", "لآ", "سلام", "بلا", "لَا", "كُتِبَ", "الله"} {
			w := newShaper().shape(e.face(id), shaping{text: word, script: language.Arabic, rtl: true}, &clusterTable{})
			if got := len(w.clusters); got != utf8.RuneCountInString(word) {
				t.Errorf("%s in %s: %d codes", word, e.face(id).name, got)
			}
			for _, c := range w.clusters {
				if n := utf8.RuneCountInString(c.text); n != 1 {
					t.Errorf("%s: a code reads %q", word, c.text)
				}
			}
		}
	}
}

func TestLatinFaceCoversTheFastRange(t *testing.T) {
	e := NewEngine()
	for _, bold := range []bool{false, true} {
		f := e.face(latin.face(bold))
		for r := rune(0x20); r < 0x180; r++ {
			if r >= 0x7F && r < 0xA0 || r == 0xAD {
				continue
			}
			if !f.has(r) {
				t.Errorf("%s lacks %U", f.name, r)
			}
		}
	}
}

func TestEveryFaceLoads(t *testing.T) {
	for id, src := range sources {
		if src.data == nil {
			continue
		}
		f, err := loadFace(faceID(id), src.name, *src.data)
		if err != nil {
			t.Error(err)
			continue
		}
		if f.ascent <= 0 || f.descent >= 0 || f.glyphs == 0 || !f.has(' ') {
			t.Errorf("%s: ascent %d, descent %d, %d glyphs", f.name, f.ascent, f.descent, f.glyphs)
		}
	}
}

func TestLoadRefusesWhatCannotBeCut(t *testing.T) {
	renamed := func(from, to string) string {
		return strings.Replace(sansRegular[:512], from, to, 1) + sansRegular[512:]
	}
	head := strings.Index(sansRegular, "\x5F\x0F\x3C\xF5") + 6
	for name, data := range map[string]string{
		"empty":      "",
		"collection": "ttcf" + sansRegular[4:],
		"cut short":  sansRegular[:200],
		"CFF":        renamed("glyf", "CFF "),
		"variable":   renamed("gasp", "fvar"),
		"no metrics": renamed("hhea", "xxxx"),
		"2048 units": sansRegular[:head] + "\x08\x00" + sansRegular[head+2:],
	} {
		if _, err := loadFace(0, "Sample", data); err == nil {
			t.Errorf("%s: loaded", name)
		} else if !strings.Contains(err.Error(), "Sample") {
			t.Errorf("%s: the error does not name the face: %v", name, err)
		}
	}
}
