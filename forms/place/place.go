// Package place holds what differs by country or nation: the age floor, reflection periods, emergency and
// reporting numbers, retention; each row with its source, trust, standing (law, duty or practice) and the
// dates between which it holds.
package place

import "philtrum/forms/measure"

// Standing is the force of a row.
type Standing string

// Standings.
const (
	Law      Standing = "law"
	Duty     Standing = "duty"
	Practice Standing = "practice"
)

// Floor is the age below which nobody is treated, anywhere, whatever a place allows.
const Floor = 18

// Place is one country or nation ("GB-ENG", "SE") as of a day; where Known is false it has the strictest
// values of all.
type Place struct {
	Code        string
	Known       bool
	AgeFloor    Fact // years, never below Floor
	Reflection  Reflection
	Emergency   Fact   // number to dial
	Reporting   []Fact // message ids of routes for reporting incidents
	RetainYears Fact
	// Consent says who may take consent and what it needs: message ids.
	Consent []Fact
	// Notes are message ids of what else a practitioner there should know.
	Notes []Fact
}

// Fact is a value with where it comes from.
type Fact struct {
	Value    string
	Standing Standing
	Source   string
	Trust    string // read, secondary, memory, practice
	From, To measure.Date
}

// Holds says whether the fact holds on a day; both dates belong to it, and a zero date is open.
func (f Fact) Holds(day measure.Date) bool {
	return (f.From.IsZero() || !day.Before(f.From)) && (f.To.IsZero() || !day.After(f.To))
}

// Reflection is the time that must pass: Days whole days from information to consent or to the procedure
// (Before says which); a treatment of the same type within RepeatMonths needs no new period.
type Reflection struct {
	Fact
	Days         int
	Before       string // "consent" or "procedure"
	RepeatMonths int
}
