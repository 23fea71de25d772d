package exchange

import (
	"encoding/json"
	"slices"
	"strings"
	"time"

	"philtrum/forms"
)

type questionnaireResponse struct {
	ResourceType  string     `json:"resourceType"`
	ID            string     `json:"id"`
	Questionnaire string     `json:"questionnaire,omitempty"`
	Status        string     `json:"status"`
	Subject       *reference `json:"subject,omitempty"`
	Authored      string     `json:"authored,omitempty"`
	Author        *reference `json:"author,omitempty"`
	Source        *reference `json:"source,omitempty"`
	Item          []qrItem   `json:"item,omitempty"`
}

type qrItem struct {
	Extension []extension `json:"extension,omitempty"`
	LinkID    string      `json:"linkId"`
	Text      string      `json:"text,omitempty"`
	Answer    []qrAnswer  `json:"answer,omitempty"`
	Item      []qrItem    `json:"item,omitempty"`
}

type qrAnswer struct {
	ValueBoolean *bool       `json:"valueBoolean,omitempty"`
	ValueDecimal json.Number `json:"valueDecimal,omitempty"`
	ValueDate    string      `json:"valueDate,omitempty"`
	ValueString  string      `json:"valueString,omitempty"`
	Item         []qrItem    `json:"item,omitempty"`
}

// absent says why there is no answer: who was asked and does not know, does not want to say, or left it open. Unknown
// is never a no.
var absent = map[forms.State]string{forms.Unsure: "asked-unknown", forms.Declined: "asked-declined", forms.Blank: "unknown"}

// addAnswers adds the answers as they count today, in the order of the form.
func (b *builder) addAnswers() {
	form := b.r.Intake.Form
	if form == nil || len(b.r.Intake.Answers) == 0 {
		return
	}
	id := b.id("answers", "")
	out := questionnaireResponse{ResourceType: "QuestionnaireResponse", ID: id, Status: "completed", Subject: to(b.patient),
		Questionnaire: "urn:uuid:" + uuid("", "questionnaire", form.ID) + "|" + strings.ReplaceAll(clean(form.Version), " ", "-")}
	var newest time.Time
	var by []string
	for _, s := range form.Sections {
		for _, q := range s.Questions {
			a, asked := b.r.Intake.Answer(q.ID)
			if !asked {
				continue
			}
			if a.At.After(newest) {
				newest = a.At
			}
			if !slices.Contains(by, a.By) {
				by = append(by, a.By)
			}
			if a.State == forms.Blank {
				out.Status = "in-progress"
			}
			out.Item = append(out.Item, b.item(q, q.ID, a))
		}
	}
	out.Authored = b.instant(newest)
	// Who answered is named where one person did: the patient by that word, staff by their id.
	if len(by) == 1 {
		out.Source = to(b.answerer(by[0]))
	}
	b.add(id, out)
}

func (b *builder) answerer(by string) string {
	if by == "patient" {
		return b.patient
	}
	for _, p := range b.r.Staff {
		if p.ID == by && by != "" {
			return b.person(by)
		}
	}
	return ""
}

func (b *builder) item(q *forms.Question, linkID string, a forms.Answer) qrItem {
	item := qrItem{LinkID: clean(linkID), Text: clean(b.r.Words.Word("question." + linkID))}
	if why := absent[a.State]; why != "" {
		item.Extension = []extension{{URL: extensionAbsent, ValueCode: why}}
		return item
	}
	if a.Value.NotApplicable {
		item.Extension = []extension{{URL: extensionAbsent, ValueCode: "not-applicable"}}
		return item
	}
	if q.Kind == forms.Entries {
		return b.entriesItem(q, linkID, item, a)
	}
	item.Answer = b.answers(q, linkID, a.Value)
	return item
}

// entriesItem lists the entries as numbered groups, each with its own fields.
func (b *builder) entriesItem(q *forms.Question, linkID string, item qrItem, a forms.Answer) qrItem {
	for _, e := range a.Value.Entries {
		group := qrItem{LinkID: clean(linkID) + ".entry"}
		for _, f := range q.Fields {
			if answer, asked := e[f.FieldName()]; asked {
				group.Item = append(group.Item, b.item(f, f.ID, answer))
			}
		}
		item.Item = append(item.Item, group)
	}
	if len(item.Item) == 0 {
		item.Answer = []qrAnswer{{ValueString: b.word("paper.none")}}
	}
	return item
}

func (b *builder) answers(q *forms.Question, linkID string, v forms.Value) []qrAnswer {
	option := func(code string) qrAnswer {
		if w := clean(b.r.Words.Word("question." + linkID + ".option." + code)); w != "" {
			return qrAnswer{ValueString: w}
		}
		return qrAnswer{ValueString: clean(code)}
	}
	var all []qrAnswer
	switch q.Kind {
	case forms.YesNo:
		yes := v.Yes
		all = append(all, qrAnswer{ValueBoolean: &yes})
	case forms.OneOf:
		all = append(all, option(v.Choice))
	case forms.SomeOf:
		for _, c := range v.Choices {
			all = append(all, option(c))
		}
	case forms.DateKind:
		all = append(all, qrAnswer{ValueDate: v.Date.String()})
	case forms.Number:
		all = append(all, qrAnswer{ValueDecimal: json.Number(v.Number.String())})
	case forms.Text:
		all = append(all, qrAnswer{ValueString: clean(v.Text)})
	case forms.Medicines:
		for _, n := range v.Names {
			all = append(all, qrAnswer{ValueString: clean(n)})
		}
	}
	if len(all) == 0 { // none of the options, no medicine
		all = append(all, qrAnswer{ValueString: b.word("paper.none")})
	}
	return slices.DeleteFunc(all, func(a qrAnswer) bool {
		return a.ValueBoolean == nil && a.ValueDecimal == "" && a.ValueDate == "" && a.ValueString == ""
	})
}
