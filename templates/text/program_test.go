package text

import (
	"bytes"
	"compress/zlib"
	"fmt"
	"io"
	"slices"
	"strings"
	"sync"
	"testing"

	"github.com/go-text/typesetting/font"
	"github.com/go-text/typesetting/font/opentype"

	"philtrum/templates/layout"
)

// passages in every script that papers use.
var passages = []struct{ lang, text string }{
	{"en", "AVATAR efficient office fjord, Tomorrow “quoted” — 0.5 mL."}, {"vi", "Tiếng Việt: người bệnh được thông báo."},
	{"pl", "Zażółć gęślą jaźń."}, {"tr", "Işıltı ığüşöç İstanbul."}, {"ru", "Пациент уведомлён; доза 0,5 мл."},
	{"el", "Ο ασθενής ενημερώθηκε."}, {"hi", "रोगी को जोखिमों के बारे में बताया गया; क्षेत्रों में।"},
	{"bn", "রোগীকে ঝুঁকি সম্পর্কে জানানো হয়েছে।"}, {"ta", "நோயாளிக்கு அபாயங்கள் பற்றி தெரிவிக்கப்பட்டது."},
	{"th", "ผู้ป่วยได้รับแจ้งความเสี่ยงแล้ว น้ำ ที่ริมฝีปาก"}, {"zh-Hans", "患者已被告知风险，剂量为 0.5 毫升（“唇部”）。"},
	{"zh-Hant", "患者已被告知風險，劑量為 0.5 毫升（「唇部」）。"}, {"ja", "患者はリスクについて説明を受けた。"},
	{"ko", "환자는 위험에 대해 설명을 들었습니다."},
	{"ar", "السلام عليكم لا إله إلا الله والعلاج بلا ألم للمرضى"}, {"fa", "بیمار می\u200cشود و آگاه است"},
	{"ur", "مریض متفق ہونے کے بعد انجکشن علاج بلا تاخیر"}, {"he", "המטופלת קיבלה מידע שָׁלוֹם"}, {"ar", "حُقن كُتِبَ تُعالَج مدرّسٌ"},
}

func rightToLeft(lang string) bool { return slices.Contains([]string{"ar", "fa", "ur", "he"}, lang) }

func passage(s *Setter, lang, text string, strong bool) []layout.Line {
	req := layout.Request{Lang: lang, Size: 12 * layout.Pt, Spans: []layout.Span{{Text: text, Strong: strong}}}
	if rightToLeft(lang) {
		req.Direction = layout.RightToLeft
	}
	return s.Lines(req)
}

// An independent parser reads every font: its glyph count and advances are those of the codes, and each
// code draws exactly what the face draws for its cluster.
func TestFontsAreValidAndDrawTheClusters(t *testing.T) {
	e := NewEngine()
	s := e.NewSetter(Options{})
	for _, p := range passages {
		passage(s, p.lang, p.text, false)
		passage(s, p.lang, p.text, true)
	}
	whole := map[faceID]*font.Face{}
	for i, f := range s.Fonts() {
		d := s.fonts[i]
		if whole[d.face] == nil {
			face, err := font.ParseTTF(strings.NewReader(*sources[d.face].data))
			if err != nil {
				t.Fatal(err)
			}
			whole[d.face] = face
		}
		checkFont(t, f, d.clusters, whole[d.face])
	}
}

// withCmap adds the table that the parser insists on, with no entry.
func withCmap(t *testing.T, program []byte) *font.Face {
	t.Helper()
	loader, err := opentype.NewLoader(bytes.NewReader(program))
	if err != nil {
		t.Fatal(err)
	}
	tables := []opentype.Table{{Tag: opentype.MustNewTag("cmap"), Content: []byte{
		0, 0, 0, 1, 0, 3, 0, 1, 0, 0, 0, 12, 0, 4, 0, 24, 0, 0, 0, 2, 0, 2, 0, 0, 0, 0, 0xFF, 0xFF, 0, 0, 0xFF, 0xFF, 0, 1, 0, 0}}}
	for _, tag := range loader.Tables() {
		content, err := loader.RawTable(tag)
		if err != nil {
			t.Fatal(err)
		}
		tables = append(tables, opentype.Table{Tag: tag, Content: content})
	}
	face, err := font.ParseTTF(bytes.NewReader(opentype.WriteTTF(tables)))
	if err != nil {
		t.Fatal(err)
	}
	return face
}

