package desk

import (
	"errors"
	"reflect"
	"slices"
	"strconv"
	"strings"
	"time"

	"philtrum/forms"
	"philtrum/forms/intake"
	"philtrum/forms/measure"
	"philtrum/forms/source"
	"philtrum/forms/visit"
	"philtrum/templates"
	"philtrum/templates/pdf"
	"philtrum/templates/pdf/read"
)

// Reasons for which a questionnaire waits in the tray.
const (
	FormForeign  Why = "form_foreign"  // not issued here
	FormVersion  Why = "form_version"  // the questions have changed since
	FormEdited   Why = "form_edited"   // its questions are not those that were issued
	FormReplaced Why = "form_replaced" // a later one of the visit is back already
)

// Filled is a questionnaire that came back, as a process of its own has read it.
type Filled struct {
	Data  []byte
	Form  read.Form
	Fault Why // why it could not be read
}

// Taken is what became of a questionnaire.
type Taken struct {
	Visit    string
	Before   bool     // read before; nothing was changed
	Changes  []Change // what is new or another answer
	Same     int      // answers as before
	Unclear  []Doubt
	NeedsWhy []string // questions whose answers led to a finding that was shown; they stand as they were
	More     []string // lists that were longer than the form
	Says     []Contradiction
	Item     string // in the tray
	Why      Why
	Checked  Checked
}

// Change is an answer that is new or another than before.
type Change struct {
	Question       *forms.Question
	Before, Answer forms.Answer // Before has no state where there was none
}

// Doubt is an answer that cannot be taken over.
type Doubt struct {
	Question string
	Why      Unclear
}

// Contradiction is a page that says that all its answers are no, and a question of it with another.
type Contradiction struct {
	Page     int
	Question string
}

// TakeBack keeps the answers of a questionnaire that was filled in on a screen. Nothing of it is trusted before it
// is compared with what was issued. dry changes nothing.
func (d *Desk) TakeBack(f Filled, by, why string, dry bool) (Taken, source.Problems, error) {
	if problems := d.load(); len(problems) > 0 {
		return Taken{}, problems, nil
	}
	if f.Fault != "" {
		return d.intoTray(f, f.Fault, by, dry)
	}
	about, ok := aboutOf(f.Form)
	if !ok {
		return d.intoTray(f, FormForeign, by, dry)
	}
	v, paper, wrong, err := d.issuedForm(about, f)
	if err != nil {
		return Taken{}, nil, err
	}
	if wrong != "" {
		return d.intoTray(f, wrong, by, dry)
	}
	return d.take(f, v, paper, by, why, dry)
}

// aboutOf is what a form says of itself.
func aboutOf(f read.Form) (pdf.Form, bool) {
	var about pdf.Form
	for _, field := range f.Fields {
		if field.Name != pdf.AboutField || len(field.Values) != 1 {
			continue
		}
		for _, word := range strings.Fields(field.Values[0]) {
			key, value, _ := strings.Cut(word, "=")
			switch key {
			case "visit":
				about.Visit = value
			case "document":
				about.Document = value
			case "questions":
				about.Questions = value
			case "version":
				about.Version = value
			}
		}
	}
	return about, about.Visit != "" && about.Document != ""
}

// issuedForm finds the visit and the paper of a form, or says why it cannot be taken over.
func (d *Desk) issuedForm(about pdf.Form, f Filled) (visit.Visit, visit.Paper, Why, error) {
	none := func(why Why, err error) (visit.Visit, visit.Paper, Why, error) {
		return visit.Visit{}, visit.Paper{}, why, err
	}
	if !d.folder.HasVisit(about.Visit) {
		return none(FormForeign, nil)
	}
	v, problems, err := d.readVisit(about.Visit)
	if err != nil {
		return none("", err)
	}
	if len(problems) > 0 {
		return none(UnreadVisit, nil)
	}
	at := slices.IndexFunc(v.Papers, func(p visit.Paper) bool { return p.Document == about.Document && p.Kind == kindQuestionnaire })
	if at < 0 {
		return none(FormForeign, nil)
	}
	name, err := d.folder.PaperFile(v.ID, about.Document)
	if err != nil {
		return none(FormForeign, nil)
	}
	data, err := d.folder.Read(name)
	if err != nil {
		return none("", err)
	}
	issued, err := formIn(data)
	switch {
	case err != nil:
		return none(FormForeign, nil) // of this paper there is no form on a screen
	case about.Questions != d.form.ID || about.Version != d.form.Version:
		return none(FormVersion, nil)
	case !sameForm(issued, f.Form):
		return none(FormEdited, nil)
	}
	for _, r := range v.Returned {
		if r.Via == visit.FromScreen && r.Document != about.Document && later(v, r.Document, at) {
			return none(FormReplaced, nil)
		}
	}
	return v, v.Papers[at], "", nil
}

