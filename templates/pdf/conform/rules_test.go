package conform_test

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"philtrum/templates/pdf/conform"
)

// breakage breaks one condition of a finished file.
type breakage struct {
	rule  string
	name  string
	spoil func(p *parts)
}

func swap(old, new string) func(*parts) { return func(p *parts) { p.swap(old, new) } }
func drop(expression string) func(*parts) {
	return func(p *parts) { p.drop(expression) }
}

// annotate adds an annotation with a tag of its own kind; extra goes into its dictionary.
func annotate(kind, tag, extra string) func(*parts) {
	return func(p *parts) {
		annotation := len(p.objects)
		element := annotation + 1
		p.add(fmt.Sprintf("<</Type/Annot/Subtype/%s/Rect[10 10 50 50]/StructParent 9%s>>", kind, extra))
		root := p.find("/S/Document")
		p.add(fmt.Sprintf("<</S/%s/P %d 0 R/K<</Type/OBJR/Obj %d 0 R>>>>", tag, root, annotation))
		p.objects[root].dict = strings.Replace(p.objects[root].dict, "/K[", fmt.Sprintf("/K[%d 0 R ", element), 1)
		p.swap("/StructParents 0", fmt.Sprintf("/StructParents 0/Tabs/S/Annots[%d 0 R]", annotation))
		p.swap("/ParentTreeNextKey 2", "/ParentTreeNextKey 10")
		p.swap("<</Nums[", fmt.Sprintf("<</Nums[9 %d 0 R ", element))
	}
}

// paintObject adds a drawn external object at the end of the first page.
func paintObject(dict, data string) func(*parts) {
	return func(p *parts) {
		n := p.addStream(dict, data)
		p.swap("/ProcSet[/PDF/Text]", fmt.Sprintf("/ProcSet[/PDF/Text]/XObject<</X %d 0 R>>", n))
		p.swap("/Artifact BMC\n", "/Artifact BMC\n/X Do\n")
	}
}

// link adds a link that keeps all rules.
var link = annotate("Link", "Link", "/F 4/Contents(x)")

const widgetLook = "/F 4/AP<</N 1 0 R>>"

