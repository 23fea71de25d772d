package text

import (
	"slices"
	"strings"
	"testing"

	"philtrum/templates/layout"
)

// onThePage is what a reader sees of a line from left to right: codes in the order of their positions.
func onThePage(s *Setter, line layout.Line) string {
	fonts := s.Fonts()
	runs := slices.Clone(line.Runs)
	slices.SortStableFunc(runs, func(a, b layout.Run) int { return int(a.X - b.X) })
	var b strings.Builder
	for _, run := range runs {
		for _, code := range run.Codes {
			b.WriteString(fonts[run.Font].Unicode[code])
		}
	}
	return b.String()
}

// Dates, doses, volumes, lots and telephone numbers read from left to right as they were written, whatever
// surrounds them.
func TestValuesNeverReorder(t *testing.T) {
	values := []string{"2027-03-01", "04/12/2026", "0.5 ml", "40 mg", "A7714-B2", "LOT 12-AB/7", "+49 170 123 45 67",
		"(030) 12 34", "10:30", "3 × 0.1 mL", "−5 %", "1.234,5", "a-1 (b)", "50%", "100 IU/mL", "12E4"}
	around := map[string][2]string{
		"ar": {"حُقن بتاريخ ", " من حمض الهيالورونيك، رقم "}, "he": {"הוזרק ", " של חומצה, אצווה "},
		"fa": {"در تاریخ ", " تزریق شد؛ تلفن "}, "ur": {"مریض کو ", " انجکشن دیا گیا۔ "},
		"en": {"injected ", " of the gel, lot "},
	}
	e := NewEngine()
	for lang, text := range around {
		direction := layout.RightToLeft
		if lang == "en" {
			direction = layout.LeftToRight
		}
		for _, value := range values {
			for _, other := range []string{"5", "(", "2026", "%", ""} {
				s := e.NewSetter(Options{Lang: lang})
				req := layout.Request{Lang: lang, Direction: direction, Size: 10 * layout.Pt, Spans: []layout.Span{
					{Text: text[0]}, {Text: value, Value: true}, {Text: text[1]}, {Text: value, Value: true}, {Text: other},
				}}
				line := s.Lines(req)[0]
				if got := onThePage(s, line); strings.Count(got, value) != 2 {
					t.Errorf("%s: %q is not twice in %q", lang, value, got)
				}
			}
		}
	}
}

// Two values side by side keep the order of reading: in right-to-left text the first stands on the right.
func TestValuesFollowTheParagraph(t *testing.T) {
	spans := []layout.Span{{Text: "12", Value: true}, {Text: " "}, {Text: "34", Value: true}}
	e := NewEngine()
	for direction, want := range map[layout.Direction]string{layout.LeftToRight: "12 34", layout.RightToLeft: "34 12"} {
		s := e.NewSetter(Options{})
		line := s.Lines(layout.Request{Spans: spans, Direction: direction, Size: 10 * layout.Pt})[0]
		if got := onThePage(s, line); got != want {
			t.Errorf("direction %d: %q, want %q", direction, got, want)
		}
		if line.Text != "12 34" {
			t.Errorf("text %q", line.Text)
		}
	}
}

// Marks of direction in a user's text cannot reach beyond it.
func TestDirectionMarksInUserTextAreDropped(t *testing.T) {
	e := NewEngine()
	for _, mark := range []string{"\u202E", "\u2067", "\u2066", "\u2069", "\u202C", "\u202B"} {
		s := e.NewSetter(Options{})
		line := s.Lines(layout.Request{Size: 10 * layout.Pt, Spans: []layout.Span{{Text: "by "}, {Text: mark + "Zoë 12", Value: true}, {Text: " ok"}}})[0]
		if got := onThePage(s, line); got != "by Zoë 12 ok" || line.Text != got {
			t.Errorf("%U: %q", []rune(mark), got)
		}
	}
}

