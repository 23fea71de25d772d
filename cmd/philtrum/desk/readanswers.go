package desk

import (
	"slices"
	"strings"
	"time"
	"unicode"
	"unicode/utf8"

	"philtrum/forms"
	"philtrum/forms/measure"
	"philtrum/templates"
	"philtrum/templates/pdf/read"
)

// Unclear is why an answer of a form cannot be taken over.
type Unclear string

// Reasons.
const (
	TwoTicks   Unclear = "two"
	NoneAnd    Unclear = "none_and"
	NoDate     Unclear = "date"
	NoYear     Unclear = "year"
	NoNumber   Unclear = "number"
	BothSaid   Unclear = "both"
	NoCheck    Unclear = "check" // the form's checks do not take it
	pageRead           = "page-read-"
	pageAllNo          = "page-no-"
	filledOn           = templates.FilledOn
	unsureTick         = "-unsure"
)

// reply is what a form says to one question.
type reply struct {
	question templates.Questioned
	answer   forms.Answer
	unclear  Unclear
	more     bool // of a list: there were more than the form has room for
}

// filledForm is the values of a form by the names of its fields.
type filledForm map[string][]string

func formValues(f read.Form) filledForm {
	out := filledForm{}
	for _, field := range f.Fields {
		out[field.Name] = field.Values
	}
	return out
}

func (f filledForm) ticked(name string) bool { return len(f[name]) > 0 }

// text is what was typed, in Unicode's composed form or not, as it was typed; spaces around it are none of it.
func (f filledForm) text(name string) string {
	if len(f[name]) != 1 {
		return ""
	}
	return strings.TrimFunc(strings.ReplaceAll(f[name][0], "\r\n", "\n"), func(r rune) bool { return unicode.IsSpace(r) || r == 0 })
}

// answers reads what a form says to each of its questions.
func (f filledForm) answers(asked []templates.Questioned) []reply {
	out := make([]reply, 0, len(asked))
	for _, q := range asked {
		s := reply{question: q}
		if q.Kind == forms.Entries {
			s.answer, s.unclear, s.more = f.entries(q.Question)
		} else {
			s.answer, s.unclear = f.answer(q.Question, q.ID)
		}
		out = append(out, s)
	}
	return out
}

var blankAnswer = forms.Answer{State: forms.Blank}

func givenAnswer(v forms.Value) forms.Answer { return forms.Answer{State: forms.Given, Value: v} }

// answer reads the fields of one question.
func (f filledForm) answer(q *forms.Question, name string) (forms.Answer, Unclear) {
	switch q.Kind {
	case forms.YesNo, forms.OneOf:
		return f.oneOf(q, name)
	case forms.SomeOf:
		return f.someOf(q, name)
	}
	a, unclear := f.typed(q, name)
	switch {
	case unclear != "":
		return blankAnswer, unclear
	case f.ticked(name+"-na") && (a.State == forms.Given || f.ticked(name+unsureTick)):
		return blankAnswer, BothSaid
	case f.ticked(name + "-na"):
		return givenAnswer(forms.Value{Kind: q.Kind, NotApplicable: true}), ""
	case f.ticked(name+unsureTick) && a.State == forms.Given:
		return blankAnswer, BothSaid
	case f.ticked(name + unsureTick):
		return forms.Answer{State: forms.Unsure}, ""
	}
	return a, ""
}

func (f filledForm) oneOf(q *forms.Question, name string) (forms.Answer, Unclear) {
	states := f[name]
	switch {
	case len(states) == 0:
		return blankAnswer, ""
	case len(states) > 1:
		return blankAnswer, TwoTicks
	case states[0] == templates.StateUnsure:
		return forms.Answer{State: forms.Unsure}, ""
	case states[0] == templates.StateNotApplicable && q.NotApplicable:
		return givenAnswer(forms.Value{Kind: q.Kind, NotApplicable: true}), ""
	case q.Kind == forms.YesNo && (states[0] == "yes" || states[0] == "no"):
		return givenAnswer(forms.Value{Kind: q.Kind, Yes: states[0] == "yes"}), ""
	case q.Kind == forms.OneOf && slices.Contains(q.Options, states[0]):
		return givenAnswer(forms.Value{Kind: q.Kind, Choice: states[0]}), ""
	}
	return blankAnswer, TwoTicks
}

func (f filledForm) someOf(q *forms.Question, name string) (forms.Answer, Unclear) {
	var chosen []string
	for _, o := range q.Options {
		if f.ticked(name + "-" + o) {
			chosen = append(chosen, o)
		}
	}
	none, unsure := f.ticked(name+"-none"), f.ticked(name+unsureTick)
	switch {
	case none && len(chosen) > 0:
		return blankAnswer, NoneAnd
	case unsure && (none || len(chosen) > 0):
		return blankAnswer, BothSaid
	case unsure:
		return forms.Answer{State: forms.Unsure}, ""
	case none || len(chosen) > 0:
		return givenAnswer(forms.Value{Kind: q.Kind, Choices: chosen}), ""
	}
	return blankAnswer, ""
}

