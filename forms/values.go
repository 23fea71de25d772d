package forms

import (
	"errors"
	"regexp"
	"time"

	"philtrum/forms/measure"
	"philtrum/forms/source"
)

// Values reads quantities out of a file through its Reader. Of private files (patients, visits) no problem
// repeats what was typed: the two readings of an ambiguous date would give the date away.
type Values struct {
	*source.Reader
	Private bool
	Zone    *time.Location // for times written without an offset
}

// Date reads a civil date; the zero Date if n is nil, empty or reported.
func (v Values) Date(n *source.Node) measure.Date {
	return read(v, n, measure.ParseDate)
}

// Partial reads a day, a month or a year; the zero PartialDate if n is nil, empty or reported.
func (v Values) Partial(n *source.Node) measure.PartialDate {
	return read(v, n, measure.ParsePartial)
}

// Volume reads millilitres; zero if n is nil, empty or reported.
func (v Values) Volume(n *source.Node) measure.Volume {
	return read(v, n, measure.ParseVolume)
}

// Dose reads milligrams; zero if n is nil, empty or reported.
func (v Values) Dose(n *source.Node) measure.Dose {
	return read(v, n, measure.ParseDose)
}

// Weight reads kilograms; zero if n is nil, empty or reported.
func (v Values) Weight(n *source.Node) measure.Weight {
	return read(v, n, measure.ParseWeight)
}

// Time reads a moment and gives it in Zone; the zero Time if n is nil, empty or reported.
func (v Values) Time(n *source.Node) time.Time {
	zone := v.Zone
	if zone == nil {
		zone = time.UTC
	}
	t := read(v, n, func(s string) (time.Time, error) { return measure.ParseTime(s, zone) })
	if t.IsZero() {
		return t
	}
	return t.In(zone)
}

// ID reads an identifier of letters, digits, dots, hyphens and underscores: it becomes part of paths.
func (v Values) ID(n *source.Node) string {
	s := v.Text(n)
	if s != "" && !IDPattern.MatchString(s) {
		v.Report(n, "problem.id", nil)
		return ""
	}
	return s
}

// IDPattern is what an identifier of a patient, visit, person or product looks like.
var IDPattern = regexp.MustCompile(`^[A-Za-z0-9][A-Za-z0-9_-]*(\.[A-Za-z0-9_-]+)*$`)

func read[T any](v Values, n *source.Node, parse func(string) (T, error)) T {
	var none T
	if n == nil || n.Kind == source.Empty {
		return none
	}
	if n.Kind != source.Scalar {
		v.Text(n) // reports the wrong shape
		return none
	}
	value, err := parse(n.Text)
	if err != nil {
		v.Wrong(n, err)
		return none
	}
	return value
}

// Wrong reports why the scalar n is not the quantity that was expected.
func (v Values) Wrong(n *source.Node, err error) {
	var wrong *measure.Wrong
	if !errors.As(err, &wrong) {
		v.Report(n, "problem.unreadable", nil)
		return
	}
	if private, gives := givesAway[wrong.ID]; v.Private && gives {
		v.Report(n, private, nil)
		return
	}
	v.Report(n, wrong.ID, wrong.Args)
}

// givesAway are the problems whose arguments tell what was typed, and what is said instead of them where
// that is private.
var givesAway = map[string]string{
	"problem.date_ambiguous": "problem.date_ambiguous_private",
	"problem.date_order":     "problem.date_form",
}
