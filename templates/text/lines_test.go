package text

import (
	"slices"
	"strings"
	"testing"
	"unicode/utf8"

	"pgregory.net/rapid"
	"philtrum/templates/layout"
)

// words for made-up text in every script that papers use.
var words = []string{"lip", "AVATAR", "office", "well-known", "0.5", "mL", "(left)", "“quoted”", "and/or", "Zoë",
	"Ödem", "пациент", "ασθενής", "người", "حقن", "الشفة", "لا", "می\u200cشود", "۱۴۰۵/۰۹/۰۴", "שָׁלוֹם", "(שפה)", "रोगी",
	"क्षेत्रों", "ঝুঁকি", "நோயாளி", "ผู้ป่วยได้รับแจ้ง", "患者已被告知风险，", "リスク。", "환자는", "5월", "2027-03-01", "+49 170", "\u00A0",
	"incomprehensibilities", "Aufklärungsgespräch", "😀", "e\u0301", "\u0301", "\u200Fx", "a\u00ADb"}

var langs = []string{"en", "de", "ar", "fa", "ur", "he", "hi", "bn", "ta", "th", "zh-Hans", "zh-Hant", "ja", "ko", "ru", "el", "vi", ""}

func drawRequest(t *rapid.T) layout.Request {
	var spans []layout.Span
	for range rapid.IntRange(0, 5).Draw(t, "spans") {
		span := layout.Span{
			Text:   strings.Join(rapid.SliceOfN(rapid.SampledFrom(words), 0, 6).Draw(t, "words"), rapid.SampledFrom([]string{" ", "", "  "}).Draw(t, "sep")),
			Strong: rapid.Bool().Draw(t, "strong"), Value: rapid.Bool().Draw(t, "value"),
			Lang: rapid.SampledFrom([]string{"", "", "ar", "en", "ja"}).Draw(t, "lang"),
		}
		if rapid.IntRange(0, 6).Draw(t, "blank") == 0 {
			span.Blank = layout.Length(rapid.IntRange(1, 90_000).Draw(t, "width"))
		}
		spans = append(spans, span)
	}
	return layout.Request{
		Spans: spans, Lang: rapid.SampledFrom(langs).Draw(t, "language"), Hyphenate: rapid.Bool().Draw(t, "hyphenate"),
		Direction: layout.Direction(rapid.IntRange(0, 1).Draw(t, "direction")),
		Size:      layout.Length(rapid.IntRange(4000, 30_000).Draw(t, "size")),
		Width:     layout.Length(rapid.IntRange(0, 300_000).Draw(t, "measure")),
	}
}

// shown is a request's text without what is never printed.
func shown(req layout.Request) string {
	var b strings.Builder
	for _, span := range req.Spans {
		b.WriteString(strings.ReplaceAll(span.Text, "\u00AD", ""))
	}
	return b.String()
}

// Nothing is lost, doubled or reordered; lines keep to their width; runs stand side by side and read what
// the line reads.
func TestLinesHoldTheTextAndTheWidth(t *testing.T) {
	e := NewEngine()
	rapid.Check(t, func(t *rapid.T) {
		req := drawRequest(t)
		s := e.NewSetter(Options{Lang: "en"})
		lines := s.Lines(req)
		var all strings.Builder
		for _, line := range lines {
			all.WriteString(line.Text)
			if req.Width > 0 && line.Width > req.Width && !line.Overfull {
				t.Fatalf("%q is %d wide of %d and not marked", line.Text, line.Width, req.Width)
			}
			checkRuns(t, s, line)
		}
		if all.String() != shown(req) {
			t.Fatalf("lines read %q, the request %q", all.String(), shown(req))
		}
		if len(lines) == 0 || req.Width == 0 && len(lines) != 1 {
			t.Fatalf("%d lines", len(lines))
		}
	})
}

