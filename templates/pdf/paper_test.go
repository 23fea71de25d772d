package pdf_test

import (
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"philtrum/templates/layout"
	"philtrum/templates/pdf"
	"philtrum/templates/pdf/conform"
	"philtrum/templates/text"
)

// plain is a sheet of size A4.
func plain() layout.Sheet {
	pt := func(v layout.Length) layout.Length { return v * layout.Pt }
	style := func(size, leading, before, after layout.Length, w layout.Weight) layout.TextStyle {
		return layout.TextStyle{Size: pt(size), Leading: pt(leading), Before: pt(before), After: pt(after), Weight: w}
	}
	return layout.Sheet{
		Name: "a4", Width: layout.MM(210), Height: layout.MM(297),
		Top: layout.MM(22), Bottom: layout.MM(24), Inner: layout.MM(22), Outer: layout.MM(20),
		Styles: map[layout.Role]layout.TextStyle{
			layout.RoleTitle: style(22, 26, 0, 4, layout.Bold), layout.RoleH1: style(16, 20, 14, 4, layout.Bold),
			layout.RoleH2: style(13, 17, 12, 3, layout.Bold), layout.RoleH3: style(11, 15, 10, 2, layout.Bold),
			layout.RoleLead: style(12, 17, 0, 6, layout.Regular), layout.RoleBody: style(11, 15, 0, 5, layout.Regular),
			layout.RoleSmall: style(9, 12, 0, 3, layout.Regular), layout.RoleLabel: style(8, 11, 0, 0, layout.Regular),
			layout.RoleTable: style(10, 13, 0, 0, layout.Regular), layout.RoleNumber: style(16, 20, 0, 2, layout.Bold),
			layout.RoleFoot: style(8, 11, 0, 0, layout.Regular),
		},
		Gutter: pt(14), Indent: pt(16), Rule: 500, HeavyRule: 1200, Bar: pt(4), Tint: 5, PenRow: pt(24), Box: pt(11),
		SignHeight: pt(34), SignWidth: pt(160), CodeSide: layout.MM(20), MinLines: 2,
		TextInk: [3]uint8{22, 22, 26}, QuietInk: [3]uint8{90, 92, 100}, Accent: [3]uint8{122, 36, 58},
	}
}

func say(s string) []layout.Span { return []layout.Span{{Text: s}} }

// sentences are of one language: a title, a heading, a paragraph, two list entries and a label.
type sentences struct {
	lang      string
	direction layout.Direction
	title     string
	heading   string
	body      string
	entries   []string
	label     string
}

var tongues = []sentences{
	{"en", layout.LeftToRight, "Consent to treatment", "What can happen", "Swelling and bruising are common and settle within two weeks. The efficient filler is placed slowly; rarely a vessel is blocked, and pale or mottled skin needs help at once.", []string{"Keep the area clean for 24 hours.", "Avoid heat and hard exercise."}, "Signature"},
	{"de", layout.LeftToRight, "Einwilligung", "Was geschehen kann", "Schwellungen und blaue Flecken sind häufig und vergehen in zwei Wochen. Größere Knoten sind selten.", []string{"Stelle 24 Stunden sauber halten.", "Wärme und Sport meiden."}, "Unterschrift"},
	{"vi", layout.LeftToRight, "Giấy đồng ý", "Điều có thể xảy ra", "Sưng và bầm là thường gặp và sẽ hết trong hai tuần.", []string{"Giữ vùng môi sạch.", "Tránh nóng."}, "Chữ ký"},
	{"ru", layout.LeftToRight, "Согласие", "Что может случиться", "Отёк и синяки бывают часто и проходят за две недели.", []string{"Держите кожу в чистоте.", "Избегайте жары."}, "Подпись"},
	{"hi", layout.LeftToRight, "सहमति पत्र", "क्या हो सकता है", "सूजन और नील सामान्य हैं और दो सप्ताह में ठीक हो जाते हैं।", []string{"जगह को साफ़ रखें।", "गर्मी से बचें।"}, "हस्ताक्षर"},
	{"th", layout.LeftToRight, "หนังสือยินยอม", "สิ่งที่อาจเกิดขึ้น", "อาการบวมและช้ำพบได้บ่อย", []string{"รักษาความสะอาด", "หลีกเลี่ยงความร้อน"}, "ลายมือชื่อ"},
	{"zh-Hans", layout.LeftToRight, "同意书", "可能发生的情况", "肿胀和瘀伤很常见,两周内会消退。", []string{"保持部位清洁。", "避免高温。"}, "签名"},
	{"ar", layout.RightToLeft, "موافقة على العلاج", "ما قد يحدث", "التورم والكدمات شائعة وتزول خلال أسبوعين.", []string{"حافظ على نظافة المكان.", "تجنب الحرارة."}, "التوقيع"},
	{"he", layout.RightToLeft, "הסכמה לטיפול", "מה עלול לקרות", "נפיחות ושטפי דם שכיחים וחולפים תוך שבועיים.", []string{"לשמור על ניקיון.", "להימנע מחום."}, "חתימה"},
}

