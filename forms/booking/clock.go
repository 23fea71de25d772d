package booking

import (
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"
)

// clock is a time of day as a list writes it.
type clock struct {
	hour, minute int
	half         string // beforeNoon, afterNoon or "" where the list does not say
}

// Halves of the day, as headings.yaml names them.
const (
	beforeNoon = "before_noon"
	afterNoon  = "after_noon"
)

// cutClock takes a time of day out of a text: 9:30, 09.30, 9h30, 14 h 30, 9:30 pm, 下午2点30分, ٢:٣٠ م, 14 Uhr,
// 10:30–11:00 (the first). bare allows a point between hour and minute, which in a date would be part of it. A
// text that contradicts itself (an hour after twelve in the morning) has no time.
func (w *words) cutClock(s string, bare bool) (rest string, hour, minute int, ok bool) {
	runes := []rune(s)
	for i, c := range runes {
		if unicode.IsDigit(c) {
			runes[i] = digit(c)
		}
	}
	first, start, end, found := w.nextClock(runes, 0, bare)
	if !found {
		return s, 0, 0, false
	}
	if second, from, _, more := w.nextClock(runes, end, bare); more && first.half == "" && second.half == afterNoon && isRange(runes[end:from]) {
		// 2:00–3:00 pm begins after noon, 11:00–1:00 pm before.
		if first.half = afterNoon; first.hour%12 > second.hour%12 {
			first.half = beforeNoon
		}
	}
	hour, ok = first.ofDay()
	return string(runes[:start]) + " " + string(runes[end:]), hour, first.minute, ok && first.minute < 60
}

// ofDay is the hour from 0 to 23.
func (c clock) ofDay() (int, bool) {
	switch {
	case c.half == beforeNoon && c.hour == 12:
		return 0, true
	case c.half == beforeNoon:
		return c.hour, c.hour < 12
	case c.half == afterNoon && c.hour < 12:
		return c.hour + 12, true
	}
	return c.hour, c.hour < 24
}

// isRange says whether only a dash, or one word like "bis" or "to", stands between two times.
func isRange(between []rune) bool {
	s := strings.TrimSpace(string(between))
	return s == "-" || s == "–" || s == "—" || s == "~" || s == "～" || len(tokens(s)) == 1
}

// nextClock finds the first time of day from a place on, with the half of the day that stands beside it.
func (w *words) nextClock(r []rune, from int, bare bool) (c clock, start, end int, ok bool) {
	for i := from; i < len(r); i++ {
		if !isDigit(r, i) || i > 0 && (isDigit(r, i-1) || joins(r[i-1]) && !(r[i-1] == '-' && skipBlanks(r, from) == i-1)) {
			continue
		}
		if c, end, ok = w.clockAt(r, i, bare); !ok {
			continue
		}
		start = i
		if word, at := wordBefore(r[from:], i-from); c.half == "" && utf8.RuneCountInString(word) > 1 && w.halves[word] != "" {
			// A single letter before the time belongs to the date: Arabic writes one behind the year.
			c.half, start = w.halves[word], from+at
		}
		return c, start, end, true
	}
	return clock{}, 0, 0, false
}

func isDigit(r []rune, i int) bool { return i >= 0 && i < len(r) && r[i] >= '0' && r[i] <= '9' }

// joins says that what follows belongs to a date.
func joins(c rune) bool { return c == '/' || c == '-' || c == '.' }

// clockAt reads the time of day that begins at i, and the half of the day after it.
func (w *words) clockAt(r []rune, i int, bare bool) (c clock, end int, ok bool) {
	c.hour, end = number(r, i)
	if end-i > 2 || end >= len(r) {
		return c, end, false
	}
	switch {
	case r[end] == ':' || r[end] == '：' || bare && r[end] == '.' && twoDigitsAlone(r, end+1):
		if !isDigit(r, end+1) {
			return c, end, false
		}
		if c.minute, end = number(r, end+1); end < len(r) && r[end] == ':' { // seconds
			_, end = number(r, end+1)
		}
	default:
		word, after := wordAfter(r, end)
		if w.halves[word] == "" && !w.hours[word] {
			return c, end, false
		}
		if w.hours[word] {
			if c.minute, end, ok = w.minutesAt(r, after); !ok {
				return c, end, false
			}
		}
	}
	for { // "Uhr", "分", and the half of the day
		word, after := wordAfter(r, end)
		switch {
		case w.halves[word] != "" && c.half == "":
			c.half, end = w.halves[word], after
		case w.hours[word], w.minutes[word]:
			end = after
		default:
			return c, end, true
		}
	}
}

// minutesAt reads the minutes behind the word of the hour: two digits, or one with its own word. A date there is
// left alone, and a lone digit that could be either makes the time unreadable.
func (w *words) minutesAt(r []rune, i int) (minute, end int, ok bool) {
	at := skipBlanks(r, i)
	n, after := number(r, at)
	word, _ := wordAfter(r, after)
	switch {
	case after == at || after < len(r) && joins(r[after]) || after-at > 2:
		return 0, i, true
	case after-at == 2 || w.minutes[word]:
		return n, after, true
	}
	return 0, i, false
}

func number(r []rune, i int) (n, end int) {
	end = i
	for isDigit(r, end) && end-i < 4 {
		end++
	}
	n, _ = strconv.Atoi(string(r[i:end]))
	return n, end
}

// digits is a time of day written as digits alone: 0930, 930.
func digits(s string) (hour, minute int, ok bool) {
	runes := []rune(s)
	for i, c := range runes {
		if !unicode.IsDigit(c) {
			return 0, 0, false
		}
		runes[i] = digit(c)
	}
	if len(runes) != 3 && len(runes) != 4 {
		return 0, 0, false
	}
	n, _ := strconv.Atoi(string(runes))
	return n / 100, n % 100, n/100 < 24 && n%100 < 60
}

// twoDigitsAlone keeps 4.12.2026 from being four o'clock.
func twoDigitsAlone(r []rune, i int) bool {
	return isDigit(r, i) && isDigit(r, i+1) && !isDigit(r, i+2) && (i+2 >= len(r) || r[i+2] != '.')
}

func isBlank(c rune) bool { return c == ' ' || c == '\u202f' || c == '\u00a0' }

func skipBlanks(r []rune, i int) int {
	for i < len(r) && isBlank(r[i]) {
		i++
	}
	return i
}

// wordAfter is the next word behind blanks, folded: "p. m." is pm, "Uhr" is uhr. Points belong to it where they
// follow single letters.
func wordAfter(r []rune, i int) (word string, end int) {
	i = skipBlanks(r, i)
	for end = i; end < len(r) && (unicode.IsLetter(r[end]) || unicode.IsMark(r[end])); end++ {
	}
	if end == i+1 && end < len(r) && r[end] == '.' {
		at := skipBlanks(r, end+1)
		if at+1 <= len(r)-1 && unicode.IsLetter(r[at]) && r[at+1] == '.' || at == len(r)-1 && unicode.IsLetter(r[at]) {
			return Fold(string(r[i]) + string(r[at])), min(at+2, len(r))
		}
	}
	word = Fold(string(r[i:end]))
	if end > i && end < len(r) && r[end] == '.' {
		end++
	}
	return word, end
}

// wordBefore is the word that ends before i, and where it begins.
func wordBefore(r []rune, i int) (word string, start int) {
	for i > 0 && isBlank(r[i-1]) {
		i--
	}
	for start = i; start > 0 && (unicode.IsLetter(r[start-1]) || unicode.IsMark(r[start-1])); start-- {
	}
	return Fold(string(r[start:i])), start
}
