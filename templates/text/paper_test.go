package text

import (
	"bytes"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"unicode/utf16"

	"philtrum/templates/layout"
)

// paper writes lines as a bare PDF page, with the fonts as a PDF reader gets them: Type0, identity codes.
func paper(fonts []Font, lines []layout.Line) []byte {
	var (
		out  bytes.Buffer
		offs []int
	)
	object := func(body string) {
		offs = append(offs, out.Len())
		fmt.Fprintf(&out, "%d 0 obj\n%s\nendobj\n", len(offs), body)
	}
	stream := func(dict, data string) string {
		return fmt.Sprintf("<<%s/Length %d>>\nstream\n%s\nendstream", dict, len(data), data)
	}
	out.WriteString("%PDF-1.7\n")
	object("<</Type/Catalog/Pages 2 0 R>>")
	object("<</Type/Pages/Kids[3 0 R]/Count 1>>")
	var names strings.Builder
	for i := range fonts {
		fmt.Fprintf(&names, "/F%d %d 0 R ", i, 5+i*5)
	}
	height := 40 + 30*len(lines)
	object(fmt.Sprintf("<</Type/Page/Parent 2 0 R/MediaBox[0 0 600 %d]/Contents 4 0 R/Resources<</Font<<%s>>>>>>", height, names.String()))
	var page strings.Builder
	for i, line := range lines {
		for _, run := range line.Runs {
			if run.Blank {
				continue
			}
			var codes strings.Builder
			for _, c := range run.Codes {
				fmt.Fprintf(&codes, "%04X", c)
			}
			fmt.Fprintf(&page, "BT /F%d %g Tf %g %d Td <%s> Tj ET\n", run.Font, float64(run.Size)/1000,
				40+float64(run.X)/1000, height-40-30*i, codes.String())
		}
	}
	object(stream("", page.String()))
	for i, f := range fonts {
		n := 5 + i*5
		object(fmt.Sprintf("<</Type/Font/Subtype/Type0/BaseFont/%s/Encoding/Identity-H/DescendantFonts[%d 0 R]/ToUnicode %d 0 R>>", f.Name, n+1, n+4))
		var widths strings.Builder
		for _, w := range f.Widths {
			fmt.Fprintf(&widths, "%d ", w)
		}
		object(fmt.Sprintf("<</Type/Font/Subtype/CIDFontType2/BaseFont/%s/CIDSystemInfo<</Registry(Adobe)/Ordering(Identity)/Supplement 0>>/FontDescriptor %d 0 R/CIDToGIDMap/Identity/W[0[%s]]>>", f.Name, n+2, widths.String()))
		object(fmt.Sprintf("<</Type/FontDescriptor/FontName/%s/Flags %d/FontBBox[%d %d %d %d]/ItalicAngle 0/Ascent %d/Descent %d/CapHeight %d/StemV %d/FontFile2 %d 0 R>>",
			f.Name, f.Flags, f.BBox[0], f.BBox[1], f.BBox[2], f.BBox[3], f.Ascent, f.Descent, f.CapHeight, f.StemV, n+3))
		object(stream(fmt.Sprintf("/Filter/FlateDecode/Length1 %d", len(f.Program)), string(f.Deflated)))
		var cmap strings.Builder
		cmap.WriteString("/CIDInit /ProcSet findresource begin 12 dict begin begincmap /CMapName /T def /CMapType 2 def\n1 begincodespacerange <0000> <FFFF> endcodespacerange\n")
		for code := 1; code < len(f.Unicode); code++ {
			fmt.Fprintf(&cmap, "1 beginbfchar <%04X> <", code)
			for _, u := range utf16.Encode([]rune(f.Unicode[code])) {
				fmt.Fprintf(&cmap, "%04X", u)
			}
			cmap.WriteString("> endbfchar\n")
		}
		cmap.WriteString("endcmap end end")
		object(stream("", cmap.String()))
	}
	start := out.Len()
	fmt.Fprintf(&out, "xref\n0 %d\n0000000000 65535 f \n", len(offs)+1)
	for _, o := range offs {
		fmt.Fprintf(&out, "%010d 00000 n \n", o)
	}
	fmt.Fprintf(&out, "trailer<</Size %d/Root 1 0 R>>\nstartxref\n%d\n%%%%EOF\n", len(offs)+1, start)
	return out.Bytes()
}

// tool finds an outside program. Without it the test is skipped, unless tools are required.
func tool(t *testing.T, name string) string {
	t.Helper()
	path, err := exec.LookPath(name)
	if err != nil {
		if os.Getenv("PHILTRUM_REQUIRE_TOOLS") == "1" {
			t.Fatalf("%s is required and not installed", name)
		}
		t.Skipf("%s is not installed", name)
	}
	return path
}

// extract gives the text that pdftotext reads from lines, white space run together.
func extract(t *testing.T, fonts []Font, lines []layout.Line) string {
	t.Helper()
	program := tool(t, "pdftotext")
	file := filepath.Join(t.TempDir(), "paper.pdf")
	if err := os.WriteFile(file, paper(fonts, lines), 0o600); err != nil {
		t.Fatal(err)
	}
	out, err := exec.Command(program, "-enc", "UTF-8", file, "-").Output()
	if err != nil {
		t.Fatalf("pdftotext: %v", err)
	}
	return strings.Join(strings.Fields(string(out)), " ")
}
