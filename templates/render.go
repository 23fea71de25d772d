package templates

import (
	"errors"
	"slices"
	"strings"

	"philtrum/forms/measure"
	"philtrum/locales"
	"philtrum/templates/layout"
)

// spans renders a text: the first of its sayings that holds.
func (s *scope) spans(w words) []layout.Span {
	for _, say := range w {
		if !say.when.holds(s) {
			continue
		}
		if say.message != "" {
			return s.message(say.message, nil, say.clinic)
		}
		v, ok := s.value(say.value)
		if !ok {
			return nil
		}
		return s.message(perKind+string(s.kind(say.value)), locales.Args{"value": v}, say.clinic)
	}
	return nil
}

// kind is the kind of a value that [scope.value] finds.
func (s *scope) kind(name string) locales.Kind {
	for at := s; at != nil; at = at.up {
		if k, ok := lists[at.list].fields[name]; ok {
			return k
		}
	}
	return values[name].kind
}

// alternative renders a text in the clinic's language where that is another.
func (s *scope) alternative(w words) []layout.Span {
	if !s.c.otherLanguage() || s.c.pair {
		return nil
	}
	inClinic := slices.Clone(w)
	for i := range inClinic {
		inClinic[i].clinic = true
	}
	return s.spans(inClinic)
}

// both renders a text in the paper's language and, where that is another and has another word, in the clinic's.
func (s *scope) both(w words) []layout.Span {
	out := s.spans(w)
	if alt := s.alternative(w); len(alt) > 0 && plain(alt) != plain(out) {
		out = append(out, layout.Beside)
		for _, a := range alt {
			if a.Ink == layout.InkText {
				a.Ink = layout.InkQuiet
			}
			out = append(out, a)
		}
	}
	return out
}

// message renders a message with the values that its placeholders name, besides those given.
func (s *scope) message(id string, given locales.Args, inClinic bool) []layout.Span {
	p := s.c.paper.Printer
	if inClinic {
		p = s.c.paper.Clinic
	}
	args := locales.Args{}
	for name, v := range given {
		args[name] = v
	}
	for _, name := range s.c.args[id] {
		if v, ok := s.value(name); ok {
			args[name] = v
		}
	}
	for {
		spans, err := p.Spans(id, args)
		if err == nil {
			return s.c.convert(spans)
		}
		name := missingArgument(err, args)
		v, ok := s.value(name)
		if name == "" || !ok {
			s.c.report("problem.message", map[string]any{"message": id, "reason": err.Error()})
			return nil
		}
		args[name] = v
		s.c.args[id] = append(s.c.args[id], name)
	}
}

// missingArgument names the placeholder that an error misses; empty where something else is wrong.
func missingArgument(err error, args locales.Args) string {
	var e *locales.MessageError
	if !errors.As(err, &e) || e.Placeholder == "" || e.Err != nil {
		return ""
	}
	if _, given := args[e.Placeholder]; given {
		return ""
	}
	return e.Placeholder
}

// fit gives a rule's texts the kinds that its message declares.
func (s *scope) fit(l late) locales.Args {
	args := locales.Args{}
	tried := map[string]int{}
	for {
		_, err := s.c.paper.Printer.Spans(l.id, args)
		var e *locales.MessageError
		if err == nil || !errors.As(err, &e) || e.Placeholder == "" {
			return args
		}
		text, ok := l.args[e.Placeholder]
		forms := readings(text)
		if !ok || tried[e.Placeholder] >= len(forms) {
			return args
		}
		args[e.Placeholder] = forms[tried[e.Placeholder]]
		tried[e.Placeholder]++
	}
}

// readings are the values that a text may stand for.
func readings(text string) []locales.Value {
	out := []locales.Value{locales.Text(text)}
	if n, ok := wholeNumber(text); ok {
		out = append(out, locales.Count(n))
	}
	out = append(out, locales.Number(text))
	if d, err := measure.ParseDate(text); err == nil {
		out = append(out, dateOr(d))
	}
	if v, err := measure.ParseVolume(text); err == nil {
		out = append(out, locales.Volume(v.String()))
	}
	if d, err := measure.ParseDose(text); err == nil {
		out = append(out, locales.Dose(d.String()))
	}
	return append(out, locales.List(locales.Text(text)), locales.Ref(text))
}

func wholeNumber(s string) (int, bool) {
	n := 0
	for _, r := range s {
		if r < '0' || r > '9' || n > 1_000_000 {
			return 0, false
		}
		n = n*10 + int(r-'0')
	}
	return n, s != ""
}

// Fields that stand for the number of a page and the count of pages.
const (
	fieldPage  = "page.number"
	fieldPages = "page.count"
)

// mayPart are the fields that a line may end in after a hyphen, as names of people are written, or after
// the signs of an address.
var mayPart = map[string]bool{
	"staff.name": true, "patient.name": true, "decision.by": true, "condition.by": true, "handed.by": true,
	"treatment.by": true, "visit.identity_seen": true, "clinic.name": true, "clinic.email": true, "syringes.lot": true,
}

var afterSigns = strings.NewReplacer("-", "-\u200b", "@", "@\u200b", ".", ".\u200b")

// blankWidth is room for a short entry by pen.
const blankWidth = 35

// convert makes spans of a page from spans of a message.
func (c *composer) convert(spans []locales.Span) []layout.Span {
	out := make([]layout.Span, 0, len(spans))
	for _, s := range spans {
		l := layout.Span{Text: s.Text, Strong: s.Strong, Field: s.Field, Value: s.Kind == locales.SpanValue, Whole: s.Whole}
		if s.Lang != c.paper.Printer.Language().Region {
			l.Lang = s.Lang
		}
		switch {
		case mayPart[s.Field]:
			l.Text = afterSigns.Replace(s.Text)
		case s.Whole:
			l.Text = parted(s.Text, s.Clock)
		}
		switch {
		case s.Field == fieldPage:
			l = layout.Span{Page: true}
		case s.Field == fieldPages:
			l = layout.Span{Pages: true}
		case s.Kind == locales.SpanBlank:
			label, err := c.paper.Printer.Text("paper.to_complete", nil)
			if err != nil {
				c.report("problem.message", map[string]any{"message": "paper.to_complete", "reason": err.Error()})
			}
			l = layout.Span{Text: label, Blank: layout.MM(blankWidth)}
		}
		out = append(out, l)
		if tag := c.typedIn(s.Field, s.Text); tag != "" {
			out[len(out)-1].Lang = tag
			out = append(out, layout.Span{Text: " "})
			out = append(out, c.typedMark(tag)...)
		}
	}
	return out
}

// parted marks where a line may end in a date: before its time, and before the day of another calendar.
func parted(text string, clock int) string {
	if clock > 0 {
		text = text[:clock] + "\u200b" + text[clock:]
	}
	return strings.Replace(text, " (", " \u200b(", 1)
}

// plain is the text of spans.
func plain(spans []layout.Span) string {
	var b strings.Builder
	for _, s := range spans {
		if s.Blank == 0 {
			b.WriteString(s.Text)
		}
	}
	return b.String()
}
