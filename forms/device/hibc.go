package device

import (
	"strings"
	"unicode/utf8"

	"philtrum/forms/measure"
)

// table43 are the characters of HIBC in the order of their values for the check character.
const table43 = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ-. $/+%"

// hibcMost is how long a lot or serial may be; IMDRF UDI WG N48, Appendix A.
const hibcMost = 18

// hibc reads a code of HIBCC (IMDRF UDI WG N48, Appendix A): the device identifier with data after it, or the
// data alone in a code of its own. Asterisks around it are start and stop of Code 39.
func (r *reader) hibc(s string) {
	r.Agency, r.Form = HIBCC, Plain
	s = strings.TrimPrefix(s, "*")
	s = strings.TrimSuffix(s, "*")
	if bare := strings.TrimRight(s, " "); !hibcChecks(s) && hibcChecks(bare) {
		if len(s) == len(bare)+1 {
			// The blank may also be the check character of a misread code, whose lot is one character longer.
			r.remark(Doubt, "hibc_after", map[string]any{"last": bare[len(bare)-1:]})
		}
		s = bare
	}
	s = r.hibcChecked(s)
	body := s[1:]
	if body == "" {
		r.remark(Fault, "too_short", map[string]any{"id": "+", "value": "", "least": 6})
		return
	}
	if body[0] == '$' || body[0] >= '0' && body[0] <= '9' {
		// The character before the check character repeats that of the first code (from memory).
		last := lastAt(body)
		r.remark(Note, "hibc_second", map[string]any{"link": body[last:]})
		body = body[:last]
	} else {
		di, rest, more := strings.Cut(body, "/")
		r.hibcDevice(di)
		if !more {
			return
		}
		body = rest
	}
	for _, data := range strings.Split(body, "/") {
		r.hibcData(data)
	}
}

// hibcChecked takes the check character away and compares it. A blank as check character is easily lost at
// the end of a line; then everything is data, and so it adds up.
func (r *reader) hibcChecked(s string) string {
	sum, known := sum43(s)
	if !known {
		r.remark(Fault, "hibc_character", map[string]any{"value": short(s)})
		return s[:lastAt(s)]
	}
	const blank = 38
	n := len(s) - 1
	if n < 1 {
		return s
	}
	last := strings.IndexByte(table43, s[n])
	switch computed := (sum - last) % 43; {
	case computed == last:
	case sum%43 == blank:
		r.remark(Doubt, "hibc_blank", nil)
		return s
	default:
		r.remark(Fault, "check_character", map[string]any{"found": s[n:], "computed": table43[computed : computed+1]})
	}
	return s[:n]
}

// sum43 adds up the values of the characters.
func sum43(s string) (sum int, known bool) {
	for _, c := range s {
		v := strings.IndexRune(table43, c)
		if v < 0 {
			return 0, false
		}
		sum += v
	}
	return sum, true
}

// hibcChecks says whether the last character checks the others.
func hibcChecks(s string) bool {
	sum, known := sum43(s)
	if !known || len(s) < 2 {
		return false
	}
	last := strings.IndexByte(table43, s[len(s)-1])
	return (sum-last)%43 == last
}

// lastAt is where the last character of s begins, though never its first one.
func lastAt(s string) int {
	_, width := utf8.DecodeLastRuneInString(s)
	_, first := utf8.DecodeRuneInString(s)
	return max(len(s)-width, first)
}

// hibcDevice reads a device identifier: four characters of the labeller, the first a letter, 1 to 18 of the
// product, one digit for the unit of measure.
func (r *reader) hibcDevice(di string) {
	r.keep("+", di)
	r.DeviceIdentifier = di
	sound := len(di) >= 6 && len(di) <= 23 && di[0] >= 'A' && di[0] <= 'Z' && isDigits(di[len(di)-1:])
	for _, c := range di {
		sound = sound && (c >= '0' && c <= '9' || c >= 'A' && c <= 'Z')
	}
	if !sound {
		r.remark(Fault, "hibc_device", map[string]any{"value": short(di)})
	}
}

