package pdf_test

import (
	"bytes"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"philtrum/templates/pdf"
	"philtrum/templates/pdf/read"
	"philtrum/templates/text"
)

// papersOfADay are papers in every script, the first of them twice: what two visits have in common.
func papersOfADay(t testing.TB) [][]byte {
	t.Helper()
	engine := text.NewEngine()
	var press pdf.Press
	var files [][]byte
	for _, s := range append(slices.Clone(tongues), tongues[0]) {
		r, fonts := set(engine, document(s))
		var out bytes.Buffer
		if err := press.Write(&out, r, fonts, specimenInfo(pdf.PDFA2u)); err != nil {
			t.Fatal(err)
		}
		files = append(files, out.Bytes())
	}
	return files
}

func join(t testing.TB, files [][]byte) []byte {
	t.Helper()
	var out bytes.Buffer
	if err := new(pdf.Press).Join(&out, files); err != nil {
		t.Fatal(err)
	}
	return out.Bytes()
}

// contents are what the pages of a file draw.
func contents(t *testing.T, file []byte) (drawn []string) {
	t.Helper()
	f, err := read.Open(file)
	if err != nil {
		t.Fatal(err)
	}
	for _, p := range f.Pages() {
		content, err := f.Content(p)
		if err != nil {
			t.Fatal(err)
		}
		drawn = append(drawn, string(content))
	}
	return drawn
}

func TestJoinedPagesStandInTheirOrder(t *testing.T) {
	files := papersOfADay(t)
	var want []string
	for _, f := range files {
		want = append(want, contents(t, f)...)
	}
	joined := join(t, files)
	if got := contents(t, joined); !slices.Equal(got, want) {
		t.Errorf("%d pages of %d, or others", len(got), len(want))
	}
	for _, said := range []string{"/StructTreeRoot", "/Metadata", "/OutputIntents"} {
		if f, err := read.Open(joined); err != nil || f.Catalog()[read.Name(said[1:])] != nil {
			t.Errorf("%s is still there, %v", said, err)
		}
	}
	if again := join(t, files); !bytes.Equal(joined, again) {
		t.Error("the same papers make other bytes")
	}
}

func TestJoiningWritesEqualObjectsOnce(t *testing.T) {
	files := papersOfADay(t)
	one, two := join(t, files[:1]), join(t, [][]byte{files[0], files[0], files[0], files[0]})
	if len(two) > len(one)+len(one)/10 {
		t.Errorf("four times the same paper takes %d bytes, once %d", len(two), len(one))
	}
}

// joinBy joins with object streams of at most so many objects. It stands for a day of some hundred visits, which has
// more objects than one stream holds.
func joinBy(t *testing.T, most int, files [][]byte) []byte {
	t.Helper()
	var press pdf.Press
	press.PackAtMost(most)
	var out bytes.Buffer
	if err := press.Join(&out, files); err != nil {
		t.Fatal(err)
	}
	return out.Bytes()
}

func TestJoinedObjectsFillAsManyStreamsAsTheyNeed(t *testing.T) {
	files := papersOfADay(t)
	whole := join(t, files)
	if n := bytes.Count(whole, []byte("/Type/ObjStm/")); n != 1 {
		t.Errorf("a small day takes %d object streams", n)
	}
	for _, most := range []int{1, 7, 64} {
		split := joinBy(t, most, files)
		if n := bytes.Count(split, []byte("/Type/ObjStm/")); n < 2 {
			t.Errorf("at most %d objects each: %d object streams", most, n)
		}
		if got := contents(t, split); !slices.Equal(got, contents(t, whole)) {
			t.Errorf("at most %d objects each: other pages", most)
		}
		if again := join(t, [][]byte{split}); !slices.Equal(contents(t, again), contents(t, whole)) {
			t.Errorf("at most %d objects each: joined again they are other pages", most)
		}
	}
}

func TestJoiningRefusesWhatIsNotForAPrinter(t *testing.T) {
	id, _ := signer(t)
	older := write(t, pdf.PDFA1b)
	for name, file := range map[string][]byte{
		"sealed": sealed(t, id), "without an object stream": older, "nothing": nil, "text": []byte("startxref\n12\n"),
	} {
		if err := new(pdf.Press).Join(&bytes.Buffer{}, [][]byte{file}); err == nil {
			t.Errorf("%s: taken", name)
		}
	}
}

// Files that were cut or altered are refused or joined, but end nothing.
func TestJoiningBrokenFilesEnds(t *testing.T) {
	file := papersOfADay(t)[0]
	for i := 0; i < len(file); i += 1 + len(file)/2000 {
		broken := bytes.Clone(file)
		broken[i] ^= 0x15
		_ = new(pdf.Press).Join(&bytes.Buffer{}, [][]byte{broken})
		_ = new(pdf.Press).Join(&bytes.Buffer{}, [][]byte{file[:i]})
	}
}

func TestOtherReadersTakeJoinedFiles(t *testing.T) {
	files := papersOfADay(t)
	joined := join(t, files)
	for _, file := range [][]byte{joined, joinBy(t, 1, files), joinBy(t, 64, files)} {
		out := run(t, file, tool(t, "qpdf"), "--check", "FILE")
		if !strings.Contains(out, "No syntax or stream encoding errors found") || strings.Contains(out, "WARNING") {
			t.Error(out)
		}
	}
	out := run(t, joined, tool(t, "mutool"), "draw", "-F", "txt", "FILE")
	out = strings.Replace(out, "warning: ICC support is not available", "", 1) // of the tool's build
	if strings.Contains(out, "warning:") || strings.Contains(out, "error:") {
		t.Error(out)
	}
	var want strings.Builder
	for _, f := range files {
		want.WriteString(run(t, f, tool(t, "pdftotext"), "-layout", "FILE", "-"))
	}
	if got := run(t, joined, tool(t, "pdftotext"), "-layout", "FILE", "-"); got != want.String() {
		t.Errorf("text is\n%s\nwant\n%s", got, want.String())
	}
}

func TestJoinedPagesLookAsTheyDid(t *testing.T) {
	files := papersOfADay(t)
	var want [][]byte
	for _, f := range files {
		want = append(want, pictures(t, f)...)
	}
	got := pictures(t, join(t, files))
	if len(got) != len(want) {
		t.Fatalf("%d pages of %d", len(got), len(want))
	}
	for i := range got {
		if !bytes.Equal(got[i], want[i]) {
			t.Errorf("page %d looks otherwise", i+1)
		}
	}
}

// pictures are the pages of a file as another program draws them.
func pictures(t *testing.T, file []byte) (all [][]byte) {
	t.Helper()
	dir := t.TempDir()
	path := filepath.Join(dir, "paper.pdf")
	if err := os.WriteFile(path, file, 0o600); err != nil {
		t.Fatal(err)
	}
	if out, err := exec.Command(tool(t, "pdftoppm"), "-r", "50", path, filepath.Join(dir, "page")).CombinedOutput(); err != nil || len(out) > 0 {
		t.Fatalf("%v %s", err, out)
	}
	names, err := filepath.Glob(filepath.Join(dir, "page-*.ppm")) // sorted, with as many digits each
	if err != nil || len(names) == 0 {
		t.Fatal(names, err)
	}
	for _, name := range names {
		picture, err := os.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		all = append(all, picture)
	}
	return all
}
