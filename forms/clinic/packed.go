package clinic

import (
	_ "embed"
	"sync"

	"philtrum/forms/source"
)

//go:generate go test -run TestPackedIsFresh -update .

//go:embed packed.bin
var packedFile []byte

// packed is the tree of policy.yaml, so that a run of the program need not parse it.
var packed = sync.OnceValue(func() *source.Packed { return source.Unpack(packedFile) })
