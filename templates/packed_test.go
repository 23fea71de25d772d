package templates_test

import (
	"bytes"
	"io/fs"
	"os"
	"path"
	"testing"

	"philtrum/forms/source"
	"philtrum/templates"
)

// What is packed are the trees of the files as they are now; -update packs them anew.
func TestPackedIsFresh(t *testing.T) {
	const name = "packed.bin"
	var texts [][]byte
	err := fs.WalkDir(templates.Default, ".", func(file string, entry fs.DirEntry, err error) error {
		if err != nil || path.Ext(file) != ".yaml" {
			return err
		}
		text, err := fs.ReadFile(templates.Default, file)
		texts = append(texts, text)
		return err
	})
	if err != nil {
		t.Fatal(err)
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