func TestMissingRunesAreReportedOnce(t *testing.T) {
	for _, print := range []bool{false, true} {
		s := NewEngine().NewSetter(Options{Lang: "en", PrintMissing: print})
		req := layout.Request{Size: 10 * layout.Pt, Lang: "en", Spans: []layout.Span{{Text: "Ann 😀 \U00010400😀", Field: "patient.name", Value: true}}}
		line := s.Lines(req)[0]
		s.Lines(req)
		want := []Missing{{'😀', "patient.name", "en"}, {'\U00010400', "patient.name", "en"}}
		if !slices.Equal(s.Missing(), want) {
			t.Errorf("missing %v", s.Missing())
		}
		text := "Ann 😀 \U00010400😀"
		if print {
			text = "Ann U+1F600 U+10400U+1F600"
		}
		if line.Text != text || onThePage(s, line) != text {
			t.Errorf("line reads %q, shows %q", line.Text, onThePage(s, line))
		}
	}
}

func TestNothingIsMissingFromThePapersLanguages(t *testing.T) {
	s := NewEngine().NewSetter(Options{})
	for _, text := range []string{"“Größe” – l’été … œuvre ŁÓDŹ ğış ţșăâ ĳ ß € £ ₽ № °C ½ × µ µ ± ≤ ≥ → • ✓",
		"ҐґЇїЄє ЁёЪъ Ўў", "ΆΈΊΰ ᾳ", "Ặ Ữ ợ ẹ", "پچژگ ۰۱۲۳٤٥٦ ؟؛، لا ﷼ ٪", "ٹڈڑےہھں۔", "אבג ״׳ ₪ שּׁ", "ऑ क़ ़ ।॥ ₹", "অ ৎ ৳ ।",
		"ஸ்ரீ க்ஷ", "ๆ ฯ ฿ กำ", "患者。，、；：？！（）《》“”‘’——……￥", "醫療『』", "ヴ々〜ー「」", "힣각 ·"} {
		s.Lines(layout.Request{Spans: []layout.Span{{Text: text}}, Size: 10 * layout.Pt})
	}
	for _, m := range s.Missing() {
		t.Errorf("no face has %U %c", m.Rune, m.Rune)
	}
}

func TestHanVariantsFollowTheLanguage(t *testing.T) {
	e := NewEngine()
	for lang, want := range map[string]string{"zh-Hans": "NotoSansSC", "zh-CN": "NotoSansSC", "zh-Hant": "NotoSansTC", "zh-TW": "NotoSansTC",
		"zh-HK": "NotoSansTC", "ja": "NotoSansJP", "ko": "NotoSansKR", "en": "NotoSansSC", "zh-Hans-HK": "NotoSansSC"} {
		s := e.NewSetter(Options{Lang: lang})
		s.Lines(layout.Request{Spans: []layout.Span{{Text: "直骨", Strong: true}}, Size: 10 * layout.Pt})
		if got := s.Fonts()[0].Name; !strings.Contains(got, want+"-Regular") {
			t.Errorf("%s: %s", lang, got)
		}
	}
	s := e.NewSetter(Options{Lang: "ja"}) // the document decides for a span whose language has no Han
	s.Lines(layout.Request{Lang: "en", Spans: []layout.Span{{Text: "直"}}, Size: 10 * layout.Pt})
	if got := s.Fonts()[0].Name; !strings.Contains(got, "NotoSansJP") {
		t.Errorf("English span in a Japanese paper: %s", got)
	}
}

// Strong text of a face with one weight is marked to be drawn heavier, and only that: the Latin in it has a bold face.
func TestStrongHanIsHeavy(t *testing.T) {
	s := NewEngine().NewSetter(Options{Lang: "zh-Hans"})
	req := layout.Request{Lang: "zh-Hans", Size: 10 * layout.Pt, Spans: []layout.Span{{Text: "不要"}, {Text: "揉按2天", Strong: true}, {Text: "，也"}}}
	var got []string
	for _, run := range s.Lines(req)[0].Runs {
		if run.Heavy {
			got = append(got, run.Text)
		}
	}
	if want := []string{"揉按", "天"}; !slices.Equal(got, want) {
		t.Errorf("heavy are %q, want %q", got, want)
	}
	req.Weight = layout.Bold
	for _, run := range s.Lines(req)[0].Runs {
		if run.Heavy != (run.Text != "2") {
			t.Errorf("in a heading %q is heavy: %v", run.Text, run.Heavy)
		}
	}
}
