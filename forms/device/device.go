// Package device reads the carrier of a unique device identification: what a scanner types from the code on
// a box, or what a person copies from beneath it. It knows the four agencies whose codes may stand on a
// device in Europe or the United States: GS1 (element strings, raw or in brackets, and Digital Link),
// HIBCC, ICCBBA and IFA.
//
// Nothing is refused. Whatever breaks a standard is remarked upon, and the lot is kept all the same: a record
// of what was injected needs it more than a check character.
package device

import (
	"regexp"
	"strings"

	"philtrum/forms/measure"
)

// Agency is who issued the code. The zero Agency is one that is not known here.
type Agency string

// Agencies.
const (
	GS1    Agency = "gs1"
	HIBCC  Agency = "hibcc"
	ICCBBA Agency = "iccbba"
	IFA    Agency = "ifa"
)

// Form is how a carrier is written. The zero Form is none that is known here.
type Form string

// Forms of carriers. Those of GS1 are the element string as in the symbol, the same for reading by people,
// a Digital Link, and a GTIN alone; the other agencies have one form each, or one in an envelope of
// ISO/IEC 15434.
const (
	ElementString Form = "element_string"
	Bracketed     Form = "bracketed"
	DigitalLink   Form = "digital_link"
	BareGTIN      Form = "gtin"
	Plain         Form = "plain"
	Envelope      Form = "envelope"
)

// Carrier is what a code says.
type Carrier struct {
	Agency    Agency
	Form      Form
	Symbology string // symbology identifier of ISO/IEC 15424 before the code, "]d2"; mostly not sent

	DeviceIdentifier string // of GS1 the GTIN, 14 digits unless too few were typed
	Lot, Serial      string
	Expiry, Made     measure.Date
	ExpiryText       string // the digits in the code, also where they are no date
	MadeText         string
	ExpiryDayOpen    bool // the code gives a month; Expiry is its last day
	Variant          string
	Quantity         string // digits

	Elements []Element // everything in the code, in its order
	Exact    string    // the code as typed, without the end of the line
	Remarks  []Remark
}

// Element is one piece of data with its identifier: an AI of GS1 ("10"), or the data identifier of
// another agency ("$$3", "=>", "1T"). ID is empty for text that stands under none.
type Element struct{ ID, Value string }

// Level says how much a remark weighs.
type Level string

// Levels of remarks.
const (
	Fault Level = "fault" // the code breaks its standard
	Doubt Level = "doubt" // it may not mean what it says
	Note  Level = "note"  // how it was read
)

// Remark is something to know about a code. ID names a message, Args its placeholders: string, []string or
// measure.Date.
type Remark struct {
	ID    string
	Level Level
	Args  map[string]any
}

// Others are the elements that no field of the carrier holds.
func (c Carrier) Others() []Element {
	var list []Element
	for _, e := range c.Elements {
		if !held[e.ID] {
			list = append(list, e)
		}
	}
	return list
}

// held are the identifiers whose whole content is in a field of Carrier.
var held = map[string]bool{
	"01": true, "10": true, "11": true, "17": true, "20": true, "21": true, "30": true, "37": true,
	"+": true, "$": true, "$+": true, "$$": true, "$$+": true, "/S": true, "/16D": true, "/14D": true, "/Q": true,
	"=/": true, "=,": true, "=>": true, "=}": true, "=)": true, "&,1": true, "&)": true,
	"9N": true, "1T": true, "D": true, "16D": true, "S": true,
}

// Faulty says whether the code breaks its standard.
func (c Carrier) Faulty() bool {
	for _, r := range c.Remarks {
		if r.Level == Fault {
			return true
		}
	}
	return false
}

// reader fills a carrier. Years of two or three digits are read as of year.
type reader struct {
	Carrier
	year int
	seen map[string]string // value by identifier
}

// Read reads a code as of a calendar year, which decides the century of its dates. It reads anything: a code
// that nobody knows comes back with its exact text and a remark.
func Read(text string, year int) Carrier {
	r := &reader{year: year, seen: map[string]string{}}
	r.Exact = strings.TrimRight(text, "\r\n")
	if len(r.Exact) > fullest {
		r.remark(Fault, "unrecognised", nil)
		return r.Carrier
	}
	body := strings.TrimLeft(r.Exact, around)
	if symbology.MatchString(body) {
		r.Symbology, body = body[:3], body[3:]
	}
	r.read(body)
	return r.Carrier
}

// fullest is more than any symbol holds: a QR Code of version 40 takes 7089 digits (ISO/IEC 18004, from memory).
// Longer texts are no codes and are not taken apart.
const fullest = 8192

// around is what scanners and clipboards put around a code: blanks, ends of line, STX, ETX, a byte order mark.
const around = " \t\r\n\x02\x03\ufeff"

var (
	symbology = regexp.MustCompile(`^\][A-Za-z][0-9A-Za-z]`)
	link      = regexp.MustCompile(`(?i)^https?://|^[a-z][a-z0-9.-]*\.[a-z]+/`)
	pzn       = regexp.MustCompile(`^-([0-9]{8})$`)
	bracketAI = regexp.MustCompile(`\(([0-9]{2,4})\)`)
)

// read tells the agencies apart by the first characters (HL7 v2.9, PRT-10), envelopes and links besides.
func (r *reader) read(body string) {
	trimmed := strings.TrimRight(body, around)
	switch {
	case strings.HasPrefix(body, "+"), strings.HasPrefix(body, "*+"):
		r.hibc(strings.TrimRight(body, "\r\n\t\x03"))
	case strings.HasPrefix(body, "="), strings.HasPrefix(body, "&"):
		r.iccbba(trimmed)
	case strings.HasPrefix(body, "[)>"):
		r.envelope(trimmed)
	case link.MatchString(body):
		r.digitalLink(trimmed)
	case pzn.MatchString(trimmed):
		r.pzn(trimmed[1:])
	case strings.HasPrefix(body, "("), bracketAI.MatchString(body) && !r.readsRaw(trimmed):
		r.bracketed(trimmed)
	default:
		r.plainGS1(trimmed)
	}
}

// mostRemarks bounds what is said of a text that is wrong throughout.
const mostRemarks = 50

func (r *reader) remark(level Level, id string, args map[string]any) {
	if len(r.Remarks) >= mostRemarks {
		return
	}
	r.Remarks = append(r.Remarks, Remark{ID: "scan." + id, Level: level, Args: args})
}

// once is remark for what would be said again and again of a hostile text.
func (r *reader) once(level Level, id string, args map[string]any) {
	for _, known := range r.Remarks {
		if known.ID == "scan."+id {
			return
		}
	}
	r.remark(level, id, args)
}

// keep holds on to an element. Of an identifier that comes twice the first value counts.
func (r *reader) keep(id, value string) (first bool) {
	r.Elements = append(r.Elements, Element{id, value})
	if before, twice := r.seen[id]; twice && id != "" {
		if before != value {
			r.once(Fault, "twice", map[string]any{"id": id})
		}
		return false
	}
	r.seen[id] = value
	return true
}

// longest of texts that remarks and searches take; a code on a device is shorter by far.
const longest = 200

// short cuts a text that goes into a remark.
func short(s string) string {
	if runes := []rune(s); len(runes) > longest {
		return string(runes[:longest]) + "…"
	}
	return s
}