var breakages = []breakage{
	{conform.RuleFile, "no objects", func(p *parts) { p.objects = p.objects[:1] }},
	{conform.RuleHeader, "no binary comment", func(p *parts) { p.head = "%PDF-1.4\n" }},
	{conform.RuleHeader, "comment of ASCII", func(p *parts) { p.head = "%PDF-1.4\n%abcd\n" }},
	{conform.RuleEnd, "more after the end", func(p *parts) { p.tail = "more\n" }},
	{conform.RuleID, "none", drop(`/ID\[.*\]`)},
	{conform.RuleID, "empty", func(p *parts) { p.drop(`/ID\[.*\]`); p.trailer += "/ID[<><>]" }},
	{conform.RuleStream, "LZW", swap("/Subtype/XML", "/Subtype/XML/Filter/LZWDecode")},
	{conform.RuleStream, "external", swap("/N 3", "/N 3/F(outside)")},
	{conform.RuleLimit, "long string", swap("/Alt(a square)", "/Alt("+strings.Repeat("a", 32768)+")")},
	{conform.RuleLimit, "long name", swap("/StructParents 0", "/StructParents 0/"+strings.Repeat("a", 128)+" 1")},
	{conform.RuleLimit, "deep saving", swap("/Artifact BMC\n", strings.Repeat("q ", 29)+strings.Repeat("Q ", 29)+"/Artifact BMC\n")},
	{conform.RuleMarked, "false", swap("/Marked true", "/Marked false")},
	{conform.RuleMarked, "suspects", swap("/Marked true", "/Marked true/Suspects true")},
	{conform.RuleLanguage, "none", drop(`/Lang\(en\)`)},
	{conform.RuleLanguage, "no tag", swap("/Lang(en)", "/Lang(plain English)")},
	{conform.RuleLanguage, "of an element", swap("/Lang(de)", "/Lang(d)")},
	{conform.RuleLanguage, "of a span", swap("/Span <</Lang (en)>>", "/Span <</Lang (e_)>>")},
	{conform.RuleTitle, "none", drop(`<dc:title>.*</dc:title>`)},
	{conform.RuleTitle, "empty", swap(`"x-default">Specimen<`, `"x-default"><`)},
	{conform.RuleShowTitle, "none", drop(`/DisplayDocTitle true`)},
	{conform.RuleShowTitle, "false", swap("/DisplayDocTitle true", "/DisplayDocTitle false")},
	{conform.RuleMetadata, "none", drop(`/Metadata \d+ 0 R`)},
	{conform.RuleMetadata, "not well formed", swap("</rdf:RDF>", "</rdf:RDG>")},
	{conform.RuleMetadata, "encoding named", swap(`id="W5M0`, `encoding="UTF-8" id="W5M0`)},
	{conform.RuleUAID, "none", drop(`<pdfuaid:part>1</pdfuaid:part>`)},
	{conform.RuleUAID, "another namespace", swap("http://www.aiim.org/pdfua/ns/id/\">", "http://example.org/\">")},
	{conform.RuleAID, "none", drop(`<pdfaid:part>1</pdfaid:part>`)},
	{conform.RuleAID, "another level", swap("<pdfaid:conformance>B", "<pdfaid:conformance>X")},
	{conform.RuleInfo, "title", swap("/Title(Specimen)/Producer", "/Title(Another)/Producer")},
	{conform.RuleInfo, "date", swap("/CreationDate(D:2026", "/CreationDate(D:2025")},
	{conform.RuleInfo, "zone", swap("+01'00'", "-01'00'")},
	{conform.RuleExtension, "no schema", drop(`<pdfaSchema:namespaceURI>.*</pdfaSchema:namespaceURI>`)},
	{conform.RuleIntent, "none", drop(`/OutputIntents\[[^]]*\]`)},
	{conform.RuleIntent, "no profile", drop(`/DestOutputProfile \d+ 0 R`)},
	{conform.RuleIntent, "another count", swap("/N 3", "/N 4")},
	{conform.RuleIntent, "no profile bytes", swap("acsp", "pcsa")},
	{conform.RuleTabs, "none", func(p *parts) { link(p); p.drop(`/Tabs/S`) }},
	{conform.RuleTabs, "by row", func(p *parts) { link(p); p.swap("/Tabs/S", "/Tabs/R") }},
	{conform.RuleTabs, "none in part 2", func(p *parts) {
		p.swap("<pdfaid:part>1", "<pdfaid:part>2")
		p.swap("<pdfaid:conformance>B", "<pdfaid:conformance>U")
	}},
	{conform.RuleContent, "open sequence", drop(`EMC\n`)},
	{conform.RuleContent, "closed twice", swap("EMC\n", "EMC\nEMC\n")},
	{conform.RuleContent, "not saved", swap("EMC\n", "EMC\nQ\n")},
	{conform.RuleContent, "not restored", swap("EMC\n", "EMC\nq\n")},
	{conform.RuleContent, "does not parse", swap("EMC\n", "EMC\n(open\n")},
	{conform.RuleUnmarked, "text", func(p *parts) {
		p.swap("/H1 <</MCID 0>> BDC\n", "")
		p.swap("EMC\n", "/H1 <</MCID 0>> BDC EMC\n")
	}},
	{conform.RuleUnmarked, "a line", swap("/Artifact BMC\n", "0 0 m 9 9 l S\n/Artifact BMC\n")},
	{conform.RuleArtifactIn, "nested", swap("/H1 <</MCID 0>> BDC\n", "/H1 <</MCID 0>> BDC\n/Artifact BMC EMC\n")},
	{conform.RuleTagIn, "nested", func(p *parts) {
		p.swap("/H1 <</MCID 0>> BDC\n", "/Artifact BMC\n/H1 <</MCID 0>> BDC\n")
		p.swap("EMC\n", "EMC EMC\n")
	}},
	{conform.RuleNested, "nested", func(p *parts) {
		p.swap("/H1 <</MCID 0>> BDC\n", "/P <</MCID 1>> BDC\n/H1 <</MCID 0>> BDC\n")
		p.swap("EMC\n/P <</MCID 1>> BDC\n", "EMC\n")
		p.swap("EMC\n", "EMC\n")
	}},
	{conform.RuleRepeated, "twice", swap("EMC\n", "EMC\n/H1 <</MCID 0>> BDC EMC\n")},
	{conform.RuleTree, "none", drop(`/StructTreeRoot \d+ 0 R`)},
	{conform.RuleTree, "another parent", func(p *parts) {
		p.objects[p.find("/S/H1")].dict = strings.Replace(p.objects[p.find("/S/H1")].dict, "/P ", "/P 1", 1)
	}},
	{conform.RuleTree, "element within itself", func(p *parts) {
		n := p.find("/S/LBody")
		p.objects[n].dict = strings.Replace(p.objects[n].dict, "/K[", fmt.Sprintf("/K[%d 0 R ", n), 1)
	}},
	{conform.RuleRole, "unknown type", swap("<</S/Caption", "<</S/Legend")},
	{conform.RuleRole, "standard type mapped", swap("<</Type/StructTreeRoot", "<</Type/StructTreeRoot/RoleMap<</P/H1>>")},
	{conform.RuleRole, "loop", swap("<</Type/StructTreeRoot", "<</Type/StructTreeRoot/RoleMap<</A/B/B/A>>")},
	{conform.RuleMark, "no element", func(p *parts) { p.swap("/K[0 ]", "") }},
	{conform.RuleMark, "no content", func(p *parts) { p.swap("/K[0 ]", "/K[0 99]") }},
	{conform.RuleMark, "two elements", func(p *parts) { p.swap("/K[1 ]", "/K[0 1]") }},
	{conform.RuleParentTree, "none", drop(`/ParentTree \d+ 0 R`)},
	{conform.RuleParentTree, "page without a key", drop(`/StructParents 0`)},
	{conform.RuleParentTree, "another element", func(p *parts) {
		h1 := p.find("/S/H1")
		p.swap(fmt.Sprintf("[0[%d 0 R", h1), fmt.Sprintf("[0[%d 0 R", h1+1))
	}},
	{conform.RuleParentTree, "too short", func(p *parts) {
		h1 := p.find("/S/H1")
		p.swap(fmt.Sprintf("[0[%d 0 R ", h1), "[0[")
	}},
	{conform.RuleParentTree, "next key too low", swap("/ParentTreeNextKey 2", "/ParentTreeNextKey 1")},
	{conform.RuleHeading, "first is H2", swap("<</S/H1", "<</S/H2")},
	{conform.RuleHeading, "level skipped", swap("<</S/H2", "<</S/H3")},
	{conform.RuleHeading, "mixed", swap("<</S/H2", "<</S/H")},
	{conform.RuleFigureAlt, "none", drop(`/Alt\(a square\)`)},
	{conform.RuleFigureAlt, "empty", swap("/Alt(a square)", "/Alt()")},
	{conform.RuleFigureBox, "none", drop(`/BBox\[[^]]*\]`)},
	{conform.RuleFigureBox, "inverted", swap("/BBox[60 ", "/BBox[600 ")},
	{conform.RuleHeaderScope, "none", drop(`/Scope/Column`)},
	{conform.RuleTable, "cell outside a row", swap("<</S/TR", "<</S/Div")},
	{conform.RuleTable, "text in a row", swap("<</S/TH", "<</S/P")},
	{conform.RuleGrid, "short row", drop(`/ColSpan 2`)},
	{conform.RuleGrid, "long row", swap("/ColSpan 2", "/ColSpan 3")},
	{conform.RuleGrid, "overlap", swap("/O/Table/Scope/Column", "/O/Table/RowSpan 2/Scope/Column")},
	{conform.RuleList, "item outside a list", func(p *parts) {
		n := p.find("<</S/L/")
		p.objects[n].dict = strings.Replace(p.objects[n].dict, "/S/L/", "/S/Div/", 1)
	}},
	{conform.RuleList, "text in an item", swap("<</S/LBody", "<</S/P")},
	{conform.RuleList, "body outside an item", swap("<</S/LI", "<</S/Div")},
	{conform.RuleNote, "without an ID", swap("<</S/Caption", "<</S/Note")},
	{conform.RuleFontKind, "simple font", swap("/Subtype/Type0", "/Subtype/TrueType")},
	{conform.RuleFontKind, "not in the resources", swap("/T0 12 Tf", "/T9 12 Tf")},
	{conform.RuleEmbedded, "none", drop(`/FontFile2 \d+ 0 R`)},
	{conform.RuleEmbedded, "no advances", swap("hmtx", "hmty")},
	{conform.RuleEmbedded, "another length", swap("/Length1 ", "/Length1 1")},
	{conform.RuleCIDMap, "none", drop(`/CIDToGIDMap/Identity`)},
	{conform.RuleUnicode, "none", drop(`/ToUnicode \d+ 0 R`)},
	{conform.RuleUnicode, "a code left out", drop(`<0001> <0020>\n`)},
	{conform.RuleUnicode, "U+0000", swap("<0001> <0020>", "<0001> <0000>")},
	{conform.RuleUnicode, "U+FEFF", swap("<0001> <0020>", "<0001> <FEFF>")},
	{conform.RuleWidth, "another default", swap("/W[", "/W[1 97 1234 ")},
	{conform.RuleWidth, "none", func(p *parts) { p.drop(`/W\[.*\]`) }},
	{conform.RuleGlyph, "beyond the font", swap(" Td (\x00", " Td (\x03\x03\x00")},
	{conform.RuleNotdef, "shown", swap(" Td (\x00", " Td (\x00\x00\x00")},
	{conform.RuleCIDSet, "none", drop(`/CIDSet \d+ 0 R`)},
	{conform.RuleAction, "script", swap("<</Type/Catalog", "<</Type/Catalog/OpenAction<</S/JavaScript/JS(x)>>")},
	{conform.RuleAction, "names of scripts", swap("<</Type/Catalog", "<</Type/Catalog/Names<</JavaScript<<>>>>")},
	{conform.RuleAction, "launch", swap("<</Type/Catalog", "<</Type/Catalog/OpenAction<</S/Launch/F(x)>>")},
	{conform.RuleAction, "additional", swap("/StructParents 0", "/StructParents 0/AA<<>>")},
	{conform.RuleForm, "XFA", swap("<</Type/Catalog", "<</Type/Catalog/AcroForm<</XFA(x)>>")},
	{conform.RuleForm, "no looks", swap("<</Type/Catalog", "<</Type/Catalog/AcroForm<</NeedAppearances true>>")},
	{conform.RuleXObject, "not in the resources", swap("/Artifact BMC\n", "/Artifact BMC\n/X Do\n")},
	{conform.RuleXObject, "reference", paintObject("<</Subtype/Form/BBox[0 0 1 1]/Ref<<>>>>", "")},
	{conform.RuleUnmarked, "in a form", func(p *parts) {
		paintObject("<</Subtype/Form/BBox[0 0 1 1]>>", "0 0 1 1 re f")(p)
		p.swap("/Artifact BMC\n/X Do\n", "/X Do\n/Artifact BMC\n")
	}},
	{conform.RuleTransparent, "group", swap("/StructParents 0", "/StructParents 0/Group<</S/Transparency>>")},
	{conform.RuleTransparent, "opacity", func(p *parts) {
		p.swap("/ProcSet[/PDF/Text]", "/ProcSet[/PDF/Text]/ExtGState<</G<</ca 0.5>>>>")
		p.swap("/Artifact BMC\n", "/Artifact BMC\n/G gs\n")
	}},
	{conform.RuleTransparent, "mask", paintObject("<</Subtype/Image/SMask 1 0 R>>", "")},
	{conform.RuleEmbed, "in part 1", swap("<</Type/Catalog", "<</Type/Catalog/Names<</EmbeddedFiles<<>>>>")},
	{conform.RuleEmbed, "no relationship", func(p *parts) {
		p.swap("<pdfaid:part>1", "<pdfaid:part>3")
		p.swap("<pdfaid:conformance>B", "<pdfaid:conformance>U")
		p.add("<</Type/Filespec/F(a)/UF(a)/EF<<>>>>")
	}},
	{conform.RuleLayer, "no name", swap("<</Type/Catalog", "<</Type/Catalog/OCProperties<</D<<>>>>")},
	{conform.RuleAnnotKind, "unknown", annotate("TrapNet", "Annot", "/F 4/Contents(x)/AP<</N 1 0 R>>")},
	{conform.RuleAnnotFlags, "not printed", annotate("Link", "Link", "/Contents(x)")},
	{conform.RuleAnnotFlags, "hidden", annotate("Link", "Link", "/F 6/Contents(x)")},
	{conform.RuleAnnotLook, "none", annotate("Widget", "Form", "/F 4/TU(x)")},
	{conform.RuleAnnotText, "none", annotate("Link", "Link", "/F 4")},
	{conform.RuleAnnotTag, "link in another", annotate("Link", "Form", "/F 4/Contents(x)")},
	{conform.RuleAnnotTag, "widget in another", annotate("Widget", "Annot", widgetLook+"/TU(x)")},
	{conform.RuleFieldName, "none", annotate("Widget", "Form", widgetLook)},
}

