// Package exchange gives a visit to other systems as a bundle of HL7 FHIR R4 (version 4.0.1, JSON), and checks such
// bundles against the definitions that the standard publishes. It codes only what the standard itself codes, and units
// by UCUM; everything else is text in the clinic's language.
package exchange

import (
	"bytes"
	"encoding/json"
	"time"

	"philtrum/forms/clinic"
	"philtrum/forms/intake"
	"philtrum/forms/visit"
)

// Record is what a bundle is made from. Treatment and products of the visit are resolved.
type Record struct {
	Visit     visit.Visit
	Earlier   []visit.Visit // of the same patient: a complication names what was injected there
	Patient   visit.Patient
	Clinic    clinic.Clinic
	Staff     []clinic.Person
	Stock     clinic.Stock
	Intake    intake.Intake
	Documents []Document
	Digest    string // SHA-256 of the visit's file, in hexadecimal; empty: not known
	// Names says whether the patient's names, birth date and ways to reach them are given. Without them the bundle
	// still tells of one person: the number and the answers stand.
	Names    bool
	Language string // BCP 47, of the words
	Words    Words
}

// Words gives the text of a message in the bundle's language; empty where there is none of that id.
type Words interface{ Word(id string) string }

// Document is an issued paper, or a file of scanned pages (Kind is empty then), with what is known of its file.
type Document struct {
	ID, Kind, Language string
	At                 time.Time
	Supersedes         string   // id of the paper before
	Of                 []string // of a scan: the papers whose pages it has
	ContentType        string
	Size               int    // bytes; 0: the file is not there
	SHA1               []byte // as Attachment.hash has it
	SHA256             string // hexadecimal
}

// Bundle is the collection of everything about the visit, as JSON. The same record gives the same bytes.
func Bundle(r Record) ([]byte, error) {
	b := builder{r: r, staff: map[string]string{}}
	b.build()
	out := bundle{
		ResourceType: "Bundle", ID: b.id("bundle", r.Visit.ID), Language: languageTag(r.Language), Type: "collection", Timestamp: b.instant(b.newest()),
	}
	for _, e := range b.entries {
		out.Entry = append(out.Entry, entry{FullURL: "urn:uuid:" + e.id, Resource: e.resource})
	}
	var text bytes.Buffer
	enc := json.NewEncoder(&text)
	enc.SetEscapeHTML(false)
	enc.SetIndent("", " ")
	err := enc.Encode(out)
	return text.Bytes(), err
}

type builder struct {
	r       Record
	entries []made
	staff   map[string]string // reference by id of staff

	patient, organization, procedure, consentPaper string // references
	devices                                        []madeDevice
	documents                                      map[string]string // reference by document id
}

type made struct {
	id       string
	resource any
}

// build adds every resource after those that it refers to.
func (b *builder) build() {
	b.addOrganization()
	b.addPatient()
	b.addDevices()
	b.addProcedure()
	b.addObservations()
	b.addMedicines()
	b.addDocuments()
	b.addConsent()
	b.addAnswers()
	b.addEvent()
	b.addProvenance()
}

// add enters a resource and gives the reference to it.
func (b *builder) add(id string, resource any) string {
	b.entries = append(b.entries, made{id, resource})
	return "urn:uuid:" + id
}

// newest is the last time that the visit's file names: when the bundle's content was last true. It is never the
// moment at which the bundle is made.
func (b *builder) newest() time.Time {
	v := b.r.Visit
	newest := v.Appointment
	later := func(t time.Time) {
		if t.After(newest) {
			newest = t
		}
	}
	later(v.Answered.At)
	for _, s := range v.States {
		later(s.At)
	}
	for _, p := range v.Papers {
		later(p.At)
	}
	for _, h := range v.Handed {
		later(h.At)
	}
	for _, a := range v.Amendments {
		later(a.At)
	}
	for _, c := range v.Confirmations {
		later(c.At)
	}
	if t := v.Treatment; t != nil {
		later(t.Start)
		later(t.End)
		later(t.Recorded)
	}
	return newest
}
