package maps

import (
	"flag"
	"testing"

	"philtrum/forms/source/packing"
)

var update = flag.Bool("update", false, "pack the embedded maps anew")

// What is packed are the trees of the maps as they are now; -update packs them anew.
func TestPackedIsFresh(t *testing.T) {
	var files []string
	for _, of := range Names() {
		files = append(files, of+".yaml")
	}
	packing.Fresh(t, *update, files...)
}
