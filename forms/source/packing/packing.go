// Package packing serves the tests of packages that ship their files as trees as well (see [source.Pack]).
package packing

import (
	"bytes"
	"os"
	"testing"

	"philtrum/forms/source"
)

// Fresh fails where packed.bin, in the folder of the test, does not hold the trees of the files as they are now;
// with update it packs them anew.
func Fresh(t testing.TB, update bool, files ...string) {
	t.Helper()
	const name = "packed.bin"
	var texts [][]byte
	for _, file := range files {
		text, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		texts = append(texts, text)
	}
	want, err := source.Pack(texts...)
	if err != nil {
		t.Fatal(err)
	}
	if update {
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
