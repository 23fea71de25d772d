package device

import "strings"

// SameLot compares lots as labels are read: case and spaces at the ends do not count, zeros do. An empty lot
// is the same as none.
func SameLot(a, b string) bool {
	a, b = strings.TrimSpace(a), strings.TrimSpace(b)
	return a != "" && strings.EqualFold(a, b)
}