func checkFont(t *testing.T, f Font, clusters []*cluster, whole *font.Face) {
	t.Helper()
	tables, err := directory(string(f.Program))
	if err != nil {
		t.Fatalf("%s: %v", f.Name, err)
	}
	if len(tables) != 6 || checksum(f.Program) != checksumMagic {
		t.Errorf("%s: %d tables, checksum %X", f.Name, len(tables), checksum(f.Program))
	}
	if glyphs := int(be16(tables["maxp"], 4)); glyphs < len(f.Widths) || len(tables["loca"]) != (glyphs+1)*4 {
		t.Errorf("%s: %d glyphs, %d codes, loca of %d bytes", f.Name, glyphs, len(f.Widths), len(tables["loca"]))
	}
	face := withCmap(t, f.Program)
	var box bounds
	for i, c := range clusters {
		gid := font.GID(i + 1)
		if got := face.HorizontalAdvance(gid); int(got) != f.Widths[gid] || f.Widths[gid] != int(c.advance) {
			t.Errorf("%s code %d: advance %v, width %d", f.Name, gid, got, f.Widths[gid])
		}
		var want []opentype.Segment
		for _, g := range c.glyphs {
			outline, _ := whole.GlyphDataOutline(font.GID(g.gid))
			for _, segment := range outline.Segments {
				for k := range segment.ArgsSlice() {
					segment.Args[k].Move(float32(g.x), float32(g.y))
				}
				want = append(want, segment)
			}
		}
		got, _ := face.GlyphDataOutline(gid)
		if !slices.Equal(got.Segments, want) {
			t.Errorf("%s code %d %q: outline differs (%d segments, want %d)", f.Name, gid, c.text, len(got.Segments), len(want))
		}
		if e, ok := face.GlyphExtents(gid); ok && e.Width != 0 {
			box.grow(string(put16(put16(put16(put16(put16(nil, 0), uint16(int16(e.XBearing))), uint16(int16(e.YBearing+e.Height))),
				uint16(int16(e.XBearing+e.Width))), uint16(int16(e.YBearing)))), placed{})
		}
	}
	if got := bounds(bounds{true, f.BBox[0], f.BBox[1], f.BBox[2], f.BBox[3]}); box.set && (got.xMin > box.xMin || got.yMin > box.yMin || got.xMax < box.xMax || got.yMax < box.yMax) {
		t.Errorf("%s: box %v is smaller than that of its codes %v", f.Name, f.BBox, box.array())
	}
	z, err := zlib.NewReader(bytes.NewReader(f.Deflated))
	if err != nil {
		t.Fatal(err)
	}
	if plain, err := io.ReadAll(z); err != nil || !bytes.Equal(plain, f.Program) {
		t.Errorf("%s: the deflated program differs", f.Name)
	}
}

// Lines keep free what their text needs.
func TestLinesAreAsHighAsTheirInk(t *testing.T) {
	e := NewEngine()
	for _, p := range passages {
		s := e.NewSetter(Options{Lang: p.lang})
		line := passage(s, p.lang, p.text, true)[0]
		for _, f := range s.Fonts() {
			if up, down := layout.Length(f.BBox[3]*12), layout.Length(-f.BBox[1]*12); up > line.Ascent || down > line.Descent {
				t.Errorf("%s: ink of %s reaches %d up and %d down, the line %d and %d", p.lang, f.Name, up, down, line.Ascent, line.Descent)
			}
		}
	}
}

// What pdftotext reads is what was written: exactly from left to right, the same words from right to left.
func TestExtractionReadsTheText(t *testing.T) {
	tool(t, "pdftotext")
	e := NewEngine()
	for _, p := range passages {
		for _, strong := range []bool{false, true} {
			s := e.NewSetter(Options{Lang: p.lang})
			lines := passage(s, p.lang, p.text, strong)
			got := extract(t, s.Fonts(), lines)
			if !rightToLeft(p.lang) {
				if got != p.text {
					t.Errorf("%s: %q", p.lang, got)
				}
				continue
			}
			have, want := strings.Fields(stripMarks(got)), strings.Fields(p.text)
			slices.Sort(have)
			slices.Sort(want)
			if !slices.Equal(have, want) {
				t.Errorf("%s: words %q, want %q", p.lang, have, want)
			}
		}
	}
}

// stripMarks drops the embedding marks with which the program writes right-to-left text.
func stripMarks(text string) string {
	return strings.Map(func(r rune) rune {
		if r >= 0x202A && r <= 0x202E {
			return -1
		}
		return r
	}, text)
}

// summary is everything that reaches a document's bytes.
func summary(s *Setter, lines []layout.Line) string {
	return fmt.Sprintf("%v %v", lines, s.Fonts())
}