func TestCheckRejectsBrokenFiles(t *testing.T) {
	whole := paper(t, part1)
	for _, b := range breakages {
		t.Run(b.rule+"/"+b.name, func(t *testing.T) {
			p := take(t, whole)
			b.spoil(p)
			found := conform.Check(p.put())
			if !slices.ContainsFunc(found, func(v conform.Violation) bool { return v.Rule == b.rule }) {
				t.Errorf("rule %s not named; found %v", b.rule, found)
			}
		})
	}
}

func TestCheckAcceptsWhatTheRulesAllow(t *testing.T) {
	whole := paper(t, part1)
	for name, change := range map[string]func(*parts){
		"unchanged":            func(*parts) {},
		"link":                 link,
		"field":                annotate("Widget", "Form", widgetLook+"/TU(x)"),
		"form object":          paintObject("<</Subtype/Form/BBox[0 0 1 1]>>", "q 0 0 1 1 re f Q"),
		"role that ends":       swap("<</Type/StructTreeRoot", "<</Type/StructTreeRoot/RoleMap<</A/B/B/P>>"),
		"mark within artifact": swap("/Artifact BMC\n", "/Artifact BMC\n/Span BMC EMC\n"),
	} {
		t.Run(name, func(t *testing.T) {
			p := take(t, whole)
			change(p)
			if found := conform.Check(p.put()); len(found) > 0 {
				t.Errorf("found %v", found)
			}
		})
	}
}

func TestEveryRuleHasABreakage(t *testing.T) {
	for _, rule := range conform.Rules() {
		if rule == conform.RuleEncrypt {
			continue // has a test of its own
		}
		if !slices.ContainsFunc(breakages, func(b breakage) bool { return b.rule == rule }) {
			t.Errorf("no file breaks rule %s", rule)
		}
	}
}
