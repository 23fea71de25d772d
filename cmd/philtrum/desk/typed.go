package desk

import (
	"slices"
	"strings"

	"philtrum/forms/source"
	"philtrum/forms/visit"
	"philtrum/templates"
	"philtrum/templates/layout"
)

// PaperPage is a page of a questionnaire of paper, with the questions on it.
type PaperPage struct {
	Document  string
	Page, Of  int
	Questions []templates.Questioned
	Typed     *visit.Returned // who typed it in; nil: nobody yet
	ReadBack  bool            // somebody has compared what was typed since
}

// PaperPages are the pages of the last questionnaire that was issued for a visit, as they were printed.
func (d *Desk) PaperPages(id string) ([]PaperPage, source.Problems, error) {
	checked, err := d.Check(id)
	if err != nil || len(checked.Problems) > 0 {
		return nil, checked.Problems, err
	}
	v := checked.Case.Visit
	for _, p := range slices.Backward(v.Papers) {
		if p.Kind != kindQuestionnaire {
			continue
		}
		result, ok, err := d.printedAgain(checked, p)
		if err != nil {
			return nil, nil, err
		}
		if ok {
			return paperPages(v, p.Document, result, templates.Questionnaire(d.form, v.Kind)), nil, nil
		}
	}
	return nil, nil, nil
}

// printedAgain places a questionnaire as it was printed: its id proves that it is the same. A form on a screen and a
// sheet with answers are none.
func (d *Desk) printedAgain(c Checked, p visit.Paper) (layout.Result, bool, error) {
	for _, page := range []string{d.clinic.Page, "A4", "Letter"} {
		for _, large := range []bool{false, true} {
			r := Request{Language: p.Language, With: p.With, Page: page, LargePrint: large}
			m, problems, err := d.compose(c, Issued{Kind: kindQuestionnaire, Language: p.Language}, r)
			if err != nil || len(problems) > 0 {
				return layout.Result{}, false, err
			}
			if m.document == p.Document {
				return m.result, true, nil
			}
		}
	}
	return layout.Result{}, false, nil
}

// paperPages finds the page of each question by its places for answers.
func paperPages(v visit.Visit, document string, r layout.Result, asked []templates.Questioned) []PaperPage {
	out := make([]PaperPage, len(r.Pages))
	done := map[string]bool{}
	for i := range r.Pages {
		page := &out[i]
		*page = PaperPage{Document: document, Page: i + 1, Of: len(r.Pages)}
		for k := range r.Pages[i].Items {
			f := r.Pages[i].Items[k].Field
			if f == nil {
				continue
			}
			id, _, _ := strings.Cut(f.Name, "-")
			at := slices.IndexFunc(asked, func(q templates.Questioned) bool { return q.ID == id })
			if at >= 0 && !done[id] {
				done[id] = true
				page.Questions = append(page.Questions, asked[at])
			}
		}
		if typed, ok := v.LastReturned(document, i+1, visit.FromPaper); ok {
			page.Typed = &typed
			back, ok := v.LastReturned(document, i+1, visit.ReadBack)
			page.ReadBack = ok && !back.At.Before(typed.At)
		}
	}
	return out
}

// PageBack notes that a page was typed in from paper, or read back.
func (d *Desk) PageBack(id, document string, page int, via, by string) (source.Problems, error) {
	if found := d.isStaff(by); len(found) > 0 {
		return found, nil
	}
	r := visit.Returned{Document: document, Page: page, Via: via, At: d.now(), By: by}
	return d.change(id, "returned", func(visit.Visit) ([]source.Change, source.Problems) {
		return []source.Change{{Path: []string{"returned"}, Append: true, Value: r.Node()}}, nil
	})
}

// PatientLanguage is the language that a visit's patient reads, empty where that is the clinic's or none is served.
func (d *Desk) PatientLanguage(id string) string {
	v, problems, err := d.readVisit(id)
	if err != nil || len(problems) > 0 {
		return ""
	}
	p, problems, err := d.readPatient(v.Patient)
	if err != nil || len(problems) > 0 || p.Reads == "" || p.Reads == "none" {
		return ""
	}
	printer, err := d.catalogue.Printer(p.Reads)
	own, ownErr := d.catalogue.Printer(d.clinic.Language)
	if err != nil || ownErr != nil || printer.Language().Tag == own.Language().Tag {
		return ""
	}
	return p.Reads
}
