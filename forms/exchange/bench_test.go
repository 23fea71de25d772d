package exchange_test

import (
	"testing"

	"philtrum/forms/exchange"
)

func BenchmarkBundle(b *testing.B) {
	r := treated(b)
	for b.Loop() {
		if _, err := exchange.Bundle(r); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkCheck(b *testing.B) {
	data := bundleOf(b, treated(b))
	b.SetBytes(int64(len(data)))
	for b.Loop() {
		if faults := exchange.Check(data); len(faults) > 0 {
			b.Fatal(faults)
		}
	}
}
