package exchange

import (
	"slices"
	"strings"
	"time"

	"philtrum/forms/visit"
)

type documentReference struct {
	ResourceType string       `json:"resourceType"`
	ID           string       `json:"id"`
	Identifier   []identifier `json:"identifier,omitempty"`
	Status       string       `json:"status"`
	Type         *concept     `json:"type,omitempty"`
	Subject      *reference   `json:"subject,omitempty"`
	Date         string       `json:"date,omitempty"`
	Custodian    *reference   `json:"custodian,omitempty"`
	RelatesTo    []relation   `json:"relatesTo,omitempty"`
	Content      []content    `json:"content"`
	Context      *related     `json:"context,omitempty"`
}

type relation struct {
	Code   string    `json:"code"`
	Target reference `json:"target"`
}

type content struct {
	Attachment attachment `json:"attachment"`
}

type related struct {
	Related []reference `json:"related"`
}

// addDocuments adds issued papers in their order, then scans. A paper that another one takes the place of is
// superseded; a scan whose signatures somebody has confirmed signs its papers.
func (b *builder) addDocuments() {
	b.documents = map[string]string{}
	for _, d := range b.r.Documents {
		if d.ID == "" || b.documents[d.ID] != "" {
			continue
		}
		out := b.document(d)
		for _, of := range d.Of {
			if ref := b.documents[of]; ref != "" {
				out.RelatesTo = append(out.RelatesTo, relation{b.relates(of), reference{Reference: ref}})
			}
		}
		if ref := b.documents[d.Supersedes]; ref != "" {
			out.RelatesTo = append(out.RelatesTo, relation{"replaces", reference{Reference: ref}})
		}
		b.documents[d.ID] = b.add(out.ID, out)
		if d.Kind == "consent" {
			b.consentPaper = b.documents[d.ID]
		}
	}
}

func (b *builder) document(d Document) documentReference {
	kind := b.word("exchange.document.scan")
	if d.Kind != "" {
		kind = b.term("paper", d.Kind)
	}
	out := documentReference{ResourceType: "DocumentReference", ID: b.id("document", d.ID), Identifier: identifiers(d.ID), Status: "current",
		Type: textual(kind), Subject: to(b.patient), Date: b.instant(d.At), Custodian: to(b.organization)}
	if d.Kind == "" {
		out.Identifier = nil // a scan is named by its digest
	}
	if uri := digestURI(d.SHA256); uri != "" {
		out.Identifier = append(out.Identifier, identifier{System: systemURI, Value: uri})
	}
	if slices.ContainsFunc(b.r.Documents, func(o Document) bool { return o.Supersedes == d.ID }) {
		out.Status = "superseded"
	}
	out.Content = []content{{attachment{ContentType: d.ContentType, Language: languageTag(d.Language), Size: d.Size, Hash: d.SHA1}}}
	if out.Content[0].Attachment.ContentType == "" {
		out.Content[0].Attachment.ContentType = "application/octet-stream"
	}
	if b.procedure != "" {
		out.Context = &related{many(b.procedure)}
	}
	return out
}

func (b *builder) relates(document string) string {
	for _, c := range slices.Backward(b.r.Visit.Confirmations) {
		if c.Document == document {
			if c.Legible && len(c.Signed) > 0 {
				return "signs"
			}
			break
		}
	}
	return "appends"
}

type consent struct {
	ResourceType    string      `json:"resourceType"`
	ID              string      `json:"id"`
	Status          string      `json:"status"`
	Scope           concept     `json:"scope"`
	Category        []concept   `json:"category"`
	Patient         *reference  `json:"patient,omitempty"`
	DateTime        string      `json:"dateTime,omitempty"`
	Performer       []reference `json:"performer,omitempty"`
	Organization    []reference `json:"organization,omitempty"`
	SourceReference *reference  `json:"sourceReference,omitempty"`
	PolicyRule      *concept    `json:"policyRule,omitempty"`
	Provision       *provision  `json:"provision,omitempty"`
}

type provision struct {
	Type string    `json:"type"`
	Code []concept `json:"code,omitempty"`
}

// consentStatus is where a consent stands in the words of the standard.
var consentStatus = map[visit.ConsentState]string{
	visit.Planned: "draft", visit.Informed: "proposed", visit.Consented: "active", visit.Treated: "active", visit.StoppedEarly: "inactive",
	visit.DeclinedBy: "rejected", visit.Withdrawn: "inactive",
}

// addConsent adds the consent, where any step of it is recorded. What it covers is given in words, and only while it
// stands: R4 has no elements for it.
func (b *builder) addConsent() {
	v := b.r.Visit
	if len(v.States) == 0 {
		return
	}
	id := b.id("consent", "")
	out := consent{ResourceType: "Consent", ID: id, Status: consentStatus[v.Consent()], Scope: *coded(systemScope, "treatment"),
		Category: []concept{*b.concept("exchange.consent.treatment")}, Patient: to(b.patient), DateTime: b.instant(lastStep(v)),
		Organization: many(b.organization), SourceReference: to(b.consentPaper), PolicyRule: b.concept("exchange.consent.policy")}
	given, stands := v.Consented()
	if stands {
		out.Performer, out.DateTime = many(b.patient), b.instant(given.At)
		if ref := b.documents[given.Document]; ref != "" {
			out.SourceReference = to(ref)
		}
	}
	if stands && out.Status == "active" && given.Covers != nil {
		out.Provision = &provision{Type: "permit", Code: b.covers(*given.Covers)}
	}
	b.add(id, out)
}

func lastStep(v visit.Visit) time.Time {
	var last time.Time
	for _, s := range v.States {
		if s.At.After(last) {
			last = s.At
		}
	}
	return last
}

func (b *builder) covers(s visit.Scope) []concept {
	line := func(name string, words []string) string {
		if len(words) == 0 {
			return ""
		}
		return b.word("exchange.consent."+name) + ": " + strings.Join(words, ", ")
	}
	terms := func(kind string, codes []string) []string {
		var words []string
		for _, c := range codes {
			words = append(words, b.term(kind, c))
		}
		return words
	}
	var greatest []string
	if !s.Greatest.IsZero() {
		greatest = []string{s.Greatest.String() + " mL"}
	}
	lidocaine := "paper.no"
	if s.Lidocaine {
		lidocaine = "paper.yes"
	}
	return concepts(line("zones", terms("zone", s.Zones)), line("greatest", greatest), line("classes", terms("class", s.Classes)),
		line("instruments", terms("instrument", s.Instruments)), line("lidocaine", []string{b.word(lidocaine)}))
}
