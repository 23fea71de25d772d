package locales

import "time"

// Kind is what a placeholder declares that it holds.
type Kind string

// The kinds of placeholders, as message files write them. A kind may be followed by a style, see
// README.md ("date full").
const (
	KindText     Kind = "text"
	KindNumber   Kind = "number"
	KindCount    Kind = "count"
	KindVolume   Kind = "volume"
	KindDose     Kind = "dose"
	KindDate     Kind = "date"
	KindDateTime Kind = "datetime"
	KindClock    Kind = "clock"
	KindList     Kind = "list"
	KindRef      Kind = "ref"
)

// form is what an argument is made of; several forms may serve one kind.
type form uint8

const (
	formNone form = iota
	formText
	formNumber
	formCount
	formVolume
	formDose
	formDate
	formPartial
	formDateTime
	formClock
	formList
	formRef
	formRendered
	formBlank
	formAsWritten
)

// Value is a value for a placeholder. The zero Value fits none.
type Value struct {
	form    form
	text    string // text, decimal or message id
	field   string
	n       int
	y, m, d int
	at      time.Time
	items   []Value
	args    Args
	spans   []Span
}

// Args are the values for a message's placeholders, by name.
type Args map[string]Value

// Text is text that is no message: an id, a product's name, a word the program has not written.
func Text(s string) Value { return Value{form: formText, text: s} }

// Field is text that a person has written in a field ("patient.name").
func Field(s, field string) Value { return Value{form: formText, text: s, field: field} }

// Number is a decimal number in plain digits: "0.8", "-12", "1.50". Its digits are all shown.
func Number(decimal string) Value { return Value{form: formNumber, text: decimal} }

// Count is a whole number of things, zero or more; it chooses between a message's plural forms.
func Count(n int) Value { return Value{form: formCount, n: n} }

// Volume is a decimal number of millilitres: "0.8".
func Volume(decimalML string) Value { return Value{form: formVolume, text: decimalML} }

// Dose is a decimal number of milligrams: "4.4".
func Dose(decimalMG string) Value { return Value{form: formDose, text: decimalMG} }

// Date is a civil date of the Gregorian calendar.
func Date(y, m, d int) Value { return Value{form: formDate, y: y, m: m, d: d} }

// Partial is a civil date of which the day, or the day and the month, may be unknown and then are 0.
func Partial(y, m, d int) Value { return Value{form: formPartial, y: y, m: m, d: d} }

// DateTime is a day and time of day, shown as the clocks of t's own location show it.
func DateTime(t time.Time) Value { return Value{form: formDateTime, at: t} }

// Clock is a time of day, shown as the clocks of t's own location show it.
func Clock(t time.Time) Value { return Value{form: formClock, at: t} }

// List joins items the way the language does: "a, b and c". An empty list is an error when rendered.
func List(items ...Value) Value { return Value{form: formList, items: items} }

// Ref is another message that takes no arguments.
func Ref(id string) Value { return Value{form: formRef, text: id} }

// RefWith is another message with its arguments.
func RefWith(id string, args Args) Value { return Value{form: formRef, text: id, args: args} }

// Rendered is a message that was rendered before, perhaps in another language, which it keeps.
func Rendered(spans []Span) Value { return Value{form: formRendered, spans: spans} }

// Blank is a place to be completed by pen; it fits every kind.
func Blank() Value { return Value{form: formBlank} }

// AsWritten is a field's text that could not be read as what it should be, shown as it stands; it fits
// every kind. Whoever uses it also says on the paper that the value could not be read.
func AsWritten(s, field string) Value { return Value{form: formAsWritten, text: s, field: field} }

// fits reports whether a may stand for a placeholder of kind k.
func (a Value) fits(k Kind) bool {
	switch a.form {
	case formBlank, formAsWritten:
		return true
	case formText:
		return k == KindText
	case formNumber:
		return k == KindNumber
	case formCount:
		return k == KindCount || k == KindNumber
	case formVolume:
		return k == KindVolume
	case formDose:
		return k == KindDose
	case formDate, formPartial:
		return k == KindDate
	case formDateTime:
		return k == KindDateTime
	case formClock:
		return k == KindClock
	case formList:
		return k == KindList
	case formRef, formRendered:
		return k == KindRef
	}
	return false
}
