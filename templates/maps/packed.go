package maps

import (
	_ "embed"
	"sync"

	"philtrum/forms/source"
)

//go:generate go test -run TestPackedIsFresh -update .

//go:embed packed.bin
var packedFile []byte

// packed holds the trees of the embedded maps, so that a run of the program need not parse them.
var packed = sync.OnceValue(func() *source.Packed { return source.Unpack(packedFile) })
