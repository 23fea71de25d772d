package pdf_test

import (
	"strings"
	"testing"
	"unicode"

	"philtrum/templates/layout"
	"philtrum/templates/pdf"
	"philtrum/templates/pdf/conform"
	"philtrum/templates/text"
)

// invented names in twelve scripts.
var invented = []string{
	"Zoë Ábelová-Łuczak", "Злата Вересова", "Ηλέκτρα Φωκίδου", "لبنى الآلوسي", "נעמה אלחרית", "क्षमा श्रीवन",
	"জ্যোৎস্না মৌসুমী", "செல்வி நிலாவாணன்", "พิมพ์ใจ วารีรัตน์", "歐陽曉嵐", "みずき カナデ", "한별 솔나리",
}

// nameList is a paper that lists names of any script.
func nameList(s script) layout.Document {
	d := layout.Document{Lang: s.Lang, Title: s.Title, Sheet: plain()}
	if s.rightToLeft() {
		d.Direction = layout.RightToLeft
	}
	list := &layout.List{Ordered: true}
	for _, name := range invented {
		list.Items = append(list.Items, layout.ListItem{Text: []layout.Span{{Text: name, Value: true, Field: "patient.name"}}})
	}
	d.Blocks = []layout.Block{&layout.Title{Text: say(s.Title)}, list}
	return d
}

// A list of patients holds names of all scripts, whatever the language of the paper. PDFium turns lines of
// a right-to-left paper round by the classes of their signs, and so takes marks from left-to-right letters.
func TestNamesOfTwelveScriptsShareAPage(t *testing.T) {
	engine := text.NewEngine()
	var files [][]byte
	var langs []string
	for _, s := range scripts(t) {
		if s.Lang != "en" && s.Lang != "ar" && s.Lang != "ja" {
			continue
		}
		file, r := written(t, engine, nameList(s), pdf.PDFA2u)
		if len(r.Pages) != 1 {
			t.Errorf("%s: %d pages", s.Lang, len(r.Pages))
		}
		for _, v := range conform.Check(file) {
			t.Errorf("%s: %s", s.Lang, v)
		}
		files, langs = append(files, file), append(langs, s.Lang)
	}
	for i, read := range readAll(t, files) {
		for _, reader := range readerNames {
			for _, name := range invented {
				if !reads(read[reader], name, langs[i] == "ar" && reader == "pdfium") {
					t.Errorf("%s paper by %s: %q is not read in\n%s", langs[i], reader, name, read[reader])
				}
			}
		}
	}
}

// reads says whether a text has a name, white space aside. Right-to-left names may have their words in
// another order; a reader that reverses whole lines is asked for the letters alone.
func reads(text, name string, reversing bool) bool {
	if reversing {
		for _, r := range squeezed(name) {
			if !strings.ContainsRune(text, r) {
				return false
			}
		}
		return true
	}
	if bidi := unicode.In([]rune(name)[0], unicode.Arabic, unicode.Hebrew); !bidi {
		return strings.Contains(squeezed(text), squeezed(name))
	}
	for word := range strings.FieldsSeq(name) {
		if !strings.Contains(text, word) {
			return false
		}
	}
	return true
}
