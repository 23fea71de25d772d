package forms_test

import (
	"bytes"
	"os"
	"testing"

	"philtrum/forms/source"
)

// What is packed are the trees of the files as they are now; -update packs them anew.
func TestPackedIsFresh(t *testing.T) {
	const name = "packed.bin"
	text, err := os.ReadFile("lips.yaml")
	if err != nil {
		t.Fatal(err)
	}
	texts := [][]byte{text}
	want, err := source.Pack(texts...)
	if err != nil {
		t.Fatal(err)
	}
	if *update {
		if err := os.WriteFile(name, want, 0o644); err != nil {
			t.Fatal(err)
		}
		return
	}
	got, err := os.ReadFile(name)
	if err != nil {
		t.Fatal(err)
	}
	if !bytes.Equal(got, want) {
		t.Errorf("%s is stale: go generate packs it anew", name)
	}
}