// later says whether a document was issued after the paper at a place of the list.
func later(v visit.Visit, document string, at int) bool {
	return slices.IndexFunc(v.Papers, func(p visit.Paper) bool { return p.Document == document }) > at
}

func formIn(data []byte) (read.Form, error) {
	f, err := read.Open(data)
	if err != nil {
		return read.Form{}, err
	}
	return f.FormOf()
}

// sameForm says whether a form asks exactly what was issued: the same fields with the same words, on the same pages,
// and nothing that acts by itself.
func sameForm(issued, back read.Form) bool {
	if back.Active || len(issued.Fields) != len(back.Fields) || !slices.Equal(issued.Pages, back.Pages) {
		return false
	}
	byName := map[string]read.FormField{}
	for _, f := range back.Fields {
		byName[f.Name] = f
	}
	for _, f := range issued.Fields {
		g, ok := byName[f.Name]
		if !ok || f.Kind != g.Kind || f.Tip != g.Tip || !slices.Equal(f.States, g.States) || !slices.Equal(f.Options, g.Options) {
			return false
		}
		if f.Name == pdf.AboutField && !slices.Equal(f.Values, g.Values) {
			return false
		}
	}
	return true
}

// intoTray keeps a file that fits nowhere, with its reason.
func (d *Desk) intoTray(f Filled, why Why, by string, dry bool) (Taken, source.Problems, error) {
	if dry {
		return Taken{Why: why}, nil, nil
	}
	extension := "pdf"
	if !strings.HasPrefix(string(f.Data[:min(len(f.Data), 1024)]), "%PDF") {
		extension = "bin"
	}
	a := &attaching{desk: d, by: by, visits: map[string]*gathered{}}
	a.wait(Attached{Why: why}, digest(f.Data)+"."+extension)
	if a.err != nil {
		return Taken{}, nil, a.err
	}
	return Taken{Why: why, Item: a.all[0].Item}, nil, a.write([]Scanned{{Data: f.Data, Extension: extension}})
}

// take compares the answers with those of the visit, and keeps them.
func (d *Desk) take(f Filled, v visit.Visit, paper visit.Paper, by, why string, dry bool) (Taken, source.Problems, error) {
	values := formValues(f.Form)
	asked := templates.Questionnaire(d.form, v.Kind)
	all := values.answers(asked)
	taken := Taken{Visit: v.ID, Says: contradictions(values, all, f.Form.PageOf)}
	file := digest(f.Data) + ".pdf"
	taken.Before = slices.ContainsFunc(v.Returned, func(r visit.Returned) bool { return r.File == file })
	at := d.filledAt(values.day(), paper)
	before := intake.Read(d.form, v, &source.Reader{})
	var keep []Change
	for _, s := range all {
		if s.more {
			taken.More = append(taken.More, s.question.ID)
		}
		if s.unclear != "" {
			taken.Unclear = append(taken.Unclear, Doubt{s.question.ID, s.unclear})
			continue
		}
		old, known := before.Answer(s.question.ID)
		if s.answer.State == forms.Blank && (known || s.question.When != "") {
			continue // an empty field takes nothing back, and says nothing of a question that may not be meant
		}
		s.answer.By, s.answer.Via, s.answer.At, s.answer.Why = "patient", "screen", at, ""
		same := known && sameAnswer(old, s.answer)
		if known && old.At.After(at) && !same {
			taken.Unclear = append(taken.Unclear, Doubt{s.question.ID, newerThere})
			continue
		}
		if changesShown(v, s.question.ID, s.answer) {
			if s.answer.Why = strings.TrimSpace(why); s.answer.Why == "" {
				taken.NeedsWhy = append(taken.NeedsWhy, s.question.ID)
				continue
			}
		}
		if !d.takes(v, s.question.ID, s.answer) {
			taken.Unclear = append(taken.Unclear, Doubt{s.question.ID, NoCheck})
			continue
		}
		if same {
			taken.Same++
		} else {
			taken.Changes = append(taken.Changes, Change{s.question.Question, old, s.answer})
		}
		if known && same && !old.At.Before(at) {
			continue // nothing of it is new
		}
		keep = append(keep, Change{s.question.Question, old, s.answer})
	}
	// A form that was read already is taken up again only for the answers that waited for a reason.
	if taken.Before = taken.Before && (why == "" || len(taken.Changes) == 0); dry || taken.Before {
		return taken, nil, nil
	}
	return d.keepTaken(taken, f, v, paper, keep, by)
}

