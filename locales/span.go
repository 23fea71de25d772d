package locales

import "strings"

// SpanKind says what a stretch of a rendered message is.
type SpanKind uint8

// Kinds of spans.
const (
	SpanWords  SpanKind = iota // the message's own words
	SpanValue                  // what stands in for a placeholder
	SpanStrong                 // the message's own words, marked as strong
	SpanBlank                  // left open, to be completed by pen
)

// Span is a stretch of a rendered message. A placeholder's rendering is its own span, so that whoever draws
// it can isolate it from the words around it.
type Span struct {
	Text string
	Kind SpanKind
	// Lang is the BCP 47 tag of the language that Text is in; empty for what a person has written, whose
	// language is not known.
	Lang string
	// Field names the field of a file that Text was written in; empty for everything else.
	Field string
	// Whole is true for a date or a time, which a line holds undivided wherever it can. Clock is the byte of Text at
	// which the time behind a date begins, with the words that lead to it, 0 where there is none: a line may end there.
	Whole bool
	Clock int
	// Strong is true for everything between a message's ** marks, values and blanks included.
	Strong bool
}

// BlankText stands for a blank where only plain text can be shown.
const BlankText = "________"

// plain joins spans to a string. Values are put between directional isolates (UAX 9, FSI and PDI) where
// the message runs from right to left or the value could.
func plain(spans []Span, rtl bool) string {
	var b strings.Builder
	for _, s := range spans {
		switch {
		case s.Kind == SpanBlank:
			b.WriteString(BlankText)
		case s.Kind == SpanValue && (rtl || mayRunLeft(s.Text)):
			b.WriteString("\u2068" + s.Text + "\u2069")
		default:
			b.WriteString(s.Text)
		}
	}
	return b.String()
}

// mayRunLeft reports whether s holds a character of a block that Unicode reserves for right-to-left
// scripts (Unicode 17.0, DerivedBidiClass default ranges).
func mayRunLeft(s string) bool {
	for _, r := range s {
		switch {
		case r >= 0x0590 && r <= 0x08FF, r >= 0xFB1D && r <= 0xFDFF, r >= 0xFE70 && r <= 0xFEFF,
			r >= 0x10800 && r <= 0x10FFF, r >= 0x1E800 && r <= 0x1EFFF:
			return true
		}
	}
	return false
}
