package pdf_test

import (
	"bytes"
	"flag"
	"os"
	"path/filepath"
	"testing"
)

var update = flag.Bool("update", false, "write golden files anew")

// The files are the same on every machine. A new Go release may compress otherwise: then -update, and
// what the other tests say of the new files counts. Packages read and conform are tested on them too.
func TestBytesAreThoseOfTheGoldens(t *testing.T) {
	for name, p := range profiles {
		path := filepath.Join("testdata", "specimen-"+name+".pdf")
		got := write(t, p)
		if *update {
			if err := os.WriteFile(path, got, 0o644); err != nil {
				t.Fatal(err)
			}
		}
		want, err := os.ReadFile(path)
		if err != nil {
			t.Fatal(err)
		}
		if !bytes.Equal(got, want) {
			t.Errorf("%s: %d bytes differ from the %d of the golden", name, len(got), len(want))
		}
	}
}
