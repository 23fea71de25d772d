package pdf

import (
	"strconv"
	"strings"
	"unicode/utf16"
	"unicode/utf8"

	"philtrum/templates/layout"
)

// appendLength appends l in points with two decimals at most, rounded half away from zero. It uses whole
// numbers only, so every machine writes the same digits.
func appendLength(dst []byte, l layout.Length) []byte {
	n := int64(l)
	if n < 0 {
		n = -n
		if n >= 5 {
			dst = append(dst, '-')
		}
	}
	return appendDecimal(dst, (n+5)/10, 2)
}

// appendDecimal appends n / 10^places without trailing zeros; n must not be negative.
func appendDecimal(dst []byte, n int64, places int) []byte {
	unit := int64(1)
	for range places {
		unit *= 10
	}
	dst = strconv.AppendInt(dst, n/unit, 10)
	rest := n % unit
	if rest == 0 {
		return dst
	}
	dst = append(dst, '.')
	for rest > 0 {
		unit /= 10
		dst = append(dst, byte('0'+rest/unit))
		rest %= unit
	}
	return dst
}

// points gives l in points, rounded to hundredths so that printing it with two decimals never has a tie.
func points(l layout.Length) float64 {
	return float64(hundredths(l)) / 100
}

func hundredths(l layout.Length) int64 {
	if l < 0 {
		return -((5 - int64(l)) / 10)
	}
	return (int64(l) + 5) / 10
}

// appendColour appends three components of 0 to 255 as fractions of one with three decimals.
func appendColour(dst []byte, c [3]uint8) []byte {
	for i, v := range c {
		if i > 0 {
			dst = append(dst, ' ')
		}
		dst = appendDecimal(dst, (int64(v)*1000+127)/255, 3)
	}
	return dst
}

// appendTextString appends a text string (ISO 32000-1, 7.9.2.2): a literal where ASCII suffices, else
// UTF-16 with its byte order mark.
func appendTextString(dst []byte, s string) []byte {
	ascii := true
	for i := 0; i < len(s); i++ {
		if s[i] < 0x20 || s[i] > 0x7e {
			ascii = false
			break
		}
	}
	if ascii {
		dst = append(dst, '(')
		for i := 0; i < len(s); i++ {
			dst = appendEscaped(dst, s[i])
		}
		return append(dst, ')')
	}
	dst = append(dst, "<FEFF"...)
	dst = appendUTF16Hex(dst, s)
	return append(dst, '>')
}

// appendUTF16Hex appends s as big-endian UTF-16 in hexadecimal digits.
func appendUTF16Hex(dst []byte, s string) []byte {
	for _, r := range s {
		if hi, lo := utf16.EncodeRune(r); hi != 0xFFFD {
			dst = appendHex16(appendHex16(dst, uint16(hi)), uint16(lo))
			continue
		}
		dst = appendHex16(dst, uint16(r))
	}
	return dst
}

func appendHex16(dst []byte, v uint16) []byte {
	const digits = "0123456789ABCDEF"
	return append(dst, digits[v>>12], digits[v>>8&15], digits[v>>4&15], digits[v&15])
}

// appendEscaped appends one byte of a literal string.
func appendEscaped(dst []byte, c byte) []byte {
	switch c {
	case '(', ')', '\\':
		return append(dst, '\\', c)
	case '\r':
		// A bare carriage return in a literal reads as a line feed.
		return append(dst, '\\', 'r')
	}
	return append(dst, c)
}

// appendName appends a name (ISO 32000-1, 7.3.5), with an escape for every byte that would end it.
func appendName(dst []byte, s string) []byte {
	const digits = "0123456789ABCDEF"
	dst = append(dst, '/')
	for i := range len(s) {
		c := s[i]
		if c < '!' || c > '~' || strings.IndexByte("#%()/<>[]{}", c) >= 0 {
			dst = append(dst, '#', digits[c>>4], digits[c&15])
			continue
		}
		dst = append(dst, c)
	}
	return dst
}

// Archival files hold no string beyond 32,767 bytes (ISO 19005-2, 6.1.13). Each letter takes four at most,
// beside the byte order mark.
const maxLetters = (32767 - 2) / 4

// fits says whether s may be written as one text string.
func fits(s string) bool {
	return len(s) <= maxLetters || utf8.RuneCountInString(s) <= maxLetters
}

// cut shortens s to what one text string holds.
func cut(s string) string {
	if fits(s) {
		return s
	}
	return string([]rune(s)[:maxLetters])
}

// appendRef appends an indirect reference.
func appendRef(dst []byte, num int) []byte {
	return append(strconv.AppendInt(dst, int64(num), 10), " 0 R"...)
}
