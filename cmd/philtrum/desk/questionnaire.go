package desk

import (
	"slices"

	"philtrum/forms/source"
	"philtrum/templates/pdf"
)

const kindQuestionnaire = "questionnaire"

// outlined says whether a form of a paper is no pages.
func outlined(as string) bool { return as == AsText || as == AsHTML || as == AsCalendar }

// onlyQuestions says that only a questionnaire is filled in on a screen, or printed with its answers.
func onlyQuestions(kind, as string) source.Problems {
	if (as == AsForm || as == AsFilled) && kind != kindQuestionnaire {
		return one("problem.only_questionnaire")
	}
	return nil
}

// about is what a form on a screen carries of the clinic: opaque ids and the version of the questions.
func (d *Desk) about(c Checked, document, lang string) *pdf.Form {
	return &pdf.Form{Visit: c.Visit, Document: document, Questions: d.form.ID, Version: d.form.Version,
		Typing: d.printer().engine.Typing(lang)}
}

// tooNarrow says that a paper has no room for a second language beside the first: its boxes and combs in large
// print. The second language then is a paper of its own.
func (d *Desk) tooNarrow(c Checked, kind string, r Request) bool {
	return kind == kindQuestionnaire && (r.LargePrint || slices.Contains(c.Case.Patient.Needs, "large_print"))
}
