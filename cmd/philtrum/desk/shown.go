package desk

import (
	"errors"
	"slices"

	"philtrum/cmd/philtrum/folder"
	"philtrum/forms"
	"philtrum/forms/intake"
	"philtrum/forms/source"
	"philtrum/forms/visit"
)

// NoteShown notes in the visit's file which answers stood behind the findings that somebody is shown: from
// then on another answer is a change that is asked about and decided. Nothing is written where all of it is
// noted already, nor once the visit was treated, nor of files with problems. While somebody else writes the file,
// nothing is noted either: what they change is shown with the next check.
func (d *Desk) NoteShown(c Checked) error {
	v := c.Case.Visit
	if len(c.Problems) > 0 || v.Treatment != nil {
		return nil
	}
	fresh := c.Report.Shows(c.Case, d.now())
	if len(fresh) == 0 {
		return nil
	}
	_, err := d.change(v.ID, "shown", func(visit.Visit) ([]source.Change, source.Problems) {
		changes := make([]source.Change, len(fresh))
		for i, s := range fresh {
			changes[i] = source.Change{Path: []string{"shown"}, Append: true, Value: s.Node()}
		}
		return changes, nil
	})
	if errors.Is(err, folder.ErrBusy) || errors.Is(err, folder.ErrChanged) {
		return nil
	}
	return err
}

// ChangesShown says whether an answer would change one behind a finding that was shown: then it has to say
// why.
func (d *Desk) ChangesShown(id, question string, answer forms.Answer) (bool, source.Problems, error) {
	v, problems, err := d.readVisit(id)
	if err != nil || len(problems) > 0 {
		return false, problems, err
	}
	return changesShown(v, question, answer), nil, nil
}

func changesShown(v visit.Visit, question string, answer forms.Answer) bool {
	digest := visit.DigestOf(v.Salt, map[string]forms.Answer{question: answer}, question)
	return slices.ContainsFunc(v.Shown, func(s visit.Shown) bool { return s.Question == question && s.Digest != digest })
}

// Before is the answer that a question has already: in this visit, or else in the patient's last earlier one
// that asked it. It is shown when the question is asked anew, and counts only once it is confirmed.
func (d *Desk) Before(id, question string) (forms.Answer, bool, error) {
	c, problems, err := d.Case(id)
	if err != nil || len(problems) > 0 {
		return forms.Answer{}, false, err
	}
	if a, ok := c.Intake.Answer(question); ok {
		return a, true, nil
	}
	for _, earlier := range slices.Backward(c.Earlier) {
		if a, ok := intake.Read(d.form, earlier, &source.Reader{}).Answer(question); ok {
			return a, true, nil
		}
	}
	return forms.Answer{}, false, nil
}
