package device

import "strings"

// SameLot compares lots as labels are read: case and spaces at the ends do not count, zeros do. An empty lot
// is the same as none.
//
// A lot is text, also where it looks like a number: GS1 General Specifications, AI (10), give it one to twenty
// characters of set 82, without a fill; HIBCC and ICCBBA have lots of letters and digits too (all from memory). So
// 0012 and 12 may be two lots of one maker. Taking them for one would put a patient into another lot's recall, or
// let a recalled lot pass for another; a scanned and a typed lot that differ in zeros are told as a finding instead.
func SameLot(a, b string) bool {
	a, b = strings.TrimSpace(a), strings.TrimSpace(b)
	return a != "" && strings.EqualFold(a, b)
}
