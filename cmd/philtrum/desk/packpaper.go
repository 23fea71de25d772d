package desk

import (
	"cmp"

	"philtrum/forms/measure"
	"philtrum/forms/source"
	"philtrum/locales/release"
	"philtrum/templates"
)

// PackPaper sets a revision pack as a paper to be read and signed with a pen. A rune that no face has is printed
// as its number.
func (d *Desk) PackPaper(p Pack, page string) ([]byte, source.Problems, error) {
	own, err := d.catalogue.Printer(d.clinic.Language)
	if err != nil {
		return nil, nil, err
	}
	from, err := d.catalogue.Printer(release.Source)
	if err != nil {
		return nil, nil, err
	}
	to, err := d.catalogue.Printer(p.Language)
	if err != nil {
		return nil, nil, err
	}
	sheets, problems := d.printer().template("summary")
	if len(problems) > 0 {
		return nil, problems, nil
	}
	r := templates.Revision{Printer: own, Clinic: d.clinic, Source: from.Language(), Target: to.Language(),
		On: measure.DateOf(d.at, d.clinic.Zone)}
	for _, row := range p.Rows {
		if n := len(r.Portions); n == 0 || r.Portions[n-1].Name != row.Portion {
			r.Portions = append(r.Portions, templates.RevisionPortion{Name: row.Portion, Digest: p.Digests[row.Portion]})
		}
		last := &r.Portions[len(r.Portions)-1]
		last.Rows = append(last.Rows, templates.RevisionRow{ID: row.ID, Form: row.Form, Source: row.Source, Target: row.Target, Note: row.Note})
	}
	document, problems := templates.ComposeRevision(sheets, templates.SheetName("record", cmp.Or(page, d.clinic.Page)), r)
	if len(problems) > 0 {
		return nil, problems, nil
	}
	data, err := d.printed(document)
	return data, nil, err
}