// The same text gives the same bytes, whatever the engine set before and whatever runs beside it.
func TestSettingIsDeterministicAndSafeForConcurrentUse(t *testing.T) {
	document := func(e *Engine) string {
		s := e.NewSetter(Options{Lang: "en"})
		var lines []layout.Line
		for _, p := range passages {
			lines = append(lines, passage(s, p.lang, p.text, false)...)
		}
		return summary(s, lines)
	}
	want := document(NewEngine())
	e := NewEngine()
	for i := len(passages) - 1; i >= 0; i-- { // another order of first use
		passage(e.NewSetter(Options{}), passages[i].lang, passages[i].text+" more", true)
		passage(e.NewSetter(Options{}), passages[i].lang, "x "+passages[i].text, false)
	}
	var group sync.WaitGroup
	got := make([]string, 4)
	for i := range got {
		group.Go(func() { got[i] = document(e) })
	}
	group.Wait()
	for _, g := range got {
		if g != want {
			t.Fatal("the same text gave other bytes")
		}
	}
}

// The font of template text does not depend on the values in the paper, so it is cut once.
func TestTemplateFontIsSharedBetweenPapers(t *testing.T) {
	e := NewEngine()
	program := func(name string) []byte {
		s := e.NewSetter(Options{Lang: "en"})
		s.Lines(layout.Request{Size: 10 * layout.Pt, Spans: []layout.Span{{Text: "Consent of "}, {Text: name, Value: true}, {Text: " to filling"}}})
		return s.Fonts()[0].Program
	}
	a, b := program("Zoë Łuczak"), program("Günther Kowalski")
	if &a[0] != &b[0] {
		t.Error("the template's font was cut twice")
	}
}

// A full epoch gives way to a new one, and papers begun before keep their own.
func TestCachesAreBounded(t *testing.T) {
	e := NewEngine()
	old := e.NewSetter(Options{})
	first := summary(old, passage(old, "en", "before", false))
	e.epoch.full = true
	s := e.NewSetter(Options{})
	if s.epoch == old.epoch {
		t.Error("the full epoch is still in use")
	}
	if got := summary(s, passage(s, "en", "before", false)); got != first {
		t.Error("a new epoch gave other bytes")
	}
	passage(old, "en", "after", false)
	if len(old.Fonts()) != 1 {
		t.Error("the old setter lost its font")
	}
}

// Values alone, too, bring an epoch to its end.
func TestValuesCountAgainstTheBound(t *testing.T) {
	e := NewEngine()
	s := e.NewSetter(Options{})
	for i := range maxClusters {
		s.epoch.tables[0].intern([]byte{byte(i), byte(i >> 8), byte(i >> 16), 0xFF}, cluster{})
	}
	s.Lines(layout.Request{Spans: []layout.Span{{Text: "Zoë", Value: true}}, Size: 10 * layout.Pt})
	if e.NewSetter(Options{}).epoch == s.epoch {
		t.Error("the crowded epoch is still in use")
	}
}

// A paper with more clusters than a font can number goes on in another font.
func TestCrowdedFontGivesWayToAnother(t *testing.T) {
	s := NewEngine().NewSetter(Options{})
	passage(s, "en", "first", false)
	d := s.fonts[0]
	d.clusters = append(d.clusters, make([]*cluster, maxCodes-len(d.clusters)-1)...)
	line := passage(s, "en", "another", false)[0]
	if line.Runs[0].Font != 1 || len(s.fonts) != 2 {
		t.Errorf("run in font %d of %d", line.Runs[0].Font, len(s.fonts))
	}
}

func FuzzLines(f *testing.F) {
	for _, p := range passages {
		f.Add(p.text, p.lang, int32(12_000), int32(90_000), true)
	}
	f.Add("\xe2\x28 \x00\u202E\u2067😀\u0301\u200D\uFFFF", "ar", int32(1), int32(1), false)
	e := NewEngine()
	f.Fuzz(func(t *testing.T, text, lang string, size, width int32, value bool) {
		s := e.NewSetter(Options{Lang: lang, PrintMissing: value})
		req := layout.Request{Lang: lang, Size: layout.Length(size % 100_000), Width: layout.Length(width % 500_000), Hyphenate: true,
			Spans: []layout.Span{{Text: text, Value: value}, {Text: text, Lang: "ar"}}, Direction: layout.Direction(size & 1)}
		if len(s.Lines(req)) == 0 {
			t.Error("no line")
		}
		s.Fonts()
	})
}
