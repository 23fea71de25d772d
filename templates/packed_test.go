package templates_test

import (
	"io/fs"
	"path"
	"testing"

	"philtrum/forms/source/packing"
	"philtrum/templates"
)

// What is packed are the trees of the files as they are now; -update packs them anew.
func TestPackedIsFresh(t *testing.T) {
	var files []string
	err := fs.WalkDir(templates.Default, ".", func(file string, _ fs.DirEntry, err error) error {
		if err == nil && path.Ext(file) == ".yaml" {
			files = append(files, file)
		}
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	packing.Fresh(t, *update, files...)
}
