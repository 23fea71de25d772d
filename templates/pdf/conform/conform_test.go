package conform_test

import (
	"bytes"
	"slices"
	"testing"

	"github.com/pdfcpu/pdfcpu/pkg/api"
	"github.com/pdfcpu/pdfcpu/pkg/pdfcpu/model"

	"philtrum/templates/pdf"
	"philtrum/templates/pdf/conform"
	"philtrum/templates/pdf/internal/specimen"
)

func paper(t testing.TB, p pdf.Profile) []byte {
	t.Helper()
	r, fonts := specimen.Paper()
	var out bytes.Buffer
	if err := pdf.Write(&out, r, fonts, specimen.Info(p)); err != nil {
		t.Fatal(err)
	}
	return out.Bytes()
}

func TestCheckAcceptsFinishedPapers(t *testing.T) {
	for _, p := range []pdf.Profile{pdf.PDFA2u, pdf.PDFA1b} {
		for _, v := range conform.Check(paper(t, p)) {
			t.Errorf("profile %d: %s", p, v)
		}
	}
}

func TestCheckRejectsEncryptedFiles(t *testing.T) {
	var out bytes.Buffer
	conf := &model.Configuration{
		Reader15: true, ValidationMode: model.ValidationRelaxed, Offline: true, Limits: model.DefaultResourceLimits(),
		EncryptUsingAES: true, EncryptKeyLength: 128, OwnerPW: "owner", Eol: "\n", Cmd: model.ENCRYPT,
	}
	if err := api.Encrypt(bytes.NewReader(paper(t, pdf.PDFA2u)), &out, conf); err != nil {
		t.Fatal(err)
	}
	found := conform.Check(out.Bytes())
	if !slices.ContainsFunc(found, func(v conform.Violation) bool { return v.Rule == conform.RuleEncrypt }) {
		t.Errorf("found %v", found)
	}
}

func TestCheckNeverFails(t *testing.T) {
	whole := paper(t, pdf.PDFA1b)
	for n := 0; n < len(whole); n += 97 {
		if len(conform.Check(whole[:n])) == 0 {
			t.Errorf("a file cut after %d bytes passes", n)
		}
	}
}

func FuzzCheck(f *testing.F) {
	f.Add(paper(f, pdf.PDFA1b))
	f.Add(paper(f, pdf.PDFA2u))
	f.Fuzz(func(t *testing.T, file []byte) { conform.Check(file) })
}
