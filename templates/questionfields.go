package templates

import (
	"fmt"
	"slices"
	"strings"

	"philtrum/forms"
	"philtrum/locales"
	"philtrum/templates/layout"
)

// placed is a question on a page: the names of its fields, and the answer that stands in them.
type placed struct {
	*scope
	question *forms.Question
	name     string // of its fields
	number   string
	entry    *locales.Value // number of the entry that it belongs to; nil: none
	answer   forms.Answer
	words    string // in place of those of the question, which has no number
}

// Room to write; common practice, no source.
const (
	medicineLines = 4
	textLines     = 4
	numberSigns   = 6
)

// fill puts the places for the answer into a question.
func (p placed) fill(a *layout.Asked) {
	switch p.question.Kind {
	case forms.YesNo:
		p.one(a, []string{"yes", "no"}, []string{"paper.yes", "paper.no"})
	case forms.OneOf:
		words := make([]string, len(p.question.Options))
		for i, o := range p.question.Options {
			words[i] = "question." + p.question.ID + ".option." + o
		}
		a.Listed = true
		p.one(a, p.question.Options, words)
	case forms.SomeOf:
		p.some(a)
	case forms.DateKind:
		p.date(a)
	case forms.Number:
		p.numeral(a)
	case forms.Medicines:
		a.Lines, a.Note = medicineLines, p.message("questionnaire.one_a_line", nil, false)
		p.lines(a, p.answer.Value.Names)
		none := p.given() && len(p.answer.Value.Names) == 0
		a.Boxes = []layout.TickBox{p.box(layout.FieldTick, p.name+"-none", "yes", "questionnaire.no_medicine", none), p.unsure()}
	default:
		a.Lines = textLines
		p.lines(a, []string{p.answer.Value.Text})
	}
}

func (p placed) given() bool { return p.answer.State == forms.Given }

// one is boxes of which one is meant.
func (p placed) one(a *layout.Asked, states, words []string) {
	v := p.answer.Value
	for i, state := range states {
		ticked := p.given() && !v.NotApplicable && !v.None && (v.Choice == state || v.Kind == forms.YesNo && v.Yes == (state == "yes"))
		a.Boxes = append(a.Boxes, p.box(layout.FieldOne, p.name, state, words[i], ticked))
	}
	a.Boxes = append(a.Boxes, p.box(layout.FieldOne, p.name, StateUnsure, "paper.not_sure", p.answer.State == forms.Unsure))
	if p.question.NotApplicable {
		a.Boxes = append(a.Boxes, p.box(layout.FieldOne, p.name, StateNotApplicable, "questionnaire.not_applicable", v.NotApplicable))
	}
}

// States of boxes besides the options of a question.
const (
	StateUnsure        = "unsure"
	StateNotApplicable = "not_applicable"
)

// some is a list of which any may be ticked.
func (p placed) some(a *layout.Asked) {
	a.Listed = true
	for _, o := range p.question.Options {
		a.Boxes = append(a.Boxes, p.box(layout.FieldTick, p.name+"-"+o, "yes", "question."+p.question.ID+".option."+o,
			p.given() && slices.Contains(p.answer.Value.Choices, o)))
	}
	none := p.given() && len(p.answer.Value.Choices) == 0
	a.Boxes = append(a.Boxes, p.box(layout.FieldTick, p.name+"-none", "yes", "questionnaire.none", none), p.unsure())
}

func (p placed) unsure() layout.TickBox {
	return p.box(layout.FieldTick, p.name+"-unsure", "yes", "paper.not_sure", p.answer.State == forms.Unsure)
}

