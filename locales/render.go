package locales

import (
	"errors"
	"strconv"

	"philtrum/locales/cldr"
)

var (
	errEmptyList = errors.New("empty list")
	errNoDate    = errors.New("not a date")
)

// value appends the spans of a placeholder's argument.
func (p *Printer) value(to []Span, h holder, a Value, depth int) ([]Span, error) {
	switch a.form {
	case formBlank:
		return append(to, Span{Kind: SpanBlank, Lang: p.lang.Region}), nil
	case formText, formAsWritten:
		return append(to, Span{Text: a.text, Kind: SpanValue, Field: a.field}), nil
	case formRendered:
		return append(to, a.spans...), nil
	case formRef:
		spans, err := p.render(a.text, a.args, depth+1)
		return append(to, spans...), err
	case formList:
		return p.list(to, h, a.items, depth)
	}
	text, err := p.formatted(h, a)
	s := Span{Text: text, Kind: SpanValue, Lang: p.lang.Region}
	switch a.form {
	case formDateTime:
		y, m, d := a.at.Date()
		s.Clock = p.locale.ClockIn(cldr.Day{Y: y, M: int(m), D: d}, p.dateStyle(h))
		fallthrough
	case formDate, formPartial, formClock:
		s.Whole = true
	}
	return append(to, s), err
}

func (p *Printer) list(to []Span, h holder, items []Value, depth int) ([]Span, error) {
	if len(items) == 0 {
		return nil, errEmptyList
	}
	parts := make([][]Span, len(items))
	texts := make([]string, len(items))
	for i, item := range items {
		spans, err := p.value(nil, holder{name: h.name}, item, depth)
		if err != nil {
			return nil, err
		}
		parts[i], texts[i] = spans, plain(spans, false)
	}
	for i, spans := range parts {
		if i > 0 {
			joint := p.locale.Joint(i, texts, h.style == "or")
			to = append(to, Span{Text: joint, Kind: SpanWords, Lang: p.lang.Region})
		}
		to = append(to, spans...)
	}
	return to, nil
}

// formatted is the text of a number, quantity, date or time.
func (p *Printer) formatted(h holder, a Value) (string, error) {
	l := p.locale
	switch a.form {
	case formNumber:
		return l.Number(a.text)
	case formCount:
		return l.Number(strconv.Itoa(a.n))
	case formVolume:
		return p.quantity(h, a, cldr.Millilitre)
	case formDose:
		return p.quantity(h, a, cldr.Milligram)
	case formDate, formPartial:
		d := cldr.Day{Y: a.y, M: a.m, D: a.d}
		if !d.Valid() || a.form == formDate && d.D == 0 {
			return "", errNoDate
		}
		return p.beside(l.Date(d, p.dateStyle(h)), d, h), nil
	case formDateTime:
		y, m, d := a.at.Date()
		day := cldr.Day{Y: y, M: int(m), D: d}
		return p.beside(l.DateTime(day, a.at.Hour(), a.at.Minute(), p.dateStyle(h)), day, h), nil
	case formClock:
		return l.Clock(a.at.Hour(), a.at.Minute()), nil
	}
	return "", errors.New("no value")
}

// beside adds the day of another calendar that the region reads by, so that nobody misses it. Short and medium
// dates, which stand in tables, go without.
func (p *Printer) beside(text string, d cldr.Day, h holder) string {
	if s := p.dateStyle(h); s != cldr.Full && s != cldr.Long {
		return text
	}
	if other := p.locale.Beside(d); other != "" {
		return text + " (" + other + ")"
	}
	return text
}

func (p *Printer) quantity(h holder, a Value, u cldr.Unit) (string, error) {
	if h.style == "words" {
		return p.locale.QuantityInWords(a.text, u)
	}
	return p.locale.Quantity(a.text, u)
}

func (p *Printer) dateStyle(h holder) cldr.Style {
	if h.style != "" {
		return cldr.Style(h.style)
	}
	return p.lang.DateStyle
}
