package desk

import (
	"bytes"
	"fmt"
	"slices"
	"time"

	"philtrum/forms/clinic"
	"philtrum/forms/measure"
	"philtrum/locales"
	"philtrum/locales/release"
	"philtrum/templates"
	"philtrum/templates/layout"
	"philtrum/templates/pdf"
	"philtrum/templates/text"
)

// kindEmergency is the sheet for a suspected blocked vessel.
const kindEmergency = "emergency_sheet"

// Blanks are the papers that are made without a visit.
func Blanks() []string { return []string{kindEmergency, kindAdverse} }

// IsBlank says whether a paper is made without a visit too.
func IsBlank(kind string) bool { return slices.Contains(Blanks(), kind) }

// Bare is a desk without a clinic folder: enough to print what is made without a visit. Language is that of
// the command.
func Bare(catalogue *locales.Catalogue, at time.Time, language string) *Desk {
	return &Desk{catalogue: catalogue, at: at, clinic: clinic.Clinic{Zone: time.UTC, Language: language}}
}

// Blank makes a paper without a visit. It needs nothing: neither a folder, nor a file that can be read, nor a
// journal. What the clinic's own files say, they say; the rest is lines to write on. It is not kept: the caller
// writes it where it is asked for.
func (d *Desk) Blank(kind string, r Request) (Issued, error) {
	own := d.clinic.Language
	if own == "" {
		own = release.Source
	}
	issued := Issued{Kind: kind, Language: r.Language}
	if issued.Language == "" {
		issued.Language = own
	}
	words, err := d.catalogue.Printer(issued.Language)
	if err != nil {
		return issued, fmt.Errorf("%w: %s", ErrLanguage, issued.Language)
	}
	beside, err := d.catalogue.Printer(own)
	if err != nil {
		beside = words
	}
	template, problems := d.printer().template(kind)
	if len(problems) > 0 { // the clinic's own cannot be read
		if template, problems = templates.Load(templates.Default, kind); len(problems) > 0 {
			return issued, fmt.Errorf("%s: %w", kind, problems.Err())
		}
	}
	released, err := d.released(words, template)
	facts := templates.Facts{Issue: templates.Issue{Draft: err != nil || !released}, Clinic: d.clinic, Staff: d.staff, Stock: d.stock}
	if d.clinic.Place != "" {
		facts.Place, _ = d.placeOn(measure.DateOf(d.at, d.clinic.Zone)) // unknown: a line to write on
	}
	facts.Issue.Document = documentMark
	mark, unread := d.mark()
	issued.Notices = unread
	document, _ := templates.Compose(templates.Paper{
		Kind: kind, Template: template, Printer: words, Clinic: beside, Facts: facts, Mark: mark, Sheet: d.sheet(Checked{}, template, r),
	})
	issued.Document = identify(&document, "")
	document.Replace(documentMark, issued.Document)
	setter := d.printer().engine.NewSetter(text.Options{Lang: issued.Language, PrintMissing: true})
	placed := layout.Place(document, setter)
	issued.Pages = len(placed.Pages)
	var out bytes.Buffer
	info := pdf.Info{DocumentID: issued.Document, Title: placed.Title, Producer: "philtrum"}
	if err := d.printer().press.Write(&out, placed, setter.Fonts(), info); err != nil {
		return issued, fmt.Errorf("%s: %w", kind, err)
	}
	issued.data = out.Bytes()
	return issued, nil
}

// Data is the file of a paper that is not kept.
func (i Issued) Data() []byte { return i.data }
