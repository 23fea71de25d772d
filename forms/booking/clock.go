package booking

import (
	"strconv"
	"strings"
	"unicode"
)

// cutClock takes a time of day out of a text: 9:30, 09.30, 9h30, 9:30 pm, 14 Uhr, 10:30–11:00 (the first). bare
// allows a point between hour and minute, which in a date would be part of it.
func cutClock(s string, bare bool) (rest string, hour, minute int, ok bool) {
	runes := []rune(s)
	for i := 0; i < len(runes); i++ {
		runes[i] = ascii(runes[i])
	}
	for i := 0; i < len(runes); i++ {
		if !isDigit(runes, i) || i > 0 && (isDigit(runes, i-1) || joins(runes[i-1])) {
			continue
		}
		if h, m, end, found := clockAt(runes, i, bare); found {
			return string(runes[:i]) + " " + string(runes[end:]), h, m, true
		}
	}
	return s, 0, 0, false
}

func ascii(c rune) rune {
	if unicode.IsDigit(c) {
		return digit(c)
	}
	return c
}

func isDigit(r []rune, i int) bool { return i >= 0 && i < len(r) && r[i] >= '0' && r[i] <= '9' }

// joins says that what follows belongs to a date.
func joins(c rune) bool { return c == '/' || c == '-' || c == '.' }

// clockAt reads the time of day that begins at i, and half of the day after it.
func clockAt(r []rune, i int, bare bool) (hour, minute, end int, ok bool) {
	h, end := number(r, i)
	if end-i > 2 || end >= len(r) {
		return 0, 0, 0, false
	}
	separator, m := r[end], 0
	switch {
	case separator == ':' || separator == '：' || separator == '時' || separator == '点' || separator == 'h' || separator == 'H' ||
		bare && separator == '.' && twoDigitsAlone(r, end+1):
		if isDigit(r, end+1) {
			if m, end = number(r, end+1); end < len(r) && r[end] == ':' { // seconds
				_, end = number(r, end+1)
			}
			if end < len(r) && r[end] == '分' {
				end++
			}
		} else if end++; separator == ':' {
			return 0, 0, 0, false
		}
	default:
		word, after := wordAt(r, end)
		if word != "am" && word != "pm" && word != "uhr" {
			return 0, 0, 0, false
		}
		if word == "uhr" {
			end = after
		}
	}
	word, after := wordAt(r, end)
	switch {
	case word == "pm" && h < 12:
		h, end = h+12, after
	case word == "am" && h == 12:
		h, end = 0, after
	case word == "am" || word == "pm" || word == "uhr":
		end = after
	}
	return h, m, end, h < 24 && m < 60
}

func number(r []rune, i int) (n, end int) {
	end = i
	for isDigit(r, end) && end-i < 4 {
		end++
	}
	n, _ = strconv.Atoi(string(r[i:end]))
	return n, end
}

// twoDigitsAlone keeps 4.12.2026 from being four o'clock.
func twoDigitsAlone(r []rune, i int) bool {
	return isDigit(r, i) && isDigit(r, i+1) && !isDigit(r, i+2) && (i+2 >= len(r) || r[i+2] != '.')
}

// wordAt is the next word after blanks, without points and capitals: "p. m." is pm.
func wordAt(r []rune, i int) (word string, end int) {
	var b strings.Builder
	for end = i; end < len(r) && b.Len() < 4; end++ {
		c := unicode.ToLower(r[end])
		switch {
		case c == ' ' || c == '\u202f' || c == '\u00a0' || c == '.':
			if s := b.String(); s == "am" || s == "pm" || s == "uhr" {
				return s, end
			}
		case unicode.IsLetter(c):
			b.WriteRune(c)
		default:
			return b.String(), end
		}
	}
	return b.String(), end
}
