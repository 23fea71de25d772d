package outline

import (
	"strconv"
	"strings"
	"time"
	"unicode/utf8"
)

// Entry is one entry of a calendar. It either has a moment, or it is of a civil day in whatever zone the reader
// is in.
type Entry struct {
	UID     string // the same whenever the entry is made anew, so that a calendar replaces it
	At      time.Time
	Day     time.Time // midnight UTC of the day, where At is zero
	Summary string
	Note    string
	Lead    int  // hours before it at which it reminds; at its own time if 0
	Silent  bool // it does not remind
}

// Calendar writes entries as an iCalendar stream (RFC 5545): lines end in CRLF and are folded at 75 octets,
// never inside a character. stamp is DTSTAMP, when what the entries say was settled; lang is the language of
// their words.
//
// Moments are in UTC (the form of RFC 5545 section 3.3.5 that needs no VTIMEZONE): they are counted in hours
// from a treatment, so that they are the same instant wherever the phone is, and a table of a zone's clock
// changes in the file could only be wrong. Days have no zone.
//
// Entries are private (CLASS) and take no time (TRANSP). The order of entries is kept.
func Calendar(entries []Entry, stamp time.Time, lang string) []byte {
	w := &calendarWriter{}
	w.line("BEGIN:VCALENDAR")
	w.line("VERSION:2.0")
	w.line("PRODID:-//papers//calendar 1//EN") // no name that says what kind of clinic it is of
	w.line("CALSCALE:GREGORIAN")
	for _, e := range entries {
		w.entry(e, stamp, lang)
	}
	w.line("END:VCALENDAR")
	return []byte(w.out.String())
}

type calendarWriter struct{ out strings.Builder }

const (
	momentForm = "20060102T150405Z"
	dayForm    = "20060102"
)

func (w *calendarWriter) entry(e Entry, stamp time.Time, lang string) {
	w.line("BEGIN:VEVENT")
	w.line("UID:" + escaped(e.UID))
	w.line("DTSTAMP:" + stamp.UTC().Format(momentForm))
	if e.At.IsZero() {
		w.line("DTSTART;VALUE=DATE:" + e.Day.Format(dayForm))
	} else {
		w.line("DTSTART:" + e.At.UTC().Format(momentForm))
	}
	w.words("SUMMARY", e.Summary, lang)
	w.words("DESCRIPTION", e.Note, lang)
	w.line("CLASS:PRIVATE")
	w.line("TRANSP:TRANSPARENT")
	if !e.Silent {
		w.alarm(e, lang)
	}
	w.line("END:VEVENT")
}

func (w *calendarWriter) alarm(e Entry, lang string) {
	w.line("BEGIN:VALARM")
	w.line("ACTION:DISPLAY")
	w.words("DESCRIPTION", e.Summary, lang)
	w.line("TRIGGER:" + trigger(e))
	w.line("END:VALARM")
}

// morning is when an entry of a day reminds, in hours after its midnight.
const morning = 9

// trigger is the reminder's distance from the start. That of a day counts from its midnight, so it is set to
// the morning.
func trigger(e Entry) string {
	hours := -e.Lead
	if e.At.IsZero() {
		hours += morning
	}
	if hours < 0 {
		return "-PT" + strconv.Itoa(-hours) + "H"
	}
	return "PT" + strconv.Itoa(hours) + "H"
}

func (w *calendarWriter) words(name, text, lang string) {
	if text == "" {
		return
	}
	if lang != "" {
		name += ";LANGUAGE=" + lang
	}
	w.line(name + ":" + escaped(text))
}

// escaped is TEXT of RFC 5545 section 3.3.11; control characters, which it does not allow, are left out.
func escaped(s string) string {
	var b strings.Builder
	for _, r := range strings.ReplaceAll(s, "\r\n", "\n") {
		switch {
		case r == '\\' || r == ';' || r == ',':
			b.WriteByte('\\')
			b.WriteRune(r)
		case r == '\n':
			b.WriteString(`\n`)
		case r < 0x20 && r != '\t' || r == 0x7f:
		default:
			b.WriteRune(r)
		}
	}
	return b.String()
}

// mostOctets is the longest line of RFC 5545 section 3.1, without its CRLF.
const mostOctets = 75

// line folds a content line: each further line begins with a space, which counts.
func (w *calendarWriter) line(s string) {
	room := mostOctets
	for len(s) > room {
		cut := room
		for cut > 0 && !utf8.RuneStart(s[cut]) {
			cut--
		}
		if cut == 0 { // not UTF-8; cutting octets is all that is left
			cut = room
		}
		w.out.WriteString(s[:cut] + "\r\n ")
		s, room = s[cut:], mostOctets-1
	}
	w.out.WriteString(s + "\r\n")
}
