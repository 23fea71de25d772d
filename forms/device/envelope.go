package device

import (
	"fmt"
	"strings"
	"unicode/utf8"
)

// envelope reads data in an envelope of ISO/IEC 15434, "[)>" and RS before it, RS and EOT after it: format 05
// holds application identifiers of GS1, format 06 data identifiers, as IFA codes have them. Formats and data
// identifiers are from memory; the check digits of a PPN agree with the known example.
func (r *reader) envelope(s string) {
	r.Form = Envelope
	s = strings.TrimLeft(strings.TrimPrefix(s, "[)>"), "\x1e")
	s = strings.TrimRight(s, "\x1e\x04")
	format := ""
	if len(s) >= 2 && isDigits(s[:2]) {
		format, s = s[:2], strings.TrimPrefix(s[2:], separator)
	}
	switch format {
	case "05":
		r.Agency = GS1
		r.elements(s)
		r.sense()
	case "06":
		for _, field := range strings.FieldsFunc(s, func(c rune) bool { return c == '\x1d' || c == '\x1e' || c == '\x04' }) {
			r.dataField(field)
		}
		if r.Agency == "" {
			r.remark(Fault, "unrecognised", nil)
		}
	default:
		r.keep("", s)
		r.remark(Fault, "unrecognised", nil)
	}
}

// dataField reads one field by its data identifier.
func (r *reader) dataField(field string) {
	n := 0
	for n < len(field) && field[n] >= '0' && field[n] <= '9' {
		n++
	}
	if n == len(field) {
		r.keep("", field)
		r.once(Fault, "stray_text", map[string]any{"text": short(field)})
		return
	}
	_, width := utf8.DecodeRuneInString(field[n:])
	id, value := field[:n+width], field[n+width:]
	if !r.keep(id, value) {
		return
	}
	switch id {
	case "9N":
		r.Agency, r.DeviceIdentifier = IFA, value
		if !ppnChecks(value) {
			r.remark(Fault, "check_digit", map[string]any{"id": id, "value": short(value)})
		}
	case "1T":
		r.Lot = value
	case "S":
		r.Serial = value
	case "D":
		r.ExpiryText = value
		if len(value) != 6 || !isDigits(value) {
			r.remark(Fault, "date", map[string]any{"value": short(value)})
			return
		}
		r.Expiry, r.ExpiryDayOpen = r.date(id, value)
	case "16D":
		r.MadeText = value
		r.Made = r.fullDate(id, value)
	}
}

// pzn reads a German pharmacy number of eight digits, as its Code 39 has it; its PPN is the identifier.
func (r *reader) pzn(digits string) {
	r.Agency, r.Form = IFA, Plain
	r.keep("PZN", digits)
	sum := 0
	for i := range 7 {
		sum += (i + 1) * int(digits[i]-'0')
	}
	if sum%11 != int(digits[7]-'0') {
		r.remark(Fault, "check_digit", map[string]any{"id": "PZN", "value": digits})
	}
	ppn := "11" + digits
	r.DeviceIdentifier = fmt.Sprintf("%s%02d", ppn, ppnSum(ppn))
}

// ppnChecks says whether the last two digits of a PPN check the others.
func ppnChecks(ppn string) bool {
	n := len(ppn) - 2
	return n >= 2 && ppn[n:] == fmt.Sprintf("%02d", ppnSum(ppn[:n]))
}

// ppnSum is the sum of the characters times 2, 3, 4, …, modulo 97.
func ppnSum(s string) int {
	sum := 0
	for i := range len(s) {
		sum += (i + 2) * int(s[i])
	}
	return sum % 97
}
