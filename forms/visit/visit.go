// Package visit holds what a clinic keeps of a patient and an attendance: identity and languages, the
// visit's kind and time, the decisions, the plan, the treatment, what was handed over and what became of
// the consent.
package visit

import (
	"time"

	"philtrum/forms/measure"
	"philtrum/forms/source"
)

// Patient is patients/<id>.yaml.
type Patient struct {
	ID             string // opaque
	Number         string // opaque number for lists and arguments
	Given, Family  string
	Display        string // name in the patient's own order; empty: Given Family
	Born           measure.Date
	Sex            string
	Address        []string
	Telephone      string
	Email          string
	Speaks         string // BCP 47
	Reads          string // BCP 47; "none" if they read no language
	Interpreter    Interpreter
	Needs          []string // large_print, read_aloud, …
	Alerts         []string
	Representative string
	Span           source.Span
}

// Interpreter is whether one is needed and in which language.
type Interpreter struct {
	Needed   bool
	Language string
}

// Kind is the kind of an attendance.
type Kind string

// Kinds of visits. No cosmetic rule stands before dissolving in an emergency, a complication or a call.
const (
	Consultation Kind = "consultation"
	Treatment    Kind = "treatment"
	Review       Kind = "review"
	Dissolving   Kind = "dissolving"
	Complication Kind = "complication"
	Call         Kind = "call"
)

// Visit is visits/<year>/<id>/visit.yaml.
type Visit struct {
	ID            string
	Patient       string
	Kind          Kind
	Emergency     bool // of dissolving
	Appointment   time.Time
	Practitioner  string
	After         string // the earlier visit of the course
	Course        string // the plan over several sessions that this visit continues
	Zone          *time.Location
	Form          Version
	Rules         Version
	Salt          string
	Booking       string // the id that the clinic's booking system gave
	IdentitySeen  *IdentitySeen
	Answers       *source.Node // read by forms/intake against the form
	Answered      Answered
	Interpreter   *InterpreterAttends
	Stay          Stay
	Shown         []Shown
	Decisions     []Decision
	Met           []Condition
	Plan          Plan
	Handed        []Handed
	States        []StateChange
	Treatment     *Given
	Review        *Reviewed
	Amendments    []Amendment // of the treatment or the review, oldest first
	Letter        *Letter     // to the family doctor; nil: the patient was not asked
	Papers        []Paper
	Returned      []Returned // questionnaires, in the order in which they came back
	Sheets        []Sheet    // pages of evidence, in the order in which they were attached
	Confirmations []Confirmation
	Photographs   []Photograph
	WrittenIn     []WrittenIn // sentences of the staff that are not in the clinic's language
	Span          source.Span
}

// Version names the form or rules that a visit was made with.
type Version struct{ ID, Version string }

// Answered is who answered, when and how, for answers that do not say it themselves.
type Answered struct {
	By, Via string
	At      time.Time
}

// IdentitySeen is the document by which age and identity were checked.
type IdentitySeen struct {
	Document, By string
	On           measure.Date
}

// InterpreterAttends is the interpreter of this visit.
type InterpreterAttends struct {
	Name, Number, Language, Mode string
	// Qualified is "yes", "no" (family, friends; never children) or "" where nobody recorded it.
	Qualified string
}

// Shown records that a finding behind an answer was shown to somebody: from then on another answer to the
// question is a change that is asked about and decided. Digest is [Digest] of the answer as it was.
type Shown struct {
	Question, Digest string
	At               time.Time
}

// Decision is what a practitioner decided on a finding. Digest is of the answers that it judged;
// another digest voids it. A transcribed decision names who signed the sheet that it was copied from; it
// waits for the scan of that sheet. Saw and SawAt say how and when a prescriber saw the patient.
type Decision struct {
	Rule, Outcome string
	Reason        string
	By            string
	At            time.Time
	Digest        string
	Transcribed   string
	Saw           string // one of Modes
	SawAt         time.Time
	Span          source.Span
}

// Condition records that an undated condition of a rule was met ("healed", "test negative").
type Condition struct {
	Rule, Outcome string
	By, Note      string
	At            time.Time
	Digest        string
	Span          source.Span
}

