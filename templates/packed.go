package templates

import (
	_ "embed"
	"sync"

	"philtrum/forms/source"
)

//go:generate go test -run TestPackedIsFresh -update .

//go:embed packed.bin
var packedFile []byte

// packed is the trees of the templates and sheets that ship, so that a run of the program need not parse them.
var packed = sync.OnceValue(func() *source.Packed { return source.Unpack(packedFile) })
