package desk

import (
	"slices"

	"philtrum/forms/source"
	"philtrum/forms/visit"
	"philtrum/templates"
	"philtrum/templates/outline"
)

// Forms in which a paper can be issued besides a PDF.
const (
	AsText     = "text"
	AsHTML     = "html"
	AsCalendar = "calendar"
	AsForm     = "form"   // a questionnaire to fill in on a screen
	AsFilled   = "filled" // a questionnaire with the answers that were given
)

// Forms are all of them.
func Forms() []string { return []string{AsText, AsHTML, AsCalendar, AsForm, AsFilled} }

// extension is that of the file of a form.
func extension(as string) string {
	return map[string]string{"": ".pdf", AsText: ".txt", AsHTML: ".html", AsCalendar: ".ics", AsForm: ".pdf", AsFilled: ".pdf"}[as]
}

// outlineKinds are the papers that a form other than print is asked for where nobody names one.
func outlineKinds(v visit.Visit) []string {
	if v.Treatment != nil {
		return []string{"aftercare"}
	}
	return []string{"information"}
}

// printOnly are the papers that are signed, cut out, or the clinic's own.
func printOnly(kind string, t *templates.Template) bool {
	return kind == "consent" || kind == "card" || kind == kindQuestionnaire || !t.ForPatient()
}

// outline writes a composed paper in the form that was asked for. It keeps the paper's own document id: it says
// the same.
func (d *Desk) outline(issued *Issued, m made) (source.Problems, error) {
	if printOnly(issued.Kind, m.paper.Template) {
		return one("problem.print_only"), nil
	}
	switch issued.as {
	case AsText:
		issued.data = []byte(outline.Text(m.composed))
	case AsHTML:
		issued.data = []byte(outline.HTML(m.composed))
	case AsCalendar:
		entries, problems := templates.Calendar(m.paper)
		end := m.paper.Facts.Visit.Treatment
		if len(problems) > 0 {
			return problems, nil
		}
		if len(entries) == 0 || end.End.IsZero() {
			return one("problem.no_calendar"), nil
		}
		issued.data = outline.Calendar(entries, end.End, m.composed.Lang)
	}
	var err error
	issued.File, err = d.folder.PaperFileAs(issued.Checked.Visit, m.document, extension(issued.as))
	return nil, err
}

// listed says whether the visit's file names the paper already, issued in another form.
func (i Issued) listed() bool {
	return slices.ContainsFunc(i.Checked.Case.Visit.Papers, func(p visit.Paper) bool { return p.Document == i.Document })
}

// ofFiller says that a card and a travel letter tell of filler that was put in: of a visit that dissolved it they
// would be untrue.
func ofFiller(c Checked, kind string) source.Problems {
	if (kind == "card" || kind == "travel") && c.Case.Visit.Kind == visit.Dissolving {
		return one("problem.tells_of_filler")
	}
	return nil
}
