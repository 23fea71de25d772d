package desk

import (
	"philtrum/forms/source"
	"philtrum/locales"
	"philtrum/templates"
)

// languagesOf are the printers of a paper: of its own language, of the clinic's, and of the one beside it.
type languagesOf struct{ words, own, with *locales.Printer }

// tell says by which catalogue a language was served that has none of its own.
func tellServed(asked string, words *locales.Printer) source.Problems {
	l := words.Language()
	if asked == "" || locales.Names(l, asked) {
		return nil
	}
	return one("revision.served", "asked", asked, "tag", l.Region, "name", l.Name)
}

// drafts says of a paper's own language whether its texts are a draft, and why nobody may sign the paper.
//
// A signature stands on a released text that the patient reads, or on the clinic's released text where an
// interpreter who is named attends; in a paper of two languages the clinic's text may be the one beside.
func (d *Desk) drafts(c Checked, t *templates.Template, l languagesOf) (draft bool, why templates.Reading, err error) {
	released, err := d.released(l.words, t)
	if err != nil || !t.ForPatient() || !t.Signs() {
		return !released, "", err
	}
	interpreted := c.Case.Visit.Interpreter != nil && c.Case.Visit.Interpreter.Name != ""
	if released && (d.understands(c, l.words) || interpreted) {
		return false, "", nil
	}
	if interpreted && l.with != nil && sameLanguage(l.with, l.own) {
		signed, err := d.released(l.own, t)
		if err != nil || signed {
			return !released, "", err
		}
	}
	if released {
		return false, templates.LacksInterpreter, nil
	}
	return true, templates.DraftText, nil
}

// understands says whether the patient reads a language; of one who reads none, whether they speak it, since
// it is then read aloud before a witness. Of a patient of whom nothing is known it is the clinic's.
func (d *Desk) understands(c Checked, words *locales.Printer) bool {
	tag := c.Case.Patient.Reads
	if tag == "none" {
		tag = c.Case.Patient.Speaks
	}
	if tag == "" {
		tag = d.clinic.Language
	}
	reads, err := d.catalogue.Printer(tag)
	return err == nil && sameLanguage(reads, words)
}

func sameLanguage(a, b *locales.Printer) bool { return a.Language().Tag == b.Language().Tag }

// companion says whether the clinic's own text goes with a paper: one for the patient that is not signed, in a
// language of drafts that does not stand beside the clinic's on the same page.
func (d *Desk) companion(issued Issued, r Request) bool {
	t, _ := d.printer().template(issued.Kind)
	if t == nil || issued.as != "" || r.With != "" || !t.ForPatient() || t.Signs() || issued.Document == "" {
		return false
	}
	words, err := d.catalogue.Printer(issued.Language)
	if err != nil {
		return false
	}
	own, err := d.catalogue.Printer(d.clinic.Language)
	return err == nil && issued.draft && !sameLanguage(words, own)
}

// in is the request for another language alone.
func (r Request) in(language string) Request {
	r.Language, r.With = language, ""
	return r
}
