package outline_test

import (
	"bytes"
	"strings"
	"testing"
	"time"
	"unicode/utf8"

	"philtrum/templates/layout"
	"philtrum/templates/outline"

	"pgregory.net/rapid"
)

var stamp = time.Date(2026, 12, 4, 14, 30, 0, 0, time.UTC)

// Lines end in CRLF, have at most 75 octets, are folded between characters, and unfold to what was folded
// (RFC 5545 section 3.1).
func TestCalendarLinesAreFoldedByOctets(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		summary := rapid.String().Draw(t, "summary")
		note := rapid.StringOfN(rapid.SampledFrom([]rune("aé漢🙂,;\\\n ")), 0, 200, -1).Draw(t, "note")
		data := outline.Calendar([]outline.Entry{{UID: "1", At: stamp, Summary: summary, Note: note}}, stamp, "en")
		if !bytes.HasSuffix(data, []byte("END:VCALENDAR\r\n")) {
			t.Fatalf("does not end in a line: %q", data)
		}
		text := strings.TrimSuffix(string(data), "\r\n")
		for _, line := range strings.Split(text, "\r\n") {
			if len(line) > 75 {
				t.Errorf("%d octets: %q", len(line), line)
			}
			if !utf8.ValidString(line) && utf8.ValidString(summary) {
				t.Errorf("folded inside a character: %q", line)
			}
			for _, c := range []byte(line) {
				if c < 0x20 && c != '\t' || c == 0x7f {
					t.Errorf("a control character stands in %q", line)
				}
			}
		}
		unfolded := strings.ReplaceAll(text, "\r\n ", "")
		for _, line := range strings.Split(unfolded, "\r\n") {
			if value, ok := strings.CutPrefix(line, "DESCRIPTION;LANGUAGE=en:"); ok && note != "" && line != "DESCRIPTION;LANGUAGE=en:"+value {
				t.Errorf("%q", line)
			}
		}
		if note != "" && !strings.Contains(unfolded, "DESCRIPTION;LANGUAGE=en:"+strings.NewReplacer(`\`, `\\`, ";", `\;`, ",", `\,`, "\n", `\n`).Replace(note)) {
			t.Errorf("the note does not come back: %q", unfolded)
		}
	})
}

// What RFC 5545 sections 3.4, 3.6 and 3.6.1 ask of a stream stands there once, in its form.
func TestCalendarHasWhatTheStandardAsks(t *testing.T) {
	day := time.Date(2026, 12, 18, 0, 0, 0, 0, time.UTC)
	london, err := time.LoadLocation("Europe/London")
	if err != nil {
		t.Fatal(err)
	}
	got := string(outline.Calendar([]outline.Entry{
		{UID: "a", At: time.Date(2026, 7, 4, 18, 30, 0, 0, london), Summary: "one"},
		{UID: "b", Day: day, Summary: "two; three, four", Lead: 24},
	}, stamp, "en-GB"))
	want := strings.ReplaceAll(`BEGIN:VCALENDAR
VERSION:2.0
PRODID:-//papers//calendar 1//EN
CALSCALE:GREGORIAN
BEGIN:VEVENT
UID:a
DTSTAMP:20261204T143000Z
DTSTART:20260704T173000Z
SUMMARY;LANGUAGE=en-GB:one
CLASS:PRIVATE
TRANSP:TRANSPARENT
BEGIN:VALARM
ACTION:DISPLAY
DESCRIPTION;LANGUAGE=en-GB:one
TRIGGER:PT0H
END:VALARM
END:VEVENT
BEGIN:VEVENT
UID:b
DTSTAMP:20261204T143000Z
DTSTART;VALUE=DATE:20261218
SUMMARY;LANGUAGE=en-GB:two\; three\, four
CLASS:PRIVATE
TRANSP:TRANSPARENT
BEGIN:VALARM
ACTION:DISPLAY
DESCRIPTION;LANGUAGE=en-GB:two\; three\, four
TRIGGER:-PT15H
END:VALARM
END:VEVENT
END:VCALENDAR
`, "\n", "\r\n")
	if got != want {
		t.Errorf("got:\n%s\nwant:\n%s", got, want)
	}
}

func spans(s string) []layout.Span { return []layout.Span{{Text: s}} }

func sampleDocument() layout.Document {
	return layout.Document{
		Lang: "ar", Direction: layout.RightToLeft, Title: "عنوان",
		Head: layout.Furniture{Start: spans("head"), End: []layout.Span{{Text: "page "}, {Page: true}}},
		Blocks: []layout.Block{
			&layout.Title{Text: spans("<Title> & more")},
			&layout.Heading{Level: 4, Text: spans("deep")},
			&layout.Panel{Tone: layout.ToneWarning, Blocks: []layout.Block{
				&layout.Heading{Level: 2, Text: spans("Call")},
				&layout.Paragraph{Role: layout.RoleNumber, Text: []layout.Span{{Text: "+44 1632 960999", Value: true, Field: "clinic.night_telephone"}}},
			}},
			&layout.Grid{Columns: 2, Items: []layout.GridItem{{Label: spans("Name"), Value: []layout.Span{{Text: "Ana <b>", Value: true, Field: "patient.name"}}}, {Label: spans("Lot")}}},
			&layout.Dated{Items: []layout.DatedItem{{When: spans("Until 5"), Texts: [][]layout.Span{spans("one")}}, {When: spans("Until 5"), Texts: [][]layout.Span{spans("two")}}}},
			&layout.Table{Columns: []layout.Column{{Head: spans("When")}, {Head: spans("What")}},
				Rows: []layout.Row{{Header: true, Cells: []layout.Cell{{Text: spans("now")}, {Text: spans("call")}}}}},
			&layout.Choices{Items: []layout.Choice{{Text: spans("Choose"), Boxes: [][]layout.Span{spans("yes")}}}},
			&layout.Signature{Meaning: spans("I agree"), Fields: []layout.SignField{{Label: spans("Date")}}},
			&layout.Card{Faces: [][]layout.Block{{&layout.Paragraph{Text: spans("front")}}}},
			&layout.Figure{Alt: "told in words"},
		},
	}
}

// Text says every word, gives each date once, keeps values from turning in a text that reads from the right,
// and leaves pages out.
func TestTextSaysWhatThePaperSays(t *testing.T) {
	got := outline.Text(sampleDocument())
	for _, want := range []string{"head\n", "<Title> & more\n==============\n", "\u2068+44 1632 960999\u2069", "Name: \u2068Ana <b>\u2069\n", "Lot: ________\n",
		"Until 5\n  - one\n  - two\n", "- now\n  What: call\n", "[ ] Choose", "Date: ________", "front", "told in words"} {
		if !strings.Contains(got, want) {
			t.Errorf("no %q in:\n%s", want, got)
		}
	}
	if strings.Contains(got, "page ") || strings.Contains(got, "\n\n\n") || strings.Contains(got, "\r") {
		t.Errorf("a page's number, a gap of two lines or a carriage return stands in:\n%s", got)
	}
}

// HTML says its language and direction, escapes what people typed, skips no level of headings, dials telephone
// numbers only, and asks for nothing from outside.
func TestHTMLStandsAlone(t *testing.T) {
	got := outline.HTML(sampleDocument())
	for _, want := range []string{`<html lang="ar" dir="rtl">`, "<h1>&lt;Title&gt; &amp; more</h1>", "<h2>deep</h2>", "<bdi>Ana &lt;b&gt;</bdi>",
		`<a href="tel:+441632960999">`, `<section class="panel warning" aria-labelledby="p1">`, "<main>", "<footer>", `data-head="What: "`} {
		if !strings.Contains(got, want) {
			t.Errorf("no %q in:\n%s", want, got)
		}
	}
	for _, foreign := range []string{"<script", "src=", "url(", "http:", "https:", "@import"} {
		if strings.Contains(got, foreign) {
			t.Errorf("%q stands in the page", foreign)
		}
	}
	if strings.Count(got, "href=") != 1 || strings.Count(got, "<dt>Until 5</dt>") != 1 {
		t.Errorf("one number and one date are expected in:\n%s", got)
	}
}
