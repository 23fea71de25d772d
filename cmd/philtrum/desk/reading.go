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

// standing is what a paper says of its own texts: whether they are drafts, and why nobody may sign it.
type standing struct {
	draft, draftBeside bool // texts of the paper's language; of the second one
	reading            templates.Reading
}

// standing judges the texts of a paper.
//
// A patient's signature stands on a released text that they read, or on the clinic's released text where somebody
// interprets; in a paper of two languages the clinic's text may be either. What only staff sign after the needle
// asks for no more than that the text is released.
func (d *Desk) standing(c Checked, t *templates.Template, kind string, l languagesOf) (standing, error) {
	var s standing
	released, err := d.released(l.words, t)
	if err != nil {
		return s, err
	}
	s.draft = !released
	beside := false
	if l.with != nil && !sameLanguage(l.with, l.words) {
		if beside, err = d.released(l.with, t); err != nil {
			return s, err
		}
		s.draftBeside = !beside
	}
	own := released && sameLanguage(l.words, l.own) || beside && sameLanguage(l.with, l.own)
	switch interpreted := c.Case.Visit.Interpreted(c.Case.Patient, d.clinic.Language); {
	case !t.ForPatient() || !t.Signs():
	case afterNeedle(kind):
		if !released && !own {
			s.reading = templates.SignedElsewhere
		}
	case released && d.understands(c, l.words), beside && d.understands(c, l.with), interpreted && own:
	case released:
		s.reading = templates.LacksInterpreter
	default:
		s.reading = templates.DraftText
	}
	return s, nil
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

// companion says whether the clinic's own text goes with a paper: one for the patient that they do not sign, in a
// language of drafts, where the clinic's does not stand beside it on the same page. A calendar has no text of its own.
func (d *Desk) companion(issued Issued) bool {
	t, _ := d.printer().template(issued.Kind)
	if t == nil || issued.as == AsCalendar || !t.ForPatient() || t.Signs() && !afterNeedle(issued.Kind) || issued.Document == "" || !issued.draft {
		return false
	}
	own, err := d.catalogue.Printer(d.clinic.Language)
	if err != nil || issued.with == own.Language().Tag {
		return false
	}
	words, err := d.catalogue.Printer(issued.Language)
	return err == nil && !sameLanguage(words, own)
}

// in is the request for another language alone.
func (r Request) in(language string) Request {
	r.Language, r.With = language, ""
	return r
}
