package pdf

import (
	"github.com/klauspost/compress/zlib"
)

// deflate appends src, zlib-compressed, to dst. The fast level is a third of the time of the default one
// on these streams, for files about a tenth larger; this library takes a little more than half the time of
// the standard one, which spends most of it on building Huffman tables for small streams.
func (p *Press) deflate(dst *scratch, src []byte) error {
	z, ok := p.deflates.Get().(*zlib.Writer)
	if ok {
		z.Reset(dst)
	} else {
		var err error
		if z, err = zlib.NewWriterLevel(dst, zlib.BestSpeed); err != nil {
			return err
		}
	}
	defer p.deflates.Put(z)
	if _, err := z.Write(src); err != nil {
		return err
	}
	return z.Close()
}
