package desk

import (
	"crypto/sha256"
	"encoding/binary"
	"io"
)

// newIDs gives bytes that follow from a seed, for a demonstration whose ids are always the same. It is no
// source of secrets.
func newIDs(seed string) io.Reader { return &idBytes{seed: []byte(seed)} }

type idBytes struct {
	seed []byte
	n    uint64
}

func (b *idBytes) Read(p []byte) (int, error) {
	for filled := 0; filled < len(p); {
		sum := sha256.Sum256(binary.BigEndian.AppendUint64(b.seed[:len(b.seed):len(b.seed)], b.n))
		b.n++
		filled += copy(p[filled:], sum[:])
	}
	return len(p), nil
}
