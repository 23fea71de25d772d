// Package measure holds the quantities of a record: volumes, doses, civil and partial dates, times.
//
// Volumes and doses are exact decimals. A civil date has no zone, a time always has one, and a partial
// date may be a year or a month and counts at its least favourable end. Readers accept what people write
// (0.5 and 0,5; 2026-03-04) and refuse what reads two ways (03/04/2026).
package measure

import (
	"time"

	"github.com/shopspring/decimal"
)

// Volume is an amount of liquid in millilitres, to the microlitre, never below zero.
type Volume struct{ mL decimal.Decimal }

// Dose is an amount of a substance in milligrams, never below zero.
type Dose struct{ mg decimal.Decimal }

// Date is a day of the civil calendar, without a zone. The zero Date is no date.
type Date struct {
	Year  int
	Month time.Month
	Day   int
}

// PartialDate is a year, a month of a year, or a day. Month and Day are 0 where unknown.
type PartialDate struct{ Year, Month, Day int }

// Wrong says why a text is not the quantity that was expected; ID names a message in locales, Args its
// placeholders (never the text itself).
type Wrong struct {
	ID   string
	Args map[string]any
}
