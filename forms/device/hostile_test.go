package device_test

import (
	"strings"
	"testing"

	"philtrum/forms/device"
)

// Texts that are wrong throughout are read to a bounded number of remarks and kept exactly; what no symbol could
// hold is kept and not taken apart.
func TestHostile(t *testing.T) {
	for _, s := range []string{"172712", "(10)", "(01)x", "=", "=>1", "/", "\x1d", "\x1d1", "0100", "999", "10\x1d", "a/01/"} {
		for _, p := range []string{"", "(", "+A", "=", "[)>\x1e06\x1d", "http://a/", "10"} {
			for _, size := range []int{4000, 1 << 20} {
				text := p + strings.Repeat(s, size/len(s))
				got := device.Read(text, 2026)
				if n := len(got.Remarks); n == 0 && size > 4000 || n > 50 {
					t.Errorf("%q repeated to %d: %d remarks", p+s, size, n)
				}
				if got.Exact != text {
					t.Errorf("%q repeated to %d: not kept", p+s, size)
				}
				if size > 4000 && len(got.Elements) > 0 {
					t.Errorf("%q repeated to %d: %d elements", p+s, size, len(got.Elements))
				}
			}
		}
	}
}
