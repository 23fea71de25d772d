// Package clinic reads what a clinic has written down about itself: clinic.yaml (who it is, where, its
// policy), staff.yaml (people, roles, dates) and products.yaml (lines, device identifiers, stock,
// emergency kit).
package clinic

import (
	"time"

	"philtrum/forms/measure"
	"philtrum/forms/source"
)

// Clinic is the clinic as clinic.yaml describes it.
type Clinic struct {
	Name, LegalName string
	Address         []string
	Place           string // a row of forms/place: "GB-ENG", "SE", "ES", …
	Zone            *time.Location
	Language        string // BCP 47, of the clinic's own papers
	Telephone       string
	NightTelephone  string // answered at any hour
	Email           string
	Registration    string // with the authority
	Insurer         string
	Complaints      string
	Authority       string // with which the clinic is registered
	PriceIncludes   string // what a price includes, in the clinic's words
	PriceReview     string // what a review or a change costs
	DataNotice      string // number or name of the notice on data
	Demonstration   bool   // every page says that it is one
	Page            string // "A4" or "Letter"
	Look            Look
	Policy          Policy
	Releases        []Release
	Hours           Hours
	Booking         Booking
	Settings        *source.Node // of printing and language, merged with flags by the command
	Span            source.Span
}

// Policy holds every threshold and window that a clinic may set: each within the bounds that its field
// names and never laxer than the law of the place. Days count whole calendar days in the clinic's zone.
// Key names in clinic.yaml equal the keys of Windows and Thresholds (see README.md).
type Policy struct {
	Windows    map[string]Window // "vaccine_past", "dental_invasive", "aftercare_make_up", …
	Thresholds map[string]string // exact decimals: "inr_highest", "lip_session_warn_ml", …
	Custom     map[string]string // closed choices: "breastfeeding": wait|decide
	Spans      map[string]source.Span
}

// Window is a length of time: hours, days, weeks or months, exactly one above zero (or all zero: none).
type Window struct{ Hours, Days, Weeks, Months int }

// Role is what a person may do.
type Role string

// Roles of staff. A prescriber is a role of its own; a person may have several.
const (
	RoleInjector    Role = "injector"
	RolePrescriber  Role = "prescriber"
	RoleMedicalLead Role = "medical_lead"
	RoleDesk        Role = "front_desk"
)

// Person is one member of staff.
type Person struct {
	ID, Name, Profession, Registration string
	Roles                              []Role
	From, To                           measure.Date // To is zero while they work here
	Successor                          string       // the id of who takes over what they leave open; may be empty
	Span                               source.Span
}

// Product is a line that the clinic stocks.
type Product struct {
	ID               string
	Name             string // as on the label
	Class            string // soft, medium, firm
	Maker            string
	Devices          []string // device identifiers (GTIN-14 and the like)
	Volume           measure.Volume
	Lidocaine        bool
	LidocaineMgPerMl string         // exact decimal, "3"
	Bacterial        bool           // made by bacterial fermentation
	Dissolves        bool           // hyaluronidase dissolves it
	SessionLimit     measure.Volume // the line's own limit per session; zero: none entered
	Stock            []Lot
	Span             source.Span
}

// Lot is stock of one lot.
type Lot struct {
	Number string
	Expiry measure.Date
	Count  int
	Span   source.Span
}

// KitItem is an item of the emergency kit ("hyaluronidase", "adrenaline", …).
type KitItem struct {
	Item string
	Lot  Lot
}

// Stock is products.yaml.
type Stock struct {
	Products []Product
	Kit      []KitItem
	Recalls  []Recall
	Guide    Guide
}

// Methods say how a translation came about: by a person, by a machine with every sentence gone over by a
// person, by a person and held against a blind translation back. A source text is written.
var Methods = []string{"human", "machine_edited", "back_translated", "written"}

// Release records that texts in a language were signed for, by whom and for which content.
type Release struct {
	Language, Group, Digest string // Group is a portion of the messages, as package locales/release names them
	Translator, Reviser     string // names; for the source language author and medical lead
	// Why each may sign: diploma, registration, experience; "native reader" does not make a translator.
	TranslatorQualification, ReviserQualification string
	Method                                        string // one of Methods
	On                                            measure.Date
}
