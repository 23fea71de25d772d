package pdf_test

import (
	"bytes"
	"testing"

	"philtrum/templates/pdf"
	"philtrum/templates/pdf/internal/specimen"
)

func write(t testing.TB, p pdf.Profile) []byte {
	t.Helper()
	r, fonts := specimen.Paper()
	var out bytes.Buffer
	if err := pdf.Write(&out, r, fonts, specimen.Info(p)); err != nil {
		t.Fatal(err)
	}
	return out.Bytes()
}

func TestWriteGivesEqualBytesForEqualPapers(t *testing.T) {
	for _, p := range []pdf.Profile{pdf.PDFA2u, pdf.PDFA1b} {
		if a, b := write(t, p), write(t, p); !bytes.Equal(a, b) {
			t.Errorf("profile %d: two files of one paper differ", p)
		}
	}
}
