package readability

import (
	"encoding/json"
	"math"
	"os"
	"strings"
	"testing"
)

// The count vector: 100 words, 8 sentences. Results computed from the published coefficients by hand.
func TestFormulas(t *testing.T) {
	for _, c := range []struct {
		id     string
		counts Counts
		want   float64
	}{
		{"flesch", Counts{Syllables: 150}, 67.2475},
		{"flesch-kincaid", Counts{Syllables: 150}, 6.985},
		{"smog", Counts{Three: 12}, 10.1258},
		{"smog", Counts{Three: 20, Sentences: 30}, 7.7935},
		{"fernandez-huerta", Counts{Syllables: 190}, 80.09},
		{"szigriszt", Counts{Syllables: 190}, 75.965},
		{"kandel-moles-a", Counts{Syllables: 160}, 76.5525},
		{"kandel-moles-b", Counts{Syllables: 160}, 85.825},
		{"amstad", Counts{Syllables: 180}, 62.20},
		{"wiener-1", Counts{Three: 20, Long: 28, One: 50}, 7.0816},
		{"wiener-2", Counts{Three: 20, Long: 28, One: 50}, 7.1819},
		{"wiener-3", Counts{Three: 20, Long: 28, One: 50}, 7.1929},
		{"wiener-4", Counts{Three: 20, Long: 28, One: 50}, 7.1150},
		{"fog-pl", Counts{Four: 18}, 12.20},
	} {
		c.counts.Words, c.counts.Rated = 100, 100
		if c.counts.Sentences == 0 {
			c.counts.Sentences = 8
		}
		f, ok := ByID(c.id)
		if !ok {
			t.Fatalf("no formula %s", c.id)
		}
		if got := f.Of(c.counts); math.Abs(got-c.want) > 0.0001 {
			t.Errorf("%s: %.4f, want %.4f", c.id, got, c.want)
		}
	}
}

func TestShortTexts(t *testing.T) {
	for _, c := range []struct {
		language, text              string
		words, sentences, syllables int
		formula                     string
		want                        float64
	}{
		{"en", "Keep your lips clean. Do not press on them. Call us at once if the skin turns white.", 18, 3, 18, "flesch", 116.145},
		{"en-GB", "Keep your lips clean. Do not press on them. Call us at once if the skin turns white.", 18, 3, 18, "flesch-kincaid", -1.45},
		{"es", "Lave sus manos. No toque los labios.", 7, 2, 11, "fernandez-huerta", 108.984},
		{"es-ES", "Lave sus manos. No toque los labios.", 7, 2, 11, "szigriszt", 105.435},
		{"fr", "Lavez vos mains. Ne touchez pas la peau.", 8, 2, 10, "kandel-moles-a", 110.94},
		{"de", "Bitte die Lippen nicht drücken. Rufen Sie uns an.", 9, 2, 13, "amstad", 91.0},
		{"de", "Bitte die Lippen nicht drücken. Rufen Sie uns an.", 9, 2, 13, "wiener-1", -0.498},
	} {
		r := Score(c.language, c.text, nil)
		if r.Words != c.words || r.Sentences != c.sentences || r.Syllables != c.syllables {
			t.Errorf("%q: %+v", c.text, r.Counts)
		}
		f, _ := ByID(c.formula)
		if got := f.Of(r.Counts); math.Abs(got-c.want) > 0.001 {
			t.Errorf("%s %q: %.4f, want %.4f", c.formula, c.text, got, c.want)
		}
	}
}

// names in the sample: its formula ids against ours.
var names = map[string]string{"fleschReadingEase": "flesch", "fleschKincaidGrade": "flesch-kincaid", "smog": "smog",
	"amstad": "amstad", "wiener1": "wiener-1", "wiener2": "wiener-2", "wiener3": "wiener-3", "wiener4": "wiener-4",
	"fernandezHuerta": "fernandez-huerta", "szigrisztPazos": "szigriszt"}

func TestSample(t *testing.T) {
	data, err := os.ReadFile("testdata/sample.json")
	if err != nil {
		t.Fatal(err)
	}
	var sample struct {
		Cases []struct {
			ID, Lang, Text, Marked string
			Stats                  struct{ Sentences, Words, Syllables, Letters, Polysyllables, Monosyllables, LongWords int }
			Scores                 map[string]float64
		}
	}
	if err := json.Unmarshal(data, &sample); err != nil {
		t.Fatal(err)
	}
	for _, c := range sample.Cases {
		for _, marked := range wordsOf("", strings.ReplaceAll(c.Marked, "·", "\u00ad")) {
			want := strings.Count(marked, "\u00ad") + 1
			if got := Syllables(c.Lang, strings.ReplaceAll(marked, "\u00ad", "")); got != want {
				t.Errorf("%s: %s has %d syllables, counted %d", c.ID, marked, want, got)
			}
		}
		got := Score(c.Lang, c.Text, nil).Counts
		want := Counts{c.Stats.Sentences, c.Stats.Words, c.Stats.Words, c.Stats.Syllables, c.Stats.Letters,
			c.Stats.Monosyllables, c.Stats.Polysyllables, got.Four, c.Stats.LongWords}
		if got != want {
			t.Errorf("%s: %+v, want %+v", c.ID, got, want)
		}
		for name, score := range c.Scores {
			if f, ok := ByID(names[name]); ok && math.Abs(f.Of(want)-score) > 0.006 {
				t.Errorf("%s %s: %.3f, want %.2f", c.ID, name, f.Of(want), score)
			}
		}
	}
}

