package sign

import (
	"encoding/asn1"
)

// maxDepth bounds how deep a key store is looked into.
const maxDepth = 32

// Check says whether a file is a key store at all, and one whose work can be paid: ErrStore, ErrWork. It needs no
// passphrase.
func Check(store []byte) error {
	if len(store) > maxStore {
		return ErrStore
	}
	return affordable(store)
}

// affordable refuses a key store that asks for more work than any honest one. It needs no passphrase: in the
// parameters of every derivation (RFC 7292, 4 and appendix B; RFC 8018, A.2) a salt is followed by the number
// of rounds and perhaps the length of the key, so that these are bounded wherever they can be seen.
func affordable(store []byte) error {
	var outer asn1.RawValue
	rest, err := asn1.Unmarshal(store, &outer)
	if err != nil || len(rest) != 0 || outer.Tag != asn1.TagSequence || !outer.IsCompound {
		return ErrStore
	}
	return weigh(outer.Bytes, 0)
}

// weigh looks through neighbouring values, and into those that hold others.
func weigh(der []byte, depth int) error {
	if depth > maxDepth {
		return ErrWork
	}
	bounds := []uint64(nil) // of the integers that may follow here
	for len(der) > 0 {
		var v asn1.RawValue
		rest, err := asn1.Unmarshal(der, &v)
		if err != nil {
			return nil // not DER: octets of something else
		}
		der = rest
		universal := v.Class == asn1.ClassUniversal
		switch {
		case universal && v.Tag == asn1.TagOctetString && !v.IsCompound:
			bounds = []uint64{maxIterations, maxKeyLength}
			if err := weigh(v.Bytes, depth+1); err != nil {
				return err
			}
			continue
		case universal && v.Tag == asn1.TagInteger && len(bounds) > 0:
			if above(v.Bytes, bounds[0]) {
				return ErrWork
			}
			bounds = bounds[1:]
			continue
		case v.IsCompound || v.Class == asn1.ClassContextSpecific:
			if err := weigh(v.Bytes, depth+1); err != nil {
				return err
			}
		}
		bounds = nil
	}
	return nil
}

// above says whether an integer as DER writes it is greater than a bound, or negative.
func above(b []byte, bound uint64) bool {
	if len(b) == 0 || b[0] >= 0x80 || len(b) > 8 {
		return true
	}
	var n uint64
	for _, v := range b {
		n = n<<8 | uint64(v)
	}
	return n > bound
}