func checkRuns(t *rapid.T, s *Setter, line layout.Line) {
	fonts := s.Fonts()
	var end layout.Length
	for i, run := range line.Runs {
		if i > 0 && (run.X < end-2 || run.X > end+2) {
			t.Fatalf("%q: run %d begins at %d, the one before ends at %d", line.Text, i, run.X, end)
		}
		end = run.X + run.Width
		if !strings.Contains(line.Text, run.Text) {
			t.Fatalf("%q: run reads %q", line.Text, run.Text)
		}
		if run.Blank {
			continue
		}
		units, read := 0, ""
		for _, code := range run.Codes {
			if code == 0 || int(code) >= len(fonts[run.Font].Widths) {
				t.Fatalf("%q: code %d", line.Text, code)
			}
			units += fonts[run.Font].Widths[code]
			if text := fonts[run.Font].Unicode[code]; run.RightToLeft {
				read = text + read
			} else {
				read += text
			}
		}
		if want := strings.TrimSuffix(read, "\u00AD"); want != printed(run.Text) {
			t.Fatalf("%q: codes read %q, the run %q", line.Text, want, run.Text)
		}
		if exact := layout.Length(int64(units) * int64(run.Size) / 1000); run.Width < exact-1 || run.Width > exact+1 {
			t.Fatalf("%q: run is %d wide, its codes %d", line.Text, run.Width, exact)
		}
	}
	if n := len(line.Runs); n > 0 && line.Width > end-line.Runs[0].X+2 {
		t.Fatalf("%q: %d wide, its runs end at %d", line.Text, line.Width, end)
	}
}

// printed is a text without the marks that have no code.
func printed(text string) string {
	return strings.Map(func(r rune) rune {
		if ignorable(r) && r != nonJoiner {
			return -1
		}
		return r
	}, text)
}

func setText(lang string, width layout.Length, spans ...layout.Span) []string {
	req := layout.Request{Spans: spans, Lang: lang, Size: 10 * layout.Pt, Width: width}
	if home := familyOfLang(lang); home == arabic || home == naskh || home == hebrew {
		req.Direction = layout.RightToLeft
	}
	var out []string
	for _, line := range NewEngine().NewSetter(Options{Lang: lang}).Lines(req) {
		out = append(out, strings.TrimSpace(line.Text))
	}
	return out
}

func plainSpan(text string) layout.Span { return layout.Span{Text: text} }

func valueSpan(text string) layout.Span { return layout.Span{Text: text, Value: true} }

// No line tears what belongs together, at any width at which it fits.
func TestLinesNeverTear(t *testing.T) {
	for _, c := range []struct {
		lang, text, whole string
		value             bool
	}{
		{"en", "after injecting 0.5 mL into the upper lip", "0.5 mL", false},
		{"en", "after injecting 0.5\u00A0portions into the upper lip", "0.5\u00A0portions", false},
		{"en", "wait for 12 h, then", "12 h,", false},
		{"ru", "введено всего 0,5 мл в губу", "0,5 мл", false},
		{"hi", "ऊपरी होंठ में 0.5 मि॰ली॰ इंजेक्ट", "0.5 मि॰ली॰", false},
		{"th", "ฉีด 0.5 มล. ที่ริมฝีปาก", "0.5 มล.", false},
		{"en", "up to 50 %, then", "50 %,", false},
		{"ar", "تم حقن 0.5 مل في الشفة", "0.5 مل", false},
		{"zh-Hans", "注射了三次，每次注射0.5毫升到上唇部位", "0.5毫升", false},
		{"ko", "환자는 위험에 대해 설명을 들었습니다", "들었습니다", false},
		{"ko", "시술은 5월에 있습니다", "5월에", false},
		{"en", "AB-CDEF/77-XYZ", "AB-CDEF/77-XYZ", true},
		{"th", "ผู้ป่วย\u200Bได้รับแจ้ง\u200Bแล้ว", "ได้รับแจ้ง", false},
	} {
		spans := []layout.Span{plainSpan(c.text)}
		if c.value {
			spans = []layout.Span{plainSpan("the lot is "), valueSpan(c.text)}
		}
		least := layout.Length(0)
		for _, line := range NewEngine().NewSetter(Options{}).Lines(layout.Request{Spans: []layout.Span{plainSpan(c.whole)}, Lang: c.lang, Size: 10 * layout.Pt}) {
			least = line.Width
		}
		for width := least + 10; width < least*4; width += 997 {
			got := setText(c.lang, width, spans...)
			if !containsOne(got, c.whole) {
				t.Errorf("%s at %d: %q tears %q", c.lang, width, got, c.whole)
				break
			}
		}
	}
}

