package desk

import (
	"bytes"
	"errors"
	"fmt"
	"strings"

	"philtrum/forms/journal"
	"philtrum/forms/screen"
	"philtrum/forms/source"
	"philtrum/forms/visit"
	"philtrum/templates"
	"philtrum/templates/pdf"
)

// ErrLanguage says that no catalogue serves a language.
var ErrLanguage = errors.New("no catalogue for this language")

// Request is what to issue and how.
type Request struct {
	Kinds      []string // empty: every paper of this kind of visit
	Language   string   // empty: what the patient reads
	Page       string   // A4 or Letter; empty: the clinic's
	With       string   // a second language beside it, for papers of patients; empty: none
	LargePrint bool     // also set where the patient needs it
	As         string   // one of [Forms]; empty: a PDF
}

// Issued is one paper: where it is, or why there is none.
type Issued struct {
	Kind, Language, Document string
	File                     string // in the clinic folder
	Pages                    int
	Existing                 bool             // issued before from the same inputs; nothing was written
	Refused                  []screen.Finding // what forbids it
	Problems                 source.Problems
	Notices                  source.Problems    // worth saying, and printed on the paper
	Checked                  Checked            // the judgement that it was made from
	as                       string             // one of [Forms]; empty: a PDF
	sealing                  *templates.Sealing // of the cover of a sealed file
	data                     []byte
	draft, reading           bool   // texts are not released; nobody may sign it
	with                     string // the second language
}

// Name is a readable file name that says nothing of the patient, not even the language that they read.
func (i Issued) Name() string {
	kind := i.Kind
	if i.as == AsCalendar {
		kind = i.as // a calendar is opened where others may look on
	}
	return kind + "-" + i.Document + extension(i.as)
}

// Kinds are the papers that can be issued, in the order of a visit.
func Kinds() []string {
	return []string{"information", kindQuestionnaire, "consent", "record", "aftercare", "card", "travel", "summary", "deferral", kindEmergency, kindLetter, kindRecall, kindAdverse}
}

// Issue makes papers and writes all of them, with their entries in the journal, or none. A paper that the
// screening forbids is named with what forbids it and does not hinder the others.
func (d *Desk) Issue(id string, r Request) ([]Issued, source.Problems, error) {
	checked, err := d.Check(id)
	if err != nil {
		return nil, nil, err
	}
	if problems := unreadable(checked); len(problems) > 0 {
		return nil, problems, nil
	}
	all, err := d.makeAll(checked, r)
	if err != nil {
		return nil, nil, err
	}
	return all, nil, d.keep(id, all)
}

// makeAll makes the papers of a visit without keeping them.
func (d *Desk) makeAll(checked Checked, r Request) ([]Issued, error) {
	var all []Issued
	for _, kind := range d.kinds(checked, r) {
		issued, err := d.Make(checked, kind, r)
		if err != nil {
			return nil, err
		}
		all = append(all, issued)
		if r.With != "" && r.With != issued.Language && r.As == "" && d.tooNarrow(checked, kind, r) {
			beside, err := d.Make(checked, kind, r.in(r.With))
			if err != nil {
				return nil, err
			}
			all = append(all, beside)
		}
		if d.companion(issued) {
			own, err := d.Make(checked, kind, r.in(d.clinic.Language))
			if err != nil {
				return nil, err
			}
			all = append(all, own)
		}
	}
	return all, nil
}

// unreadable are the problems that leave nothing to print: a visit's file that cannot be read at all. Every
// other problem forbids only what comes before the needle; what it hides is a line to write on.
func unreadable(c Checked) source.Problems {
	if c.Case.Visit.ID == "" {
		return c.Problems
	}
	return nil
}

// kinds are the papers to make: those asked for, or what a visit needs at this point.
func (d *Desk) kinds(c Checked, r Request) []string {
	if len(r.Kinds) > 0 {
		return r.Kinds
	}
	v := c.Case.Visit
	if r.As != "" {
		return outlineKinds(v)
	}
	switch v.Kind {
	case visit.Review, visit.Complication, visit.Call:
		return []string{"record"}
	}
	if v.Treatment != nil {
		return []string{"record", "aftercare"}
	}
	if s := v.Consent(); s == visit.DeclinedBy || s == visit.Withdrawn {
		return []string{"deferral"}
	}
	var kinds []string
	if _, handed := v.HandedFirst("information"); !handed {
		kinds = append(kinds, "information")
	}
	if v.Kind == visit.Consultation {
		return append(kinds, "summary")
	}
	return append(kinds, "consent", "record", "aftercare")
}

