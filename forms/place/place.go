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

// Place is one country or nation ("GB-ENG", "SE"); Unknown has the strictest defaults.
type Place struct {
	Code        string
	Known       bool
	AgeFloor    Fact // years
	Reflection  Reflection
	Emergency   Fact   // number to dial
	Reporting   []Fact // message ids or names of routes for reporting incidents
	RetainYears Fact
}

// Fact is a value with where it comes from.
type Fact struct {
	Value    string
	Standing Standing
	Source   string
	Trust    string // read, secondary, memory, practice
	From, To measure.Date
}

// Reflection is the time that must pass: Days whole days from information to consent or to the procedure
// (Before says which); a treatment of the same type within RepeatMonths needs no new period.
type Reflection struct {
	Fact
	Days         int
	Before       string // "consent" or "procedure"
	RepeatMonths int
}