// What should stay together but is wider than a line parts at its spaces.
func TestOverlongUnitPartsAtItsSpaces(t *testing.T) {
	got := setText("en", 40*layout.Pt, plainSpan("0.125 mmHg"))
	if !slices.Equal(got, []string{"0.125", "mmHg"}) {
		t.Errorf("%q", got)
	}
}

// A value and the unit in the words behind it stay together, too.
func TestUnitBehindAValueStaysWithIt(t *testing.T) {
	for width := 60 * layout.Pt; width < 200*layout.Pt; width += 1373 {
		got := setText("en", width, plainSpan("we have injected "), valueSpan("0.5"), plainSpan(" mL of the gel"))
		if !containsOne(got, "0.5 mL") {
			t.Errorf("at %d: %q", width, got)
		}
	}
}

// Spaces of all widths are set without being reported.
func TestSpacesAreNeverMissing(t *testing.T) {
	for _, lang := range []string{"en", "ar", "hi", "zh-Hans", "th"} {
		s := NewEngine().NewSetter(Options{Lang: lang})
		line := s.Lines(layout.Request{Spans: []layout.Span{plainSpan("1\u00A02\u20093\u202F4\u20035\u30006\u20077")}, Lang: lang, Size: 10 * layout.Pt})[0]
		if len(s.Missing()) != 0 || line.Width < 70*layout.Pt {
			t.Errorf("%s: %v, width %d", lang, s.Missing(), line.Width)
		}
	}
}

func containsOne(lines []string, text string) bool {
	for _, line := range lines {
		if strings.Contains(line, text) {
			return true
		}
	}
	return false
}

func TestWhereLinesBreak(t *testing.T) {
	for _, c := range []struct {
		lang, text string
		least      int // lines at 60 pt and 10 pt type
	}{
		{"th", "ผู้ป่วย\u200Bได้รับ\u200Bแจ้ง\u200Bความเสี่ยง\u200Bแล้ว", 2},
		{"ja", "患者はリスクについて説明を受けた", 2},
		{"zh-Hant", "患者已被告知風險並已同意接受治療", 2},
		{"ko", "환자는 위험에 대해 설명을 들었습니다", 2},
	} {
		lines := NewEngine().NewSetter(Options{Lang: c.lang}).Lines(layout.Request{Spans: []layout.Span{plainSpan(c.text)}, Lang: c.lang, Size: 10 * layout.Pt, Width: 60 * layout.Pt})
		if len(lines) < c.least {
			t.Errorf("%s: %d lines", c.lang, len(lines))
		}
		for _, line := range lines {
			if line.Overfull {
				t.Errorf("%s: %q is marked overfull", c.lang, line.Text)
			}
		}
	}
}

func TestOverlongWordBreaksAtClustersAndIsMarked(t *testing.T) {
	lines := NewEngine().NewSetter(Options{}).Lines(layout.Request{Spans: []layout.Span{plainSpan("see क्षेत्रोंक्षेत्रोंक्षेत्रोंक्षेत्रों now")}, Lang: "hi", Size: 10 * layout.Pt, Width: 40 * layout.Pt})
	over := 0
	for _, line := range lines {
		if line.Overfull {
			over++
		}
		if r, _ := utf8.DecodeRuneInString(line.Text); r == 'ो' || r == '्' || r == 'ं' || r == 'े' {
			t.Errorf("%q begins inside a cluster", line.Text)
		}
	}
	if over == 0 || len(lines) < 3 {
		t.Errorf("%d lines, %d marked", len(lines), over)
	}
}

func TestHyphenation(t *testing.T) {
	var h hyphenators
	for _, c := range []struct{ lang, word, want string }{
		{"en-US", "hyphenation", "hy-phen-ation"},
		{"pl", "pszczoły", "pszczoły"},
		{"en-US", "associate", "as-so-ciate"},
		{"de", "aufklärung", "auf-klä-rung"},
		{"de", "silbentrennung", "sil-ben-tren-nung"},
		{"fr", "hyaluronique", "hya-lu-ro-nique"},
		{"es", "tratamiento", "tra-ta-miento"},
		{"en-US", "lip", "lip"},
		{"en-US", "swollen", "swollen|swol-len"},
	} {
		var got strings.Builder
		word, last := []rune(c.word), 0
		for _, at := range h.of(c.lang).points(word) {
			got.WriteString(string(word[last:at]) + "-")
			last = at
		}
		got.WriteString(string(word[last:]))
		if !containsOne(strings.Split(c.want, "|"), got.String()) {
			t.Errorf("%s: %s, want %s", c.lang, got.String(), c.want)
		}
	}
	for _, lang := range []string{"ar", "zh-Hans", "ja", "th", "he", "hi", ""} {
		if h.of(lang) != nil {
			t.Errorf("%q hyphenates", lang)
		}
	}
}