// date is three rows of cells, in the order in which the paper's language writes a date in figures: whoever does not
// know the day leaves it empty.
func (p placed) date(a *layout.Asked) {
	d := p.answer.Value.Date
	part := func(name, message string, signs, value int, kind layout.FieldKind) layout.Part {
		label := p.message(message, nil, false)
		f := &layout.Field{Name: p.name + "-" + name, Kind: kind, Tip: p.tip(message), Signs: signs, Comb: kind == layout.FieldText}
		if kind == layout.FieldChoice {
			f.Signs = 0
			for n := 1; n <= 12; n++ {
				f.Options = append(f.Options, fmt.Sprint(n))
			}
		}
		out := layout.Part{Label: label, Signs: signs, Field: f}
		if value > 0 && p.given() {
			out.Value = p.signs(fmt.Sprintf("%0*d", signs, value))
		}
		return out
	}
	for _, of := range p.c.language.DateOrder {
		switch of {
		case 'd':
			a.Parts = append(a.Parts, part("day", "questionnaire.day", 2, d.Day, layout.FieldText))
		case 'm':
			a.Parts = append(a.Parts, part("month", "questionnaire.month", 2, int(d.Month), layout.FieldChoice))
		case 'y':
			a.Parts = append(a.Parts, part("year", "questionnaire.year", 4, d.Year, layout.FieldText))
		}
	}
	a.Boxes = []layout.TickBox{p.unsure()}
	if p.question.NotApplicable {
		a.Boxes = append(a.Boxes, p.box(layout.FieldTick, p.name+"-na", "yes", "questionnaire.not_applicable", p.answer.Value.NotApplicable))
	}
}

// numeral is a row of cells for a number as it is written.
func (p placed) numeral(a *layout.Asked) {
	part := layout.Part{Signs: numberSigns, Field: &layout.Field{Name: p.name, Kind: layout.FieldText, Tip: p.tip(""), Signs: 12}}
	if p.question.Unit != "" {
		part.Label = []layout.Span{{Text: p.question.Unit, Value: true}}
	}
	if p.given() && !p.answer.Value.None && !p.answer.Value.NotApplicable {
		part.Value = p.signs(p.answer.Value.Number.String())
	}
	a.Parts = []layout.Part{part}
	a.Boxes = []layout.TickBox{p.unsure()}
}

// signs gives each sign a span of its own.
func (p placed) signs(text string) [][]layout.Span {
	var out [][]layout.Span
	for _, r := range text {
		out = append(out, []layout.Span{{Text: string(r), Value: true, Field: "answers." + p.question.ID}})
	}
	return out
}

// lines is what was written, a text a line.
func (p placed) lines(a *layout.Asked, texts []string) {
	a.Field = &layout.Field{Name: p.name, Kind: layout.FieldText, Tip: p.tip(""), Lines: true}
	if !p.given() {
		return
	}
	for _, t := range texts {
		if strings.TrimSpace(t) == "" {
			continue
		}
		if len(a.Value) > 0 {
			a.Value = append(a.Value, layout.Below)
		}
		a.Value = append(a.Value, layout.Span{Text: t, Value: true, Field: "answers." + p.question.ID})
	}
}

// box is a box with its label.
func (p placed) box(kind layout.FieldKind, name, state, message string, ticked bool) layout.TickBox {
	out := layout.TickBox{Label: p.message(message, nil, false), Ticked: ticked,
		Field: &layout.Field{Name: name, Kind: kind, State: state, Tip: p.tip(message)}}
	if kind == layout.FieldOne {
		out.Field.Group = p.tip("")
	}
	if ticked {
		out.Said = plain(p.message("questionnaire.ticked", nil, false))
	}
	return out
}

// tip is what is read aloud at a field: the number of its question, its words, and what the box stands for.
func (p placed) tip(option string) string {
	if p.words != "" {
		return strings.TrimSpace(p.words + " " + plain(p.message(option, nil, false)))
	}
	id, args := "questionnaire.tip", locales.Args{"number": locales.Text(p.number), "question": question(p.question.ID)}
	if p.entry != nil {
		id, args["entry"] = "questionnaire.tip_entry", *p.entry
	}
	if option != "" {
		if id == "questionnaire.tip" {
			id = "questionnaire.tip_option"
		} else {
			id = "questionnaire.tip_entry_option"
		}
		args["option"] = locales.Ref(option)
	}
	return plain(p.message(id, args, false))
}
