package templates

import (
	"crypto/sha256"
	"fmt"
	"strings"
	"time"

	"philtrum/forms/measure"
	"philtrum/forms/source"
	"philtrum/locales"
	"philtrum/templates/layout"
	"philtrum/templates/outline"
)

// Messages of a calendar. They are read by whoever sees the patient's telephone or shares a calendar with
// them, so they say nothing of a treatment, a clinic or a body.
const (
	calendarLook       = "outline.calendar.look"
	calendarLookNote   = "outline.calendar.look_note"
	calendarLookDay    = "outline.calendar.look_day_note"
	calendarReview     = "outline.calendar.review"
	calendarReviewNote = "outline.calendar.review_note"
)

// Calendar gives what falls due after a treatment, from the dated lists of a paper and the day of the review:
// one entry for each end that the paper prints, in the words of the paper's language. There are none before the
// treatment has an end. Composed from the same template and facts as the paper, it can say nothing else.
func Calendar(p Paper) ([]outline.Entry, source.Problems) {
	c := &composer{paper: p, facts: &p.Facts, args: map[string][]string{}}
	if p.Clinic == nil {
		c.paper.Clinic = p.Printer
	}
	c.facts.kind, c.facts.version, c.facts.language = p.Template.Kind, p.Template.Version, p.Printer.Language().Name
	s := &scope{c: c}
	m := calendarMaker{scope: s}
	if c.facts.treatedAt().IsZero() {
		return nil, nil
	}
	m.blocks(p.Template.blocks)
	m.review()
	return m.out, c.problems
}

type calendarMaker struct {
	*scope
	out  []outline.Entry
	last []layout.Span // the "until" of the entry before
}

func (m *calendarMaker) blocks(all []*block) {
	for _, b := range all {
		if b.each != "" || !b.when.holds(m.scope) {
			continue
		}
		if dated, ok := b.body.(*datedBody); ok {
			m.dated(dated)
		}
		m.blocks(b.body.inner())
	}
}

// dated makes an entry for each end; what ends together is one entry.
func (m *calendarMaker) dated(b *datedBody) {
	for _, e := range b.entries(m.scope) {
		if e.open || e.end.IsZero() || plain(e.item.When) == plain(m.last) {
			continue
		}
		m.last = e.item.When
		entry, note := outline.Entry{UID: m.uid(plain(e.item.When)), Summary: m.say(calendarLook, nil)}, calendarLookNote
		if e.hours {
			entry.At, entry.Silent = e.end, atNight(e.end.In(m.c.facts.zone()))
		} else {
			entry.Day, note = civil(measure.DateOf(e.end, m.c.facts.zone())), calendarLookDay
		}
		entry.Note = m.say(note, locales.Args{"until": locales.Text(plain(e.item.When))})
		m.out = append(m.out, entry)
	}
}

// atNight is when nobody is to be woken by a reminder; common practice, no source.
func atNight(t time.Time) bool { return t.Hour() < 8 || t.Hour() >= 22 }

// review is of the day before: an appointment is prepared for. Where the reader has a second calendar, the note names
// the day in both.
func (m *calendarMaker) review() {
	on := m.c.facts.reviewOn()
	if on.IsZero() {
		return
	}
	note := m.say(calendarReviewNote, nil)
	if day := m.c.paper.Printer.DayInBoth(on.Year, int(on.Month), on.Day); day != "" {
		note += "\n" + day
	}
	m.out = append(m.out, outline.Entry{
		UID: m.uid("review"), Day: civil(on), Lead: 24, Summary: m.say(calendarReview, nil), Note: note,
	})
}

func civil(d measure.Date) time.Time { return time.Date(d.Year, d.Month, d.Day, 0, 0, 0, 0, time.UTC) }

func (m *calendarMaker) say(id string, args locales.Args) string {
	return strings.ReplaceAll(plain(m.message(id, args, false)), "\u00a0", " ")
}

// uid is a UUID of version 8 (RFC 9562 section 5.8) over the visit, its salt and the entry: an entry keeps it,
// and nobody can tell a visit by it.
func (m *calendarMaker) uid(what string) string {
	v := m.c.facts.Visit
	b := sha256.Sum256([]byte("calendar\n" + v.Salt + "\n" + v.ID + "\n" + what))
	b[6], b[8] = b[6]&0x0f|0x80, b[8]&0x3f|0x80
	return fmt.Sprintf("%x-%x-%x-%x-%x", b[0:4], b[4:6], b[6:8], b[8:10], b[10:16])
}