func TestInsertedHyphenIsNotInTheText(t *testing.T) {
	e := NewEngine()
	for _, req := range []layout.Request{
		{Spans: []layout.Span{plainSpan("das Aufklärungsgespräch")}, Lang: "de", Size: 10 * layout.Pt, Width: 70 * layout.Pt, Hyphenate: true},
		{Spans: []layout.Span{plainSpan("das Aufklärungs\u00ADgespräch")}, Lang: "de", Size: 10 * layout.Pt, Width: 90 * layout.Pt},
	} {
		s := e.NewSetter(Options{Lang: "de"})
		lines, hyphens, all := s.Lines(req), 0, ""
		for _, line := range lines {
			all += line.Text
			if line.Hyphen {
				hyphens++
				run := line.Runs[len(line.Runs)-1]
				if got := s.Fonts()[run.Font].Unicode[run.Codes[len(run.Codes)-1]]; got != "\u00AD" {
					t.Errorf("the hyphen reads %q", got)
				}
			}
			if line.Overfull {
				t.Errorf("%q is overfull", line.Text)
			}
		}
		if hyphens == 0 || all != "das Aufklärungsgespräch" {
			t.Errorf("%d hyphens in %q", hyphens, all)
		}
	}
}

func TestValuesAreNotHyphenated(t *testing.T) {
	lines := NewEngine().NewSetter(Options{}).Lines(layout.Request{Spans: []layout.Span{plainSpan("by "), valueSpan("Hyphenation")}, Lang: "en", Size: 10 * layout.Pt, Width: 40 * layout.Pt, Hyphenate: true})
	for _, line := range lines {
		if line.Hyphen {
			t.Errorf("%q ends with a hyphen that the value does not have", line.Text)
		}
	}
}

func TestBlankIsKeptWhole(t *testing.T) {
	s := NewEngine().NewSetter(Options{})
	lines := s.Lines(layout.Request{Spans: []layout.Span{plainSpan("Signed by "), {Text: "name", Blank: 50 * layout.Pt}, plainSpan(".")}, Lang: "en", Size: 10 * layout.Pt, Width: 80 * layout.Pt})
	if len(lines) != 2 {
		t.Fatalf("%d lines", len(lines))
	}
	run := lines[1].Runs[0]
	if !run.Blank || run.Width != 50*layout.Pt || run.X != 0 || run.Text != "name" || len(run.Codes) != 0 {
		t.Errorf("blank run %+v", run)
	}
	if next := lines[1].Runs[1]; next.X != 50*layout.Pt {
		t.Errorf("text after the blank begins at %d", next.X)
	}
}

// Plain text is broken without the full algorithm; both must agree.
func TestPlainTextBreaksAsUAX14Says(t *testing.T) {
	alphabet := []rune("ab Z 09 .,;:éЖλ")
	rapid.Check(t, func(t *rapid.T) {
		runes := rapid.SliceOfN(rapid.SampledFrom(alphabet), 1, 20).Draw(t, "runes")
		if !plain(runes) {
			t.Skip("not plain")
		}
		fast := analyst{runes: runes, breaks: make([]bool, len(runes)+1)}
		fast.breakAtSpaces()
		var full analyst
		full.segments.Init(runes)
		want := make([]bool, len(runes)+1)
		for it := full.segments.LineIterator(); it.Next(); {
			line := it.Line()
			want[line.Offset+len(line.Text)] = true
		}
		for i := range want {
			if fast.breaks[i] != want[i] {
				t.Fatalf("%q: break before rune %d is %v", string(runes), i, fast.breaks[i])
			}
		}
	})
}
