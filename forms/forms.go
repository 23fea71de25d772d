// Package forms says what a questionnaire is: sections of questions, each of a kind, asked only when
// earlier answers make it matter, with the time for which its answer holds.
//
// [Load] reads a form from its YAML and proves it; one definition serves the printed questionnaire, the
// form on a screen and the prompt in a terminal. README.md describes the dialect field by field.
package forms

import (
	"time"

	"philtrum/forms/measure"
	"philtrum/forms/source"

	"github.com/shopspring/decimal"
)

// Kind is what an answer to a question is.
type Kind string

// Kinds of questions.
const (
	YesNo     Kind = "yes_no"
	OneOf     Kind = "one_of"    // one of Options
	SomeOf    Kind = "some_of"   // none, one or more of Options; "none of these" is an empty choice
	DateKind  Kind = "date"      // a day, month or year
	Number    Kind = "number"    // a decimal with Unit
	Text      Kind = "text"      // the patient's words
	Medicines Kind = "medicines" // names, one per entry, free text
	Entries   Kind = "entries"   // a repeated group of Fields
)

// Form is a questionnaire.
type Form struct {
	ID       string
	Version  string
	Sections []Section
	Span     source.Span
}

// Section groups questions as a person tells their story. Its heading is the message "section.<ID>".
type Section struct {
	ID        string
	Questions []*Question
}

// Question is one question. Its words are the messages "question.<ID>", "question.<ID>.why" (why it is
// asked) and "question.<ID>.option.<option>"; fields of entries have ids "<question>.<field>".
type Question struct {
	ID      string
	Kind    Kind
	Options []string
	Fields  []*Question
	Unit    string // of numbers: "mg/dL", "kg", …
	// When is a CEL expression over other questions; the question is asked where it is true. Empty: always.
	When string
	// Irrelevant is what the question counts as once its When is proved false.
	Irrelevant Value
	// Ahead says that dates lie in the future (planned); otherwise they lie in the past.
	Ahead bool
	// NotApplicable offers "does not apply" as an answer, which counts as Irrelevant.
	NotApplicable bool
	ShelfLife     ShelfLife
	Checks        []Check
	// Visits lists the kinds of visit that ask it; empty: every cosmetic kind.
	Visits []string
	Span   source.Span
}

// ShelfLife is how long an answer holds, counted from the day it was given to the day of the appointment.
type ShelfLife struct {
	Always   bool // until somebody says otherwise
	OnTheDay bool // asked anew on the day of treatment
	Days     int
}

// Check is one of our own closed set of check words with its argument, as README.md lists them:
// required, least, most, longest, past, future, pattern-free words only.
type Check struct {
	Word string
	Arg  string
	Span source.Span
}

// Value is a given answer. Only the field of its kind is meaningful.
type Value struct {
	Kind    Kind
	Yes     bool
	Choice  string
	Choices []string
	Date    measure.PartialDate
	Number  decimal.Decimal
	Text    string
	Names   []string // of Medicines, as written
	Entries []Entry
	// NotApplicable is the answer "does not apply".
	NotApplicable bool
	// None is "no date", "no number", "no text": what such a question counts as once it is irrelevant.
	None bool
}

// Entry is one element of an Entries answer: an Answer for each field, by field name.
type Entry map[string]Answer

// State is what is known of an answer. A question without any answer was not asked.
type State string

// States of answers.
const (
	Given    State = "given"
	Unsure   State = "unsure"
	Declined State = "declined"
	Blank    State = "blank"
)

// Answer is what was answered, by whom, when and through what (paper, screen, speech, record). A Given
// answer has a Value. Replaced keeps the answers that it took the place of, newest first.
type Answer struct {
	State    State
	Value    Value
	By       string
	At       time.Time
	Via      string
	Why      string // of a change after a finding was shown
	Replaced []Answer
	Span     source.Span
}
