package forms

import (
	"errors"
	"regexp"
	"time"

	"philtrum/forms/measure"
	"philtrum/forms/source"
)

// Values reads quantities out of a file through its Reader. Private files (patients, visits) report no
// more than that a value cannot be read: the readings of an ambiguous date would give the date away.
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
	switch {
	case !errors.As(err, &wrong):
		v.Report(n, "problem.unreadable", nil)
	case v.Private && len(wrong.Args) > 0:
		v.Report(n, "problem.unreadable", nil)
	default:
		v.Report(n, wrong.ID, wrong.Args)
	}
}
