package read_test

import (
	"bytes"
	"os"
	"path/filepath"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/pdfcpu/pdfcpu/pkg/api"
	"github.com/pdfcpu/pdfcpu/pkg/pdfcpu/model"

	"philtrum/templates/pdf/read"
)

func TestOperationsReadEveryKindOfOperand(t *testing.T) {
	content := "q 1 -.5 +2 0.25 w % comment ( not text\n" +
		`/Na#6De (a\(b\)\053\n(nested)\` + "\r\n" + `end) <48 6> [true null (x) [1]] <</K /V/L<</M 2>>>> Do ` +
		"BI /W 1 ID \x00EI\xFFx EI Q"
	got, err := read.Operations([]byte(content))
	if err != nil {
		t.Fatal(err)
	}
	want := []read.Operation{
		{Operator: "q"},
		{Operator: "w", Operands: []read.Object{1, -0.5, 2, 0.25}},
		{Operator: "Do", Operands: []read.Object{
			read.Name("Name"), read.String("a(b)+\n(nested)end"), read.String("H`"),
			read.Array{true, nil, read.String("x"), read.Array{1}},
			read.Dict{"K": read.Name("V"), "L": read.Dict{"M": 2}},
		}},
		{Operator: "BI"},
		{Operator: "Q"},
	}
	if d := cmp.Diff(want, got); d != "" {
		t.Error(d)
	}
}

func TestOperationsRefuseBrokenContent(t *testing.T) {
	for _, content := range []string{"(open", "<48", "<4G> Tj", "[1 2", "<</K>> Do", "<<1 2>> Do", "[1 q] d", "BI /W 1 ID xx", "1 2"} {
		if ops, err := read.Operations([]byte(content)); err == nil {
			t.Errorf("%q is read as %v", content, ops)
		}
	}
}

func TestUnicodeMapReadsEntriesAndRanges(t *testing.T) {
	got, err := read.UnicodeMap([]byte(`1 begincodespacerange <0000> <FFFF> endcodespacerange
2 beginbfchar <0001> <0041> <0002> <D842DFB7> endbfchar
2 beginbfrange <0010> <0012> <0061> <0020> <0021> [<0066006600690041> <0042>] endbfrange`))
	if err != nil {
		t.Fatal(err)
	}
	want := map[int]string{1: "A", 2: "\U00020BB7", 16: "a", 17: "b", 18: "c", 32: "ffiA", 33: "B"}
	if d := cmp.Diff(want, got); d != "" {
		t.Error(d)
	}
}

func TestOpenGivesPagesAndTexts(t *testing.T) {
	for _, name := range []string{"A-1b", "A-2u"} {
		b, err := os.ReadFile(filepath.Join("..", "testdata", "specimen-"+name+".pdf"))
		if err != nil {
			t.Fatal(err)
		}
		f, err := read.Open(b)
		if err != nil {
			t.Fatal(err)
		}
		if n := len(f.Pages()); n != 2 {
			t.Errorf("%d pages, want 2", n)
		}
		if title, ok := f.Text(f.Info()["Title"]); !ok || title != "Specimen" {
			t.Errorf("title is %q", title)
		}
		for _, page := range f.Pages() {
			b, err := f.Content(page)
			if err != nil || !bytes.Contains(b, []byte("BDC")) {
				t.Errorf("content of a page: %v", err)
			}
			if f.Dict(page.Resources["Font"]) == nil {
				t.Error("a page has no fonts")
			}
		}
		if f.Encrypted() || len(f.ID()) != 2 {
			t.Error("trailer misread")
		}
	}
}

// The library's own validation knows ISO 32000-1 better than this package does.
func TestFinishedFilesValidateStrictly(t *testing.T) {
	for _, name := range []string{"A-1b", "A-2u"} {
		b, err := os.ReadFile(filepath.Join("..", "testdata", "specimen-"+name+".pdf"))
		if err != nil {
			t.Fatal(err)
		}
		conf := &model.Configuration{
			Reader15: true, ValidationMode: model.ValidationStrict, Offline: true, Limits: model.DefaultResourceLimits(),
		}
		if err := api.Validate(bytes.NewReader(b), conf); err != nil {
			t.Errorf("%s: %v", name, err)
		}
	}
}

func TestOpenRefusesWhatIsNoFile(t *testing.T) {
	for _, b := range []string{"", "%PDF-1.7\n", "%PDF-1.7\nxref\n0 1\n0000000000 65535 f \ntrailer\n<</Size 1>>\nstartxref\n9\n%%EOF"} {
		if _, err := read.Open([]byte(b)); err == nil {
			t.Errorf("%q is opened", b)
		}
	}
}

func FuzzOperations(f *testing.F) {
	f.Add([]byte("BT /T0 12 Tf 1 2 Td (a\\051) Tj ET"))
	f.Add([]byte("[<</A[(x)<41>]>>] BI ID EI"))
	f.Fuzz(func(t *testing.T, b []byte) {
		_, _ = read.Operations(b)
		_, _ = read.UnicodeMap(b)
	})
}