func TestSyllables(t *testing.T) {
	for language, words := range map[string]string{
		"en": "lip1 filler2 needle2 bruise1 bruises2 swelling2 numb1 numbness2 syringe2 cannula3 consent2 practitioner4 patient2 " +
			"usually4 area3 treated2 pressed1 pages2 changes2 makes1 tubes1 little2 bottles2 hyaluronidase7 didn't2 don't1 " +
			"special2 injection3 vermilion4 allergic3 infection3 safely2 needed2 treatment2 medicines3 pregnant2 ibuprofen4 " +
			"decided3 the1 we1 you1 follow-up3 mouth1 vessel2 blocked1 aesthetic3 appointment3 cautious2 studying3 video3 0.8:1",
		"es": "labio2 relleno3 hinchazón3 moretón3 aguja3 día2 ácido3 hialurónico5 sangre2 guía2 aquí2 pingüino3 ley1 y1 " +
			"jeringa3 obstrucción3 aéreo4 leído3 cuidado3 adormecimiento6 muy1 consentimiento5 vuelva2 ahora3",
		"fr": "lèvre1 seringue2 aiguille2 gonflement3 patient2 patiente2 réaction3 bleu1 lèvres1 eau1 l'eau1 produit2 " +
			"naïf2 consentement4 peuvent1 souvent2 une1 je1 maladie3 acide2 hyaluronique5",
		"de": "Lippe2 Spritze2 Nadel2 Einwilligung4 Schwellung2 blau1 Injektion4 Hyaluronsäure6 Quelle2 die1 aktuell3 Blutgefäß3 geändert3",
		"pl": "usta2 warga2 strzykawka3 igła2 zgoda2 siniak2 obrzęk2 pacjent2 miesiąc2 kwasu2 hialuronowego6 auto2 niebieski3",
	} {
		for field := range strings.FieldsSeq(words) {
			word, want := field[:len(field)-1], int(field[len(field)-1]-'0')
			if got := Syllables(language, strings.TrimSuffix(word, ":")); got != want {
				t.Errorf("%s %s: %d, want %d", language, word, got, want)
			}
		}
	}
}

func TestSentences(t *testing.T) {
	for _, c := range []struct {
		language, text string
		want           int
	}{
		{"en", "Use 0.8 mL. Then stop.", 2},
		{"en", "See Dr. Example. Call at once!", 2},
		{"en", "Cold packs, e.g. Ice, help", 1},
		{"en", "One item\nTwo items\n\n", 2},
		{"en", "He said “Stop.” Then he left.", 2},
		{"es", "¿Le duele? ¡Llame! P. ej. Mañana.", 3},
		{"de", "Kühlen, z. B. Mit Eis. Dann ruhen.", 2},
		{"zh", "不要按压。请致电我们！", 2},
		{"hi", "दबाएं नहीं। हमें फ़ोन करें।", 2},
	} {
		if got := Score(c.language, c.text, nil).Sentences; got != c.want {
			t.Errorf("%q: %d sentences, want %d", c.text, got, c.want)
		}
	}
}

func TestExemptTermsCountOnlyForLength(t *testing.T) {
	text := "We may give you hyaluronidase or a blocked blood vessel test."
	plain, free := Score("en", text, nil), Score("en", text, []string{"Hyaluronidase", "blood vessel"})
	if plain.Words != free.Words || free.Rated != plain.Rated-3 || free.Syllables != plain.Syllables-7-1-2 {
		t.Errorf("%+v, exempt %+v", plain.Counts, free.Counts)
	}
	if free.Score >= plain.Score {
		t.Errorf("grade %v did not fall from %v", free.Score, plain.Score)
	}
}

func TestWorstSentencesComeFirst(t *testing.T) {
	r := Score("en", "Call us. Immediately communicate considerable vascular deterioration to practitioners. Drink.", nil)
	if len(r.Worst) != 3 || !strings.HasPrefix(r.Worst[0].Text, "Immediately") {
		t.Errorf("%+v", r.Worst)
	}
	r = Score("es", "Llame. Comunique inmediatamente cualquier obstrucción vascular a los profesionales sanitarios.", nil)
	if !r.Ease || len(r.Worst) != 2 || !strings.HasPrefix(r.Worst[0].Text, "Comunique") {
		t.Errorf("%+v", r.Worst)
	}
}

func TestNoFormulaNoGrade(t *testing.T) {
	for _, language := range []string{"ar", "hi", "zh-Hans", "xx"} {
		r := Score(language, "不要按压。请致电我们！", nil)
		if r.Formula != "" || r.Score != 0 || r.Sentences != 2 {
			t.Errorf("%s: %+v", language, r)
		}
	}
	if r := Score("en", "", nil); r.Score != 0 || r.Words != 0 || r.Worst != nil {
		t.Errorf("%+v", r)
	}
}

func FuzzScore(f *testing.F) {
	f.Add("Keep your lips clean. Don't press.")
	f.Add("¿Qué? 0.8 mL…")
	f.Fuzz(func(t *testing.T, text string) {
		for _, language := range []string{"en", "es", "fr", "de", "pl", "zh"} {
			r := Score(language, text, nil)
			if r.Words > 0 && (r.Syllables < r.Words || math.IsNaN(r.Score) || math.IsInf(r.Score, 0)) {
				t.Fatalf("%s %q: %+v", language, text, r)
			}
		}
	})
}
