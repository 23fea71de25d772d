package conform_test

import (
	"bytes"
	"os"
	"path/filepath"
	"slices"
	"testing"

	"github.com/pdfcpu/pdfcpu/pkg/api"
	"github.com/pdfcpu/pdfcpu/pkg/pdfcpu/model"

	"philtrum/templates/pdf/conform"
)

// Names of finished papers that another package's tests write and pin.
const part1, part2 = "A-1b", "A-2u"

func paper(t testing.TB, name string) []byte {
	t.Helper()
	b, err := os.ReadFile(filepath.Join("..", "testdata", "specimen-"+name+".pdf"))
	if err != nil {
		t.Fatal(err)
	}
	return b
}

func TestCheckAcceptsFinishedPapers(t *testing.T) {
	for _, p := range []string{part1, part2} {
		for _, v := range conform.Check(paper(t, p)) {
			t.Errorf("%s: %s", p, v)
		}
	}
}

func TestCheckRejectsEncryptedFiles(t *testing.T) {
	var out bytes.Buffer
	conf := &model.Configuration{
		Reader15: true, ValidationMode: model.ValidationRelaxed, Offline: true, Limits: model.DefaultResourceLimits(),
		EncryptUsingAES: true, EncryptKeyLength: 128, OwnerPW: "owner", Eol: "\n", Cmd: model.ENCRYPT,
	}
	if err := api.Encrypt(bytes.NewReader(paper(t, part2)), &out, conf); err != nil {
		t.Fatal(err)
	}
	found := conform.Check(out.Bytes())
	if !slices.ContainsFunc(found, func(v conform.Violation) bool { return v.Rule == conform.RuleEncrypt }) {
		t.Errorf("found %v", found)
	}
}

func TestCheckNeverFails(t *testing.T) {
	whole := paper(t, part1)
	for n := 0; n < len(whole); n += 97 {
		if len(conform.Check(whole[:n])) == 0 {
			t.Errorf("a file cut after %d bytes passes", n)
		}
	}
}

func FuzzCheck(f *testing.F) {
	f.Add(paper(f, part1))
	f.Add(paper(f, part2))
	f.Fuzz(func(t *testing.T, file []byte) { conform.Check(file) })
}
