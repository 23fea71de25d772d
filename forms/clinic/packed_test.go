package clinic

import (
	"flag"
	"testing"

	"philtrum/forms/source/packing"
)

var update = flag.Bool("update", false, "pack the shipped files anew")

// What is packed are the trees of the files as they are now; -update packs them anew.
func TestPackedIsFresh(t *testing.T) {
	packing.Fresh(t, *update, "policy.yaml")
}