// hibcData reads one piece of data by its first characters. Quantities (Q, $$8, $$9) and data that begins
// with digits are from memory.
func (r *reader) hibcData(data string) {
	cut := func(prefix string) (string, bool) { return strings.CutPrefix(data, prefix) }
	if rest, ok := cut("$$+"); ok {
		r.keep("$$+", rest)
		r.hibcSerial("$$+", r.hibcExpiry(rest))
	} else if rest, ok := cut("$+"); ok {
		r.keep("$+", rest)
		r.hibcSerial("$+", rest)
	} else if rest, ok := cut("$$"); ok {
		r.keep("$$", rest)
		r.hibcLot("$$", r.hibcExpiry(r.hibcQuantity(rest)))
	} else if rest, ok := cut("$"); ok {
		r.keep("$", rest)
		r.hibcLot("$", rest)
	} else if rest, ok := cut("16D"); ok {
		r.keep("/16D", rest)
		r.MadeText = rest
		r.Made = r.fullDate("/16D", rest)
	} else if rest, ok := cut("14D"); ok {
		r.keep("/14D", rest)
		r.ExpiryText, r.ExpiryDayOpen = rest, false
		r.Expiry = r.fullDate("/14D", rest)
	} else if rest, ok := cut("S"); ok {
		r.keep("/S", rest)
		r.hibcSerial("/S", rest)
	} else if rest, ok := cut("Q"); ok {
		r.keep("/Q", rest)
		r.Quantity = rest
	} else if len(data) >= 5 && isDigits(data[:5]) {
		r.keep("$$", "5"+data)
		r.hibcLot("$$", r.hibcExpiry("5"+data))
	} else {
		r.keep("", data)
		r.once(Fault, "unknown_di", map[string]any{"value": short(data)})
	}
}

func (r *reader) hibcLot(id, lot string) {
	if len([]rune(lot)) > hibcMost {
		r.remark(Fault, "too_long", map[string]any{"id": id, "value": short(lot), "most": hibcMost})
	}
	if r.Lot == "" {
		r.Lot = lot
	}
}

func (r *reader) hibcSerial(id, serial string) {
	if len([]rune(serial)) > hibcMost {
		r.remark(Fault, "too_long", map[string]any{"id": id, "value": short(serial), "most": hibcMost})
	}
	if r.Serial == "" {
		r.Serial = serial
	}
}

// hibcQuantity takes a quantity of two digits after 8, of five after 9.
func (r *reader) hibcQuantity(s string) string {
	for flag, digits := range map[string]int{"8": 2, "9": 5} {
		if rest, ok := strings.CutPrefix(s, flag); ok && len(rest) >= digits && isDigits(rest[:digits]) {
			r.Quantity = rest[:digits]
			return rest[digits:]
		}
	}
	return s
}

// hibcExpiry reads the expiry in front of a lot or serial and returns what follows it. Years of two digits are
// taken to be of the century of 20 (no rule was read); a month ends on its last day, as with GS1.
func (r *reader) hibcExpiry(s string) string {
	if s == "" || s[0] == '7' {
		return strings.TrimPrefix(s, "7")
	}
	formats := map[byte]string{'0': "MMYY", '1': "MMYY", '2': "MMDDYY", '3': "YYMMDD", '4': "YYMMDDHH", '5': "YYJJJ", '6': "YYJJJHH"}
	format, known := formats[s[0]]
	digits := s
	if format != "MMYY" {
		digits = s[1:]
	}
	if !known || len(digits) < len(format) || !isDigits(digits[:len(format)]) {
		r.remark(Fault, "date", map[string]any{"value": short(s)})
		return s
	}
	digits, rest := digits[:len(format)], digits[len(format):]
	r.ExpiryText = digits
	var ok bool
	if r.Expiry, ok = r.hibcDate(format, digits); !ok {
		r.remark(Fault, "date", map[string]any{"value": digits})
	}
	r.ExpiryDayOpen = ok && format == "MMYY"
	return rest
}

func (r *reader) hibcDate(format, digits string) (measure.Date, bool) {
	take := func(of string) int {
		i := strings.Index(format, of)
		return number(digits[i : i+len(of)])
	}
	year := 2000 + take("YY")
	if strings.Contains(format, "JJJ") {
		return ordinal(year, take("JJJ"))
	}
	if strings.Contains(format, "HH") && take("HH") > 23 {
		return measure.Date{}, false
	}
	month := take("MM")
	if format == "MMYY" {
		if month < 1 || month > 12 {
			return measure.Date{}, false
		}
		return lastOf(year, month), true
	}
	return civil(year, month, take("DD"))
}

// fullDate reads YYYYMMDD.
func (r *reader) fullDate(id, digits string) measure.Date {
	if len(digits) == 8 && isDigits(digits) {
		if d, ok := civil(number(digits[:4]), number(digits[4:6]), number(digits[6:])); ok {
			return d
		}
	}
	r.remark(Fault, "date", map[string]any{"value": short(digits)})
	return measure.Date{}
}