// document is a paper with every kind of block, in one language.
func document(s sentences) layout.Document {
	value := func(v string) []layout.Span { return []layout.Span{{Text: v, Value: true, Field: "patient.name"}} }
	var items []layout.ListItem
	for _, e := range s.entries {
		items = append(items, layout.ListItem{Text: say(e)})
	}
	rows := []layout.Row{
		{Header: true, Cells: []layout.Cell{{Text: say(s.label)}, {Text: value("0.5 mL")}, {Text: value("0012")}}},
		{Header: true, Cells: []layout.Cell{{Text: say(s.heading)}, {Text: value("0.25 mL")}, {Text: value("12E4")}}},
		{Total: true, Header: true, Cells: []layout.Cell{{Text: say(s.title)}, {Text: value("0.75 mL")}, {}}},
	}
	return layout.Document{
		Lang: s.lang, Direction: s.direction, Title: s.title, Sheet: plain(),
		Head: layout.Furniture{Start: say(s.title), End: value("Zoë Łuczak"), Rule: true},
		Foot: layout.Furniture{Start: say("0123456789abcdef"), End: []layout.Span{{Page: true}, {Text: " / "}, {Pages: true}}, Rule: true},
		Blocks: []layout.Block{
			&layout.Title{Text: say(s.title), Alt: []layout.Span{{Text: "Consent", Lang: "en"}}, Mark: specimenDrawing()},
			&layout.Grid{Columns: 2, Items: []layout.GridItem{{Label: say(s.label), Value: value("Zoë Łuczak")}, {Label: say(s.heading)}}},
			&layout.Heading{Level: 2, Text: say(s.heading)},
			&layout.Paragraph{Text: say(strings.Repeat(s.body+" ", 3))},
			&layout.List{Items: items}, &layout.List{Ordered: true, Items: items},
			&layout.Panel{Tone: layout.ToneWarning, Blocks: []layout.Block{
				&layout.Heading{Level: 3, Text: say(s.heading)}, &layout.Paragraph{Text: say(s.body)},
			}},
			&layout.Panel{Tone: layout.ToneNotice, Blocks: []layout.Block{&layout.Paragraph{Text: say(s.body)}}},
			&layout.Heading{Level: 2, Text: say(s.title)},
			&layout.Table{Caption: say(s.label), Rows: rows, Columns: []layout.Column{
				{Head: say(s.heading), Share: 3}, {Head: say(s.label), Share: 1, Align: layout.AlignDecimal}, {Head: say("LOT"), Share: 1},
			}},
			&layout.Figure{Drawing: specimenDrawing(), Width: layout.MM(60), Alt: s.heading, Caption: say(s.label)},
			&layout.Dated{Items: []layout.DatedItem{{When: value("4.12.2026"), Note: say(s.label), Texts: [][]layout.Span{say(s.body)}, Strong: true}}},
			&layout.Choices{Items: []layout.Choice{{Text: say(s.entries[0])}, {Text: say(s.entries[1]), Boxes: [][]layout.Span{say(s.label), say(s.title)}}}},
			&layout.Signature{Meaning: say(s.body), Fields: []layout.SignField{
				{Label: say(s.label), Hand: true}, {Label: say(s.title), Value: value("4.12.2026")},
			}},
		},
	}
}

// set places a document with the program's own faces.
func set(e *text.Engine, d layout.Document) (layout.Result, []text.Font) {
	s := e.NewSetter(text.Options{Lang: d.Lang})
	r := layout.Place(d, s)
	return r, s.Fonts()
}

