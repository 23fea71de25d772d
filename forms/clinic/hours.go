package clinic

import (
	"strings"
	"time"

	"philtrum/forms/measure"
	"philtrum/forms/source"
)

// Weekdays are the days of the week as clinic.yaml names them, Sunday first as in package time.
var Weekdays = []string{"sunday", "monday", "tuesday", "wednesday", "thursday", "friday", "saturday"}

// Hours are a clinic's opening hours and the days on which it is closed all the same.
type Hours struct {
	// Open holds, by weekday (Sunday first), when the clinic is open; empty on a weekday that it is closed.
	Open   [7]string // "09:00-17:30"
	Known  bool      // hours were written down; otherwise every day counts as open
	Closed []Closure
}

// Closure is a holiday or other stretch of days on which the clinic is closed, both days included.
type Closure struct{ From, To measure.Date }

// farthest bounds the search for an open day: beyond it nobody would call the day of a review moved.
const farthest = 60

// OpenOn says whether the clinic is open on a day.
func (h Hours) OpenOn(day measure.Date) bool {
	weekday := time.Date(day.Year, day.Month, day.Day, 0, 0, 0, 0, time.UTC).Weekday()
	if h.Known && h.Open[weekday] == "" {
		return false
	}
	for _, c := range h.Closed {
		if !day.Before(c.From) && !day.After(c.To) {
			return false
		}
	}
	return true
}

// NextOpen is the day itself where the clinic is open on it, otherwise the next day on which it is. Where the
// clinic is closed for the following 60 days, the day stays as it is: somebody has to look at it. It serves days
// of reviews; medical windows are never bent.
func (h Hours) NextOpen(day measure.Date) measure.Date {
	for n := range farthest {
		if next := day.AddDays(n); h.OpenOn(next) {
			return next
		}
	}
	return day
}

// hours reads the keys hours and closed.
func (v reader) hours(f source.Fields) Hours {
	var h Hours
	if n := f.Get("hours"); n != nil {
		h.Known = true
		fields := v.Fields(n, Weekdays...)
		for i, name := range Weekdays {
			h.Open[i] = v.stretch(fields.Get(name))
		}
	}
	for _, item := range v.List(f.Get("closed")) {
		h.Closed = append(h.Closed, v.closure(item))
	}
	return h
}

// stretch reads "09:00-17:30"; several are parted by commas.
func (v reader) stretch(n *source.Node) string {
	text := v.Text(n)
	if n == nil || text == "" {
		return ""
	}
	for part := range strings.SplitSeq(text, ",") {
		from, to, ok := strings.Cut(strings.TrimSpace(part), "-")
		a, errA := time.Parse("15:04", strings.TrimSpace(from))
		b, errB := time.Parse("15:04", strings.TrimSpace(to))
		if !ok || errA != nil || errB != nil || !a.Before(b) {
			v.Report(n, "problem.opening_hours", nil)
			return ""
		}
	}
	return text
}

// closure reads a day, or a mapping {from, to}.
func (v reader) closure(n *source.Node) Closure {
	if n == nil || n.Kind != source.Mapping {
		day := v.Date(n)
		return Closure{day, day}
	}
	f := v.Fields(n, "from", "to")
	c := Closure{v.Date(f.Need("from")), v.Date(f.Need("to"))}
	if c.To.Before(c.From) && !c.To.IsZero() {
		v.Report(f.Get("to"), "problem.dates_reversed", nil)
	}
	return c
}