// Plan is what is planned, and what consent will cover: zones, the greatest volume, classes of product,
// lidocaine, needle or cannula.
type Plan struct {
	Wish      string // the patient's own words
	Zones     []string
	Greatest  measure.Volume
	Classes   []string
	Product   string
	Lidocaine bool
	// LidocaineSaid tells a no that was written from a plan that says nothing of lidocaine.
	LidocaineSaid bool
	Instruments   []string // needle, cannula
	Anaesthetic   string
	Price         string
	ReviewOn      measure.Date
	Rows          []Row // planned injections
	Examination   string
	Examined      Examined
	Sessions      int    // planned sessions of the course; 0: not said
	IntervalWeeks int    // weeks between them; 0: not said
	UpperLower    string // share of the upper to the lower lip, "1:1.5"
	RightLeft     string // share of the patient's right to the left
	// VolumeReason is why more than the clinic's own figure is planned for one session.
	VolumeReason string
	By           string
	At           time.Time
	Span         source.Span
}

// Row is an injection row: where, how, with what and how much, volume as read from the scale.
type Row struct {
	Zone, Side, Plane, Technique string
	Instrument                   string // needle or cannula
	Gauge                        string
	LengthMm                     string
	Product                      string
	Lot                          string
	Volume                       measure.Volume
	VolumeText                   string // as typed, printed where it could not be read
	Passes, EntryPoints          int
	Syringe                      int    // number of the syringe in the session, from 1; 0: not said
	Aspiration                   string // result, recorded only
	Refill                       string // capillary refill and colour after the zone
	Span                         source.Span
}

// Syringe is a syringe opened in the session.
type Syringe struct {
	Product, Lot, Device, Carrier string
	Expiry                        measure.Date
	ExpiryText                    string
	Labelled, Discarded           measure.Volume
	LabelledBy                    string   // FromProduct where the label's volume was not written; else empty
	Code                          *Scanned // what the carrier says; nil without one
	LabelledText, DiscardedText   string   // as typed, where they could not be read
	Span                          source.Span
}

// Given is the treatment as it was given. Nothing in it is ever refused: what cannot be read stands as
// typed and is marked.
type Given struct {
	Start, End   time.Time
	By           string
	Recorded     time.Time // when the record was made
	Asepsis      string
	Weight       measure.Weight // of the patient, for the sum of anaesthetics; zero: not said
	WeightText   string         // as typed, where it could not be read
	Anaesthetics []Anaesthetic
	Syringes     []Syringe
	Rows         []Row
	Checks       []Check
	Reaction     string
	Photos       []string
	Kit          []string
	Reconfirmed  bool
	Notes        string
	Views        []View
	Dissolved    *Dissolved // filler that was dissolved
	Event        *Event     // a complication
	// Unread is what could not be read, as it was typed; Marks says why, for the margin of the record.
	Unread []Unread
	Marks  source.Problems
	Span   source.Span
}

// Unread is a value of the treatment that could not be read: where it stands ("rows.2.volume", counted
// from 1) and what was typed.
type Unread struct {
	Where, Text string
	Span        source.Span
}

// Anaesthetic is one source of local anaesthetic.
type Anaesthetic struct {
	Substance, Form, Strength, Lot string
	Volume                         measure.Volume
	Dose                           measure.Dose
	At                             time.Time
	Expiry                         measure.Date
}

// Check is an immediate check: capillary refill, pain, vision.
type Check struct {
	What, Result string
	At           time.Time
}

// Handed records that a paper was handed over: the act from which reflection runs.
type Handed struct {
	Paper     string // kind
	Document  string // document id, where known
	At        time.Time
	How, By   string
	Explained bool
	Span      source.Span
}

// ConsentState is where a consent stands.
type ConsentState string

// Consent states.
const (
	Planned      ConsentState = "planned"
	Informed     ConsentState = "informed"
	Consented    ConsentState = "consented"
	DeclinedBy   ConsentState = "declined"
	Withdrawn    ConsentState = "withdrawn"
	StoppedEarly ConsentState = "stopped_early"
	Treated      ConsentState = "treated"
)

// StateChange is a step of the consent.
type StateChange struct {
	State    ConsentState
	At       time.Time
	By       string
	Note     string
	Document string // the consent that was signed, where known
	Covers   *Scope // what was consented to; nil: not recorded
	Span     source.Span
}

// Paper is an issued document.
type Paper struct {
	Kind, Document, Language string
	At                       time.Time
	Supersedes               string
	Covers                   *Scope // of a consent: what it was printed for
	With                     string // the second language of a paper in two
	Reading                  bool   // a copy for reading, which nobody can sign
}