func TestPapersInEveryScriptConform(t *testing.T) {
	engine := text.NewEngine()
	var press pdf.Press
	for _, s := range tongues {
		for name, p := range profiles {
			r, fonts := set(engine, document(s))
			var out bytes.Buffer
			if err := press.Write(&out, r, fonts, specimenInfo(p)); err != nil {
				t.Fatal(err)
			}
			for _, v := range conform.Check(out.Bytes()) {
				t.Errorf("%s %s: %s", s.lang, name, v)
			}
			if dir := os.Getenv("PHILTRUM_KEEP"); dir != "" {
				if err := os.WriteFile(filepath.Join(dir, s.lang+" "+name+".pdf"), out.Bytes(), 0o600); err != nil {
					t.Fatal(err)
				}
			}
		}
	}
}

// A press that has written other papers writes the same bytes as a new one.
func TestAWarmPressWritesWhatANewOneDoes(t *testing.T) {
	engine := text.NewEngine()
	var press pdf.Press
	for range 3 { // fonts are kept from the second time on and used from the third
		for _, s := range tongues {
			r, fonts := set(engine, document(s))
			var warm, cold bytes.Buffer
			if err := press.Write(&warm, r, fonts, specimenInfo(pdf.PDFA2u)); err != nil {
				t.Fatal(err)
			}
			if err := pdf.Write(&cold, r, fonts, specimenInfo(pdf.PDFA2u)); err != nil {
				t.Fatal(err)
			}
			if !bytes.Equal(warm.Bytes(), cold.Bytes()) {
				t.Errorf("%s: bytes differ", s.lang)
			}
		}
	}
}

// Blocks that go on over pages keep one element, and repeated heads are artifacts.
func TestLongPapersConform(t *testing.T) {
	engine := text.NewEngine()
	for _, s := range []sentences{tongues[0], tongues[7]} {
		d := document(s)
		table := d.Blocks[9].(*layout.Table)
		row := table.Rows[0]
		for range 90 {
			table.Rows = append(table.Rows, row)
		}
		table.Rows = append(table.Rows, layout.Row{Cells: []layout.Cell{{Text: say(s.body), Across: 2}, {Box: true, Text: say(s.label)}}})
		notice := d.Blocks[7].(*layout.Panel)
		notice.Blocks = append(notice.Blocks, &layout.Paragraph{Text: say(strings.Repeat(s.body+" ", 60))}, d.Blocks[4])
		r, fonts := set(engine, d)
		if len(r.Pages) < 4 {
			t.Errorf("%s: only %d pages", s.lang, len(r.Pages))
		}
		var out bytes.Buffer
		if err := pdf.Write(&out, r, fonts, specimenInfo(pdf.PDFA2u)); err != nil {
			t.Fatal(err)
		}
		for _, v := range conform.Check(out.Bytes()) {
			t.Errorf("%s: %s", s.lang, v)
		}
	}
}

func TestPapersReadBack(t *testing.T) {
	pdftotext := tool(t, "pdftotext")
	engine := text.NewEngine()
	for _, s := range tongues {
		if s.direction == layout.RightToLeft {
			continue // readers reorder those each in their own way; the structure holds the exact text
		}
		r, fonts := set(engine, document(s))
		var out bytes.Buffer
		if err := pdf.Write(&out, r, fonts, specimenInfo(pdf.PDFA2u)); err != nil {
			t.Fatal(err)
		}
		got := strings.Fields(run(t, out.Bytes(), pdftotext, "-raw", "FILE", "-"))
		if g, w := strings.Join(got, ""), strings.Join(words(&r), ""); g != w {
			t.Errorf("%s: text is\n%s\nwant\n%s", s.lang, g, w)
		}
	}
}

func TestPreflightFindsPapersInEveryScriptValid(t *testing.T) {
	engine := text.NewEngine()
	files := make(map[string][]byte)
	for _, s := range tongues {
		r, fonts := set(engine, document(s))
		var out bytes.Buffer
		if err := pdf.Write(&out, r, fonts, specimenInfo(pdf.PDFA1b)); err != nil {
			t.Fatal(err)
		}
		files[s.lang] = out.Bytes()
	}
	preflight(t, files)
}
