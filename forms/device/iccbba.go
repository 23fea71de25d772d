package device

import "strings"

// pieces are the data identifiers of ICCBBA and the lengths of what follows them, from IMDRF UDI WG N48,
// Appendix A. "=" followed by a letter or digit is a donation identification number.
var pieces = []struct {
	id     string
	length int
}{
	{"=/", 16}, {"=,", 6}, {"=>", 6}, {"=}", 6}, {"=)", 10}, {"&,1", 18}, {"&)", 10},
}

// iccbba reads a code of ICCBBA: pieces of fixed length, one after another.
func (r *reader) iccbba(s string) {
	r.Agency, r.Form = ICCBBA, Plain
	for s != "" {
		id, length := iccbbaID(s)
		value, rest := s[len(id):], ""
		if i := strings.IndexAny(value, "=&"); i >= 0 {
			value, rest = value[:i], value[i:]
		}
		if length > 0 {
			var over string
			value, over = upTo(value, length)
			rest = over + rest
		}
		s = rest
		r.keep(id, value)
		if length == 0 {
			r.once(Fault, "unknown_di", map[string]any{"value": short(id + value)})
			continue
		}
		r.iccbbaField(id, value, length)
	}
}

// iccbbaID is the identifier at the start, with the length of its data; an unknown one has length 0.
func iccbbaID(s string) (id string, length int) {
	for _, row := range pieces {
		if strings.HasPrefix(s, row.id) {
			return row.id, row.length
		}
	}
	if len(s) > 1 && s[0] == '=' && (s[1] >= '0' && s[1] <= '9' || s[1] >= 'A' && s[1] <= 'Z') {
		return "=", 15
	}
	if s[0] == '=' || s[0] == '&' {
		return s[:1], 0
	}
	return "", 0
}

func (r *reader) iccbbaField(id, value string, length int) {
	if len(value) < length {
		r.remark(Fault, "too_short", map[string]any{"id": id, "value": short(value), "least": length})
	}
	for _, c := range value {
		if c < '!' || c > '~' {
			r.once(Fault, "character", map[string]any{"id": id, "value": short(value)})
		}
	}
	switch id {
	case "=/", "=)":
		if r.DeviceIdentifier == "" {
			r.DeviceIdentifier = value
		}
	case "&,1", "&)":
		if r.Lot == "" {
			r.Lot = value
		}
	case "=,":
		r.Serial = value
	case "=>", "=}":
		r.iccbbaDate(id, value)
	}
}

// iccbbaDate reads the last three digits of a year and the day of that year.
func (r *reader) iccbbaDate(id, value string) {
	text, to := &r.ExpiryText, &r.Expiry
	if id == "=}" {
		text, to = &r.MadeText, &r.Made
	}
	*text = value
	if len(value) != 6 || !isDigits(value) {
		return
	}
	d, ok := ordinal(millennium(number(value[:3]), r.year), number(value[3:]))
	if !ok {
		r.remark(Fault, "date", map[string]any{"value": value})
		return
	}
	*to = d
}
