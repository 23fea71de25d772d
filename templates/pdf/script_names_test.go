package pdf_test

import (
	"testing"

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

// A list of patients holds names of all scripts, whatever the language of the paper.
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
			got := map[string]bool{}
			for _, w := range wordsOf(read[reader]) {
				got[w] = true
			}
			for _, name := range invented {
				for _, w := range wordsOf(name) {
					if !got[w] {
						t.Errorf("%s paper by %s: %q of %q is not read in\n%s", langs[i], reader, w, name, read[reader])
					}
				}
			}
		}
	}
}
