package conform_test

import (
	"bytes"
	"testing"

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
