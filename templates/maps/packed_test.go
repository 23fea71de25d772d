package maps

import (
	"bytes"
	"flag"
	"os"
	"testing"

	"philtrum/forms/source"
)

var update = flag.Bool("update", false, "pack the embedded maps anew")

// What is packed are the trees of the maps as they are now; -update packs them anew.
func TestPackedIsFresh(t *testing.T) {
	const name = "packed.bin"
	var texts [][]byte
	for _, of := range Names() {
		data, err := os.ReadFile(of + ".yaml")
		if err != nil {
			t.Fatal(err)
		}
		texts = append(texts, data)
	}
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