// newerThere says that the visit has a later answer than the form.
const newerThere Unclear = "newer"

// filledAt is when a form was filled in: the end of the day that it names, or now where that is today. Without a
// day, or with one that cannot be, it is the time of issue: an answer never counts as newer than it may be.
func (d *Desk) filledAt(day measure.Date, paper visit.Paper) time.Time {
	now := d.now()
	today, issued := measure.DateOf(now, d.clinic.Zone), measure.DateOf(paper.At, d.clinic.Zone)
	switch {
	case day == today:
		return now
	case day.IsZero() || day.After(today) || issued.After(day):
		return paper.At
	}
	return day.In(d.clinic.Zone, 23, 59)
}

// sameAnswer says whether two answers say the same, whoever gave them and when.
func sameAnswer(a, b forms.Answer) bool {
	plain := func(a forms.Answer) *source.Node { return intake.Node(bare(a), time.UTC) }
	return a.State == b.State && reflect.DeepEqual(plain(a), plain(b))
}

// bare is an answer without who gave it and when.
func bare(a forms.Answer) forms.Answer {
	out := forms.Answer{State: a.State, Value: a.Value}
	if len(a.Value.Entries) > 0 {
		out.Value.Entries = nil
		for _, e := range a.Value.Entries {
			entry := forms.Entry{}
			for name, field := range e {
				entry[name] = bare(field)
			}
			out.Value.Entries = append(out.Value.Entries, entry)
		}
	}
	return out
}

// takes says whether the form's checks take an answer.
func (d *Desk) takes(v visit.Visit, question string, a forms.Answer) bool {
	alone, reader := v, &source.Reader{}
	alone.Answers = source.Map(question, intake.Node(a, d.clinic.Zone))
	intake.Read(d.form, alone, reader)
	return len(reader.Problems()) == 0
}

// keepTaken writes the answers, that the form is back, and its file as evidence: all of it or nothing.
func (d *Desk) keepTaken(taken Taken, f Filled, v visit.Visit, paper visit.Paper, keep []Change, by string) (Taken, source.Problems, error) {
	name, err := d.folder.VisitFile(v.ID)
	if err != nil {
		return taken, nil, err
	}
	sum := digest(f.Data)
	evidence, err := d.folder.EvidenceFile(v.ID, sum, "pdf")
	if err != nil {
		return taken, nil, err
	}
	back := visit.Returned{Document: paper.Document, Via: visit.FromScreen, File: sum + ".pdf", At: d.now(), By: by}
	changes := []source.Change{{Path: []string{"returned"}, Append: true, Value: back.Node()}}
	for _, c := range keep {
		changes = append(changes, source.Change{Path: []string{"answers", c.Question.ID}, Value: intake.Node(replacing(c), d.clinic.Zone)})
	}
	batch := d.folder.Batch(d.at)
	if !d.folder.Has(evidence) {
		batch.Create(evidence, f.Data)
	}
	var problems source.Problems
	batch.Update(name, func(old []byte) ([]byte, error) {
		edited, found := source.Edit(name, old, changes...)
		if problems = found; len(found) > 0 {
			return nil, errUnchanged
		}
		return edited, nil
	})
	batch.Enter("kept", sum[:32], sum)
	batch.EnterFile("answered", v.ID, name)
	if err := batch.Commit(); err != nil {
		if errors.Is(err, errUnchanged) {
			return taken, problems, nil
		}
		return taken, nil, err
	}
	taken.Checked, err = d.Check(v.ID)
	return taken, nil, err
}

// replacing is an answer that keeps the one before it.
func replacing(c Change) forms.Answer {
	a := c.Answer
	if c.Before.State != "" {
		old := c.Before
		earlier := old.Replaced
		old.Replaced = nil
		a.Replaced = append([]forms.Answer{old}, earlier...)
	}
	return a
}

// contradictions are pages that say that every answer is no, beside an answer that is not.
func contradictions(values filledForm, all []reply, pages map[string]int) []Contradiction {
	var out []Contradiction
	for _, s := range all {
		page := pages[s.question.ID]
		if s.question.Kind != forms.YesNo || page == 0 || !values.ticked(pageAllNo+strconv.Itoa(page)) {
			continue
		}
		if s.answer.State == forms.Given && (s.answer.Value.Yes || s.answer.Value.NotApplicable) || s.answer.State == forms.Unsure {
			out = append(out, Contradiction{page, s.question.ID})
		}
	}
	return out
}