// typed reads what somebody wrote: a date, a number, names, a text.
func (f filledForm) typed(q *forms.Question, name string) (forms.Answer, Unclear) {
	switch q.Kind {
	case forms.DateKind:
		return f.date(name)
	case forms.Number:
		text := strings.NewReplacer("\u066b", ".", "\u066c", "").Replace(plainDigits(f.text(name)))
		if text == "" {
			return blankAnswer, ""
		}
		n, ok := forms.ParseNumber(text)
		if !ok {
			return blankAnswer, NoNumber
		}
		return givenAnswer(forms.Value{Kind: q.Kind, Number: n}), ""
	case forms.Medicines:
		return f.medicines(q, name)
	}
	if text := f.text(name); text != "" {
		return givenAnswer(forms.Value{Kind: q.Kind, Text: text}), ""
	}
	return blankAnswer, ""
}

// medicines reads names, one on each line.
func (f filledForm) medicines(q *forms.Question, name string) (forms.Answer, Unclear) {
	var names []string
	for _, line := range strings.FieldsFunc(f.text(name), func(r rune) bool { return r == '\n' || r == '\r' || r == '\u2028' || r == '\u2029' }) {
		if line = strings.TrimSpace(line); line != "" {
			names = append(names, line)
		}
	}
	none := f.ticked(name + "-none")
	switch {
	case none && len(names) > 0:
		return blankAnswer, NoneAnd
	case none:
		return givenAnswer(forms.Value{Kind: q.Kind, Names: []string{}}), ""
	case len(names) > 0:
		return givenAnswer(forms.Value{Kind: q.Kind, Names: names}), ""
	}
	return blankAnswer, ""
}

// date reads a year, a month of a year, or a day. The parts stand alone, so no order can be mistaken.
func (f filledForm) date(name string) (forms.Answer, Unclear) {
	day, month, year := plainDigits(f.text(name+"-day")), plainDigits(f.text(name+"-month")), plainDigits(f.text(name+"-year"))
	if month == "-" {
		month = ""
	}
	switch {
	case day == "" && month == "" && year == "":
		return blankAnswer, ""
	case year == "":
		return blankAnswer, NoYear
	case day != "" && month == "" || len(year) != 4 || len(day) > 2 || len(month) > 2:
		return blankAnswer, NoDate
	}
	text := year
	if month != "" {
		text += "-" + padded(month)
	}
	if day != "" {
		text += "-" + padded(day)
	}
	d, err := measure.ParsePartial(text)
	if err != nil {
		return blankAnswer, NoDate
	}
	return givenAnswer(forms.Value{Kind: forms.DateKind, Date: d}), ""
}

func padded(s string) string {
	if len(s) == 1 {
		return "0" + s
	}
	return s
}

// plainDigits writes the digits of any script as those of ours. Decimal digits stand in tens in Unicode, from
// nought on (Unicode, section 4.6).
func plainDigits(s string) string {
	return strings.Map(func(r rune) rune {
		if r < utf8.RuneSelf || !unicode.Is(unicode.Nd, r) {
			return r
		}
		for _, table := range unicode.Nd.R16 {
			if r >= rune(table.Lo) && r <= rune(table.Hi) {
				return '0' + (r-rune(table.Lo))%10
			}
		}
		for _, table := range unicode.Nd.R32 {
			if r >= rune(table.Lo) && r <= rune(table.Hi) {
				return '0' + (r-rune(table.Lo))%10
			}
		}
		return r
	}, s)
}

// entries reads a list. What did not fit on the form is an entry of which nothing is known: it may be anything.
func (f filledForm) entries(q *forms.Question) (forms.Answer, Unclear, bool) {
	var entries []forms.Entry
	for n := 1; n <= templates.EntriesAsked; n++ {
		entry := forms.Entry{}
		said := false
		for _, field := range q.Fields {
			a, unclear := f.answer(field, templates.EntryField(q.ID, n, field.FieldName()))
			if unclear != "" {
				return blankAnswer, unclear, false
			}
			said = said || a.State != forms.Blank
			entry[field.FieldName()] = a
		}
		if said {
			entries = append(entries, entry)
		}
	}
	more := f.ticked(q.ID + "-more")
	if more {
		entry := forms.Entry{}
		for _, field := range q.Fields {
			entry[field.FieldName()] = forms.Answer{State: forms.Unsure}
		}
		entries = append(entries, entry)
	}
	unsure := f.ticked(q.ID + unsureTick)
	switch {
	case unsure && len(entries) > 0:
		return blankAnswer, BothSaid, more
	case unsure:
		return forms.Answer{State: forms.Unsure}, "", false
	case len(entries) > 0:
		return givenAnswer(forms.Value{Kind: forms.Entries, Entries: entries}), "", more
	}
	return blankAnswer, "", false
}

// day is the day on which the form says that it was filled in; zero where it does not say one.
func (f filledForm) day() measure.Date {
	a, unclear := f.date(filledOn)
	if unclear != "" || a.State != forms.Given || a.Value.Date.Day == 0 {
		return measure.Date{}
	}
	return measure.Date{Year: a.Value.Date.Year, Month: time.Month(a.Value.Date.Month), Day: a.Value.Date.Day}
}
