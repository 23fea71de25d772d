package forms_test

import (
	"testing"

	"philtrum/forms/source/packing"
)

// What is packed are the trees of the files as they are now; -update packs them anew.
func TestPackedIsFresh(t *testing.T) {
	packing.Fresh(t, *update, "lips.yaml")
}