// Make composes one paper to bytes without keeping it.
func (d *Desk) Make(c Checked, kind string, r Request) (Issued, error) {
	issued := Issued{Kind: kind, Language: d.language(c, kind, r), Checked: c, as: r.As}
	if forbidden, problems := forbids(c, kind); len(forbidden) > 0 || len(problems) > 0 {
		issued.Refused, issued.Problems = forbidden, problems
		return issued, nil
	}
	if issued.Problems = append(ofFiller(c, kind), onlyQuestions(kind, r.As)...); len(issued.Problems) > 0 {
		return issued, nil
	}
	if issued.Problems = d.serve(&issued, r); len(issued.Problems) > 0 {
		return issued, nil
	}
	made, problems, err := d.compose(c, issued, r)
	if err != nil || len(problems) > 0 {
		issued.Problems = problems
		return issued, err
	}
	issued.Document, issued.Notices = made.document, append(issued.Notices, made.notices...)
	_, unread := d.mark()
	issued.Notices = append(issued.Notices, unread...)
	issued.draft, issued.reading = made.paper.Facts.Issue.Draft, made.paper.Facts.Issue.Reading != ""
	if made.paper.With != nil {
		issued.with = made.paper.With.Language().Tag
		issued.Notices = append(issued.Notices, tellServed(r.With, made.paper.With)...)
	}
	if issued.reading {
		issued.Notices = append(issued.Notices, one("revision.not_for_signature")...)
	}
	if outlined(r.As) {
		issued.Problems, err = d.outline(&issued, made)
		return issued, err
	}
	issued.Pages = len(made.result.Pages)
	var out bytes.Buffer
	info := pdf.Info{DocumentID: made.document, Title: made.result.Title, Producer: "philtrum", Issued: made.issued}
	if r.As == AsForm {
		info.Form = d.about(c, made.document, made.result.Lang)
	}
	if err := d.printer().press.Write(&out, made.result, made.fonts, info); err != nil {
		return issued, fmt.Errorf("%s: %w", kind, err)
	}
	issued.data = out.Bytes()
	issued.File, err = d.folder.PaperFile(c.Visit, made.document)
	return issued, err
}

// afterNeedle are the papers that nothing may block.
func afterNeedle(kind string) bool {
	return kind == "record" || kind == "aftercare" || kind == "summary" || kind == "card" || kind == "travel" ||
		kind == kindSeal || kind == kindEmergency || kind == kindLetter || kind == kindRecall || kind == kindAdverse
}

// forbids says what stands in the way of a paper: for a consent, what screening holds against a signing
// copy; for information, the age floor only; for what comes after the needle, nothing.
func forbids(c Checked, kind string) ([]screen.Finding, source.Problems) {
	if kind == kindLetter {
		return nil, mayWrite(c.Case.Visit)
	}
	if afterNeedle(kind) {
		return nil, nil
	}
	if len(c.Problems) > 0 {
		return nil, c.Problems
	}
	switch kind {
	case "consent":
		if ok, findings := c.Report.MayPrintConsent(); !ok {
			return findings, recalled(c)
		}
		return nil, recalled(c)
	case "information":
		if ok, findings := c.Report.MayPrintInformation(); !ok {
			return findings, nil
		}
	}
	return nil, nil
}

// language is the language of a paper: asked for, or what the patient reads; papers for the clinic are in
// the clinic's.
func (d *Desk) language(c Checked, kind string, r Request) string {
	switch {
	case kind == "record" || kind == "summary" || kind == kindSeal || kind == kindLetter, (kind == kindEmergency || kind == kindAdverse) && r.Language == "":
		return d.clinic.Language
	case r.Language != "":
		return r.Language
	case c.Case.Patient.Reads != "" && c.Case.Patient.Reads != "none":
		return c.Case.Patient.Reads
	}
	return d.clinic.Language
}

// serve finds a catalogue for a paper in the language that the patient reads, where nobody asked for another.
// Without one, what comes before the needle is refused: another language is for a person to choose. What comes
// after it is made in the clinic's, and that is told.
func (d *Desk) serve(issued *Issued, r Request) source.Problems {
	words, err := d.catalogue.Printer(issued.Language)
	if err == nil {
		issued.Notices = append(issued.Notices, tellServed(issued.Language, words)...)
		return nil
	}
	if r.Language != "" {
		return nil // said by compose
	}
	missing := one("problem.no_catalogue", "language", issued.Language, "clinic", d.clinic.Language)
	if !afterNeedle(issued.Kind) {
		return missing
	}
	issued.Language, issued.Notices = d.clinic.Language, append(issued.Notices, missing...)
	return nil
}

// keep writes the papers that are new, names them in the visit's file and enters them in the journal.
func (d *Desk) keep(id string, all []Issued) error {
	batch := d.folder.Batch(d.at)
	var changes []source.Change
	fresh := false
	for i := range all {
		paper := &all[i]
		if paper.data == nil {
			continue
		}
		if paper.Existing = d.folder.Has(paper.File); paper.Existing {
			continue
		}
		batch.Create(paper.File, paper.data)
		batch.Enter("issued", paper.Document, digest(paper.data))
		if fresh = true; paper.listed() {
			continue
		}
		changes = append(changes, source.Change{Path: []string{"papers"}, Append: true, Value: d.paperEntry(*paper).Node()})
	}
	if !fresh {
		return nil
	}
	if len(changes) == 0 {
		return batch.Commit()
	}
	name, err := d.folder.VisitFile(id)
	if err != nil {
		return err
	}
	batch.Update(name, func(old []byte) ([]byte, error) {
		edited, problems := source.Edit(name, old, changes...)
		return edited, problems.Err()
	})
	batch.EnterFile(journal.Filed, id, name)
	return batch.Commit()
}

// Dump prints a stage of the papers: document or pages.
func (d *Desk) Dump(id string, r Request, stage string) (string, source.Problems, error) {
	checked, err := d.Check(id)
	if err != nil {
		return "", nil, err
	}
	var out strings.Builder
	for _, kind := range d.kinds(checked, r) {
		made, problems, err := d.compose(checked, Issued{Kind: kind, Language: d.language(checked, kind, r)}, r)
		if err != nil || len(problems) > 0 {
			return "", problems, err
		}
		if stage == "pages" {
			out.WriteString(made.result.Dump())
		} else {
			out.WriteString(made.composed.Dump())
		}
	}
	return out.String(), nil, nil
}
