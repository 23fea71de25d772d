// Package booking reads the list of visits that a booking system exports: separated text of any delimiter and
// encoding, or a workbook. It finds the headings, judges the order of day and month from whole columns, and
// says of everything that it could not read what a person has to tell it. It knows no patients: it gives rows.
package booking

import (
	"bytes"
	"time"

	"philtrum/forms/measure"
)

// Bounds of a list. More than this is no list of visits.
const (
	MostBytes = 32 << 20
	MostRows  = 20000
	mostCells = 256
)

// Options are what a person or the clinic's mapping says about a list beforehand.
type Options struct {
	// Columns gives the heading of a field as the list writes it; other fields are found by their usual headings.
	Columns map[Field]string
	// Order of day and month: DayMonth, MonthDay or "" to judge it from the columns.
	Order Order
	// Encoding is a name of the WHATWG Encoding Standard ("windows-1250"), or "" to judge it from the bytes.
	Encoding string
	// Sheet of a workbook; "" takes the first that holds a list.
	Sheet string
	// Kinds, Languages: what the list's own words mean here ("Lippen 1 ml": "treatment", "poln.": "pl").
	Kinds, Languages map[string]string
	// Statuses: what the list says has become of a visit: [Stands] or [Cancelled].
	Statuses map[string]string
	// Months are names of months in any language, folded by [Fold], with their number.
	Months map[string]time.Month
	// Day of all visits, where the list has no column for it.
	Day measure.Date
	// Today tells years of two digits apart: nobody is born later.
	Today measure.Date
}

// Field is what a column holds.
type Field string

// The fields that are read. Every other column is left alone, and named.
const (
	Reference    Field = "reference" // the booking system's own id of the appointment
	Name         Field = "name"
	Given        Field = "given"
	Family       Field = "family"
	Born         Field = "born"
	On           Field = "date"
	Time         Field = "time"
	Moment       Field = "date_time"
	Telephone    Field = "telephone"
	Email        Field = "email"
	Language     Field = "language"
	Kind         Field = "kind"
	Practitioner Field = "practitioner"
	Status       Field = "status"
)

// Fields in the order in which lists are shown.
var Fields = []Field{Reference, On, Time, Moment, Name, Given, Family, Born, Telephone, Email, Language, Kind, Practitioner, Status}

// What a list can say has become of a visit.
const (
	Stands    = "stands"
	Cancelled = "cancelled" // also: nobody came
)

// Order is the order of day and month in the dates of a list.
type Order string

// The orders that leave a choice; a date that begins with its year has none.
const (
	DayMonth Order = "day-month"
	MonthDay Order = "month-day"
)

// List is a list as it was read.
type List struct {
	Encoding  string // of separated text
	Delimiter string // one character, or "" for a workbook
	Sheet     string
	Heading   int // line of the headings, counted from 1
	Columns   []Column
	Ignored   []string // headings of columns that are not read
	Rows      []Row
	Skipped   []Skipped
	Doubts    []Doubt // about the whole list
}

// Column is a column that is read.
type Column struct {
	Field   Field
	Heading string
	// Order in which its dates are read, "" if they leave no choice; Judged is the line whose date decides it,
	// 0 where another column or a person said so.
	Order  Order
	Judged int
	at     int
}

// Row is one visit of the list.
type Row struct {
	Line                int
	Reference           string
	Name, Given, Family string // Name is the whole name where the list does not part it
	Born                measure.Date
	On                  measure.Date
	Hour, Minute        int
	HasTime             bool
	Telephone, Email    string
	Language            string // BCP 47
	Kind                string // one of the kinds of visits
	Practitioner        string // as written
	Cancelled           bool   // by what stands under a heading like "Status"
	Doubts              []Doubt
}

// Doubt is what a person has to settle: a message booking.<ID>. Private args hold what a list says of a person.
type Doubt struct {
	ID    string
	Field Field
	Args  map[string]any
}

// Skipped is a line that holds no visit.
type Skipped struct {
	Line   int
	Reason string // empty, heading, total, day (of the lines below), double
}

// Read reads a list. What the file is comes from its bytes, never from its name. An error means that nothing
// could be read; everything less is a doubt.
func Read(data []byte, o Options) (List, error) {
	if len(data) > MostBytes {
		return List{}, ErrTooLarge
	}
	words, err := vocabulary()
	if err != nil {
		return List{}, err
	}
	list := List{}
	var grid []line
	if bytes.HasPrefix(data, []byte("PK\x03\x04")) {
		list.Sheet, grid, err = workbook(data, o, words)
	} else {
		grid, err = list.text(data, o, words)
	}
	if err != nil {
		return list, err
	}
	r := reader{List: &list, words: words, options: o}
	r.read(grid)
	return list, nil
}

// text reads separated text. Of encodings that the bytes leave open, the one is taken under which most headings
// are known, and a person has to confirm it by the letters that it gives.
func (l *List) text(data []byte, o Options, words *words) (grid []line, err error) {
	if foreign(data) {
		return nil, ErrWorkbook
	}
	text, name, err := decode(data, o.Encoding)
	if err != nil {
		return nil, err
	}
	open := name == guessed
	if open {
		if text, name, err = guess(data, words, o.Columns); err != nil {
			return nil, err
		}
		l.Doubts = append(l.Doubts, Doubt{ID: "encoding", Args: map[string]any{"encoding": name, "letters": letters(text)}})
	}
	l.Encoding = name
	l.Delimiter, grid, err = separated(text, words, o.Columns)
	return grid, err
}

// Unclear says whether a person has to settle anything before the list is entered.
func (l List) Unclear() bool {
	for _, row := range l.Rows {
		if len(row.Doubts) > 0 {
			return true
		}
	}
	return len(l.Doubts) > 0
}
