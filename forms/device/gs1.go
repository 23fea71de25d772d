package device

import (
	"slices"
	"strings"
)

// separator is FNC1 as scanners send it.
const separator = "\x1d"

// written are other signs for the separator: what keyboards, terminals and people write in its place. None can
// be part of a value, except the words in angle brackets, which nobody uses as a lot.
var written = strings.NewReplacer(
	"\u241d", separator, "^", separator, "{GS}", separator, "[GS]", separator, "<GS>", separator,
	"{FNC1}", separator, "[FNC1]", separator, "<FNC1>", separator,
	"]C1", separator, "]d2", separator, "]Q3", separator, "]e0", separator, "]J1", separator,
)

// aiSymbologies are the symbology identifiers that announce application identifiers: GS1-128, GS1 DataBar and
// composite, GS1 DataMatrix, GS1 QR Code, GS1 DotCode.
var aiSymbologies = []string{"]C1", "]e0", "]d2", "]Q3", "]J1"}

// readsRaw says whether a text is an element string as it stands, so that brackets in it belong to a value.
func (r *reader) readsRaw(s string) bool {
	as := &reader{year: r.year, seen: map[string]string{}}
	as.elements(written.Replace(s))
	return len(as.Elements) > 0 && !slices.ContainsFunc(as.Elements, func(e Element) bool { return e.ID == "" })
}

// plainGS1 reads what has no brackets: a GTIN alone, or an element string.
func (r *reader) plainGS1(s string) {
	if r.isGTIN(s) {
		r.bareGTIN(s)
		return
	}
	text := written.Replace(s)
	if id, _ := identify(strings.TrimLeft(text, separator+" ")); id == "" {
		r.remark(Fault, "unrecognised", nil)
		return
	}
	if text != s {
		r.remark(Note, "separator_written", nil)
	}
	r.Agency, r.Form = GS1, ElementString
	if r.Symbology != "" && !slices.Contains(aiSymbologies, r.Symbology) {
		r.remark(Fault, "symbology", map[string]any{"symbology": r.Symbology})
	}
	r.elements(text)
	r.sense()
	r.lostSeparator()
	if isDigits(s) && gtinLength(s) && checks(s) {
		r.remark(Doubt, "also_gtin", map[string]any{"gtin": Normal(s)})
	}
}

// isGTIN tells a GTIN alone from an element string of digits. By its length and check digit a lot alone, or
// an expiry alone, may look like one: such a code is read as the lot, and doubted.
func (r *reader) isGTIN(s string) bool {
	if !isDigits(s) || !gtinLength(s) {
		return false
	}
	if strings.HasPrefix(r.Symbology, "]E") || strings.HasPrefix(r.Symbology, "]I") {
		return true
	}
	if slices.Contains(aiSymbologies, r.Symbology) {
		return false
	}
	as := &reader{year: r.year, seen: map[string]string{}}
	as.elements(s)
	says := as.Lot != "" || as.Serial != "" || !as.Expiry.IsZero() || !as.Made.IsZero()
	if checks(s) {
		return !says || as.Faulty()
	}
	return as.Faulty() || !says
}

func gtinLength(s string) bool { return len(s) == 8 || len(s) == 12 || len(s) == 13 || len(s) == 14 }

// bareGTIN reads a GTIN without an identifier, as on consumer packages.
func (r *reader) bareGTIN(s string) {
	r.Agency, r.Form = GS1, BareGTIN
	r.add("01", Normal(s))
	r.remark(Note, "bare_gtin", nil)
}

// Normal writes a device identifier so that two of the same device are equal: a GTIN of 8, 12 or 13 digits has
// zeros in front (GS1 General Specifications, from memory); any other stays as it is.
func Normal(id string) string {
	id = strings.TrimSpace(id)
	if isDigits(id) && gtinLength(id) {
		return strings.Repeat("0", 14-len(id)) + id
	}
	return id
}

// elements reads an element string: identifier, value, identifier, value.
func (r *reader) elements(s string) {
	after := true // a separator would be stray here
	for first := true; s != ""; first = false {
		if rest, ok := strings.CutPrefix(s, separator); ok {
			switch {
			case first:
				r.remark(Note, "separator_leading", nil)
			case after && rest != "":
				r.once(Fault, "separator_stray", nil)
			}
			s, after = rest, true
			continue
		}
		after = false
		if rest := strings.TrimLeft(s, " "); rest != s {
			s = rest
			continue
		}
		s = r.element(s)
	}
}

// element reads one element and returns what follows it.
func (r *reader) element(s string) string {
	id, known := identify(s)
	if id == "" {
		value, rest := upTo(s, len(s))
		r.keep("", value)
		r.once(Fault, "stray_text", map[string]any{"text": short(value)})
		return rest
	}
	length := len(s)
	if n := predefined(id[:2]); n > 0 {
		length = n - len(id)
	}
	value, rest := upTo(s[len(id):], length)
	if known {
		r.add(id, value)
	} else {
		r.unknown(id, value)
	}
	return rest
}

// upTo takes n characters, or fewer where a separator or the end comes first.
func upTo(s string, n int) (value, rest string) {
	for i, c := range s {
		if c == '\x1d' || n == 0 {
			return s[:i], s[i:] // i counts bytes, also where the text is no UTF-8
		}
		n--
	}
	return s, ""
}

func (r *reader) unknown(id, value string) {
	r.keep(id, value)
	r.once(Fault, "unknown_ai", map[string]any{"id": id})
}

// bracketed reads what is printed below a code: identifiers in brackets. Brackets are not in the symbol, so a
// value with digits in brackets cannot be told from the next element; "\(" writes a bracket of the value.
func (r *reader) bracketed(s string) {
	r.Agency, r.Form = GS1, Bracketed
	const escaped = "\x00"
	s = strings.ReplaceAll(s, `\(`, escaped)
	whole := func(v string) string { return strings.Trim(strings.ReplaceAll(v, escaped, "("), around+separator) }
	marks := bracketAI.FindAllStringSubmatchIndex(s, -1)
	start := len(s)
	if len(marks) > 0 {
		start = marks[0][0]
	}
	if before := whole(s[:start]); before != "" {
		r.remark(Fault, "brackets", nil)
		if id, _ := identify(strings.Trim(before, "()")); id != "" {
			r.elements(strings.Trim(before, "()"))
		} else {
			r.keep("", before)
		}
	}
	for i, m := range marks {
		end := len(s)
		if i+1 < len(marks) {
			end = marks[i+1][0]
		}
		id, value := s[m[2]:m[3]], whole(s[m[1]:end])
		if _, known := lookup(id); known {
			r.add(id, value)
		} else {
			r.unknown(id, value)
		}
	}
	r.sense()
}
