package text

import (
	"slices"
	"strings"
	"testing"

	"philtrum/templates/layout"
)

// At every width that holds it, a line keeps what a language does not tear.
func TestHabitsAreKept(t *testing.T) {
	date := func(text string) layout.Span { return layout.Span{Text: text, Value: true, Whole: true} }
	for _, c := range []struct {
		lang, whole string
		spans       []layout.Span
	}{
		{"fr", "30 sept. 2027", []layout.Span{plainSpan("péremption : "), date("30 sept. 2027"), plainSpan(", lot")}},
		{"en", "20 December 2026", []layout.Span{plainSpan("not before "), date("20 December 2026"), plainSpan(" at all")}},
		{"en", "at 16:20", []layout.Span{plainSpan("given on "), date("27 November 2026 \u200bat 16:20"), plainSpan(" here")}},
		{"hi", "4:20 pm", []layout.Span{plainSpan("शुरू "), date("4:20 pm"), plainSpan(" बजे हुआ था")}},
		{"ar", "20 ديسمبر 2026", []layout.Span{plainSpan("ابتداءً من "), date("20 ديسمبر 2026"), plainSpan(" فقط")}},
		{"ar-SA", "(24 جمادى الآخرة 1448 هـ)", []layout.Span{plainSpan("حتى "), date("4 ديسمبر 2026 \u200b(24 جمادى الآخرة 1448 هـ)")}},
		{"zh-Hans", "2026年12月4日", []layout.Span{plainSpan("有效期至"), date("2026年12月4日"), plainSpan("为止，之后无效")}},
		{"pl", "i nie", []layout.Span{plainSpan("Proszę nie dotykać, nie uciskać i nie pocierać ust")}},
		{"pl", "(w wargi", []layout.Span{plainSpan("wypełniacz wstrzyknięty (w wargi lub obok)")}},
		{"pl", "Pana/Pani", []layout.Span{plainSpan("o zdrowiu Pana/Pani dzisiaj")}},
		{"cs", "v horním", []layout.Span{plainSpan("výplň je v horním rtu")}},
		{"hi", "धीरे-धीरे", []layout.Span{plainSpan("सूजन धीरे-धीरे उतरती है")}},
		{"pl", "e-papierosy", []layout.Span{plainSpan("pali Pan lub Pani e-papierosy")}},
		{"de", "3-mal", []layout.Span{plainSpan("höchstens 3-mal am Tag")}},
		{"fr", "Dites-le-nous", []layout.Span{plainSpan("Dites-le-nous tout de suite")}},
		{"zh-Hans", "维A酸", []layout.Span{plainSpan("正在用维A酸的人不能注射")}},
	} {
		least := layout.Length(0)
		req := layout.Request{Spans: []layout.Span{plainSpan(c.whole)}, Lang: c.lang, Size: 10 * layout.Pt, Direction: layout.DirectionOf(c.lang)}
		for _, line := range NewEngine().NewSetter(Options{Lang: c.lang}).Lines(req) {
			least = line.Width
		}
		for width := least + 20*layout.Pt; width < least*4; width += 997 {
			if got := setText(c.lang, width, c.spans...); !containsOne(got, c.whole) {
				t.Errorf("%s at %d: %q tears %q", c.lang, width, got, c.whole)
				break
			}
		}
	}
}

// Where no line holds it, what should hold together parts as anything else does, and nothing leaves its column.
func TestHabitsYieldToTheMeasure(t *testing.T) {
	for _, c := range []struct {
		lang string
		span layout.Span
		want []string
	}{
		{"en", layout.Span{Text: "20 December 2026", Value: true, Whole: true}, []string{"20", "December", "2026"}},
		{"pl", plainSpan("Pana/Pani"), []string{"Pana/", "Pani"}},
		{"hi", plainSpan("चलें-फिरें"), []string{"चलें-", "फिरें"}},
	} {
		s := NewEngine().NewSetter(Options{Lang: c.lang})
		width := layout.Length(0)
		for _, part := range c.want {
			width = max(width, s.Lines(layout.Request{Spans: []layout.Span{plainSpan(part)}, Lang: c.lang, Size: 10 * layout.Pt})[0].Width)
		}
		var got []string
		for _, line := range s.Lines(layout.Request{Spans: []layout.Span{c.span}, Lang: c.lang, Size: 10 * layout.Pt, Width: width + 10}) {
			if line.Overfull {
				t.Errorf("%q leaves its column", line.Text)
			}
			got = append(got, strings.TrimSpace(line.Text))
		}
		if !slices.Equal(got, c.want) {
			t.Errorf("%s: %q, want %q", c.lang, got, c.want)
		}
	}
}

// A passage in a language that runs the other way keeps its own order: what ends it stands at its own end.
func TestPassagesAreIsolated(t *testing.T) {
	for _, c := range []struct {
		lang, other, first, second, want string
	}{
		{"ar", "en", "قرأت كل سؤال.", "My answer is “No”.", "My answer is “No”. · "},
		{"ar", "en", "نعم", "(if yes) 5 to 6.", "(if yes) 5 to 6. · "},
		{"en", "ar", "I have read it.", "قرأت 3 أسئلة.", "I have read it. · ."},
	} {
		s := NewEngine().NewSetter(Options{Lang: c.lang})
		line := s.Lines(layout.Request{Lang: c.lang, Direction: layout.DirectionOf(c.lang), Size: 10 * layout.Pt, Spans: []layout.Span{
			plainSpan(c.first), plainSpan(" · "), {Text: c.second, Lang: c.other},
		}})[0]
		if got := onThePage(s, line); !strings.HasPrefix(got, c.want) {
			t.Errorf("%q then %q: shown %q", c.first, c.second, got)
		}
		if want := c.first + " · " + c.second; line.Text != want {
			t.Errorf("reads %q, want %q", line.Text, want)
		}
	}
}

// A value inside such a passage is isolated once more.
func TestValuesInPassagesNeverReorder(t *testing.T) {
	s := NewEngine().NewSetter(Options{Lang: "en"})
	line := s.Lines(layout.Request{Lang: "en", Size: 10 * layout.Pt, Spans: []layout.Span{
		plainSpan("Your lot: "), {Text: "رقم ", Lang: "ar"}, {Text: "A7714-B2", Lang: "ar", Value: true}, {Text: " فقط.", Lang: "ar"},
	}})[0]
	if got := onThePage(s, line); !strings.HasPrefix(got, "Your lot: .") || !strings.Contains(got, " A7714-B2 ") {
		t.Errorf("shown %q", got)
	}
}
