package templates

import (
	"errors"
	"time"

	"philtrum/forms/source"
	"philtrum/locales"
)

// Prove checks that every message of the template exists in the printer's language and asks for nothing
// but values that the template knows at that place, each of the kind that the message declares.
func (t *Template) Prove(p *locales.Printer) source.Problems {
	v := &prover{p: p, seen: map[string]bool{}}
	for _, f := range []furniture{t.head, t.foot} {
		for _, all := range [][]words{f.start, f.end, f.over, f.under, f.firstStart, f.firstEnd} {
			for _, w := range all {
				v.words(w, nil)
			}
		}
	}
	v.blocks(t.blocks, nil)
	v.blocks(t.closing, nil)
	for id, name := range own {
		v.message(id, source.Span{}, nil, name)
	}
	v.problems.Sort()
	return v.problems
}

// own are the messages that the composer asks for by itself, with the placeholder that it fills.
var own = map[string]string{
	untilDate: "date", untilMoment: "time", forHours: "n", forDays: "n", forWeeks: "n", forMonths: "n",
	patientLeft: "", patientRight: "", "paper.to_complete": "", "language.typed.alone": "language", "language.typed.interpreted": "language", "paper.unknown": "", "term.not_said": "",
	questionWhy: "question", questionAnswer: "question", beside: "one", zoneSum: "heading", "paper.not_applicable": "", "paper.none": "", markVolume: "volume", markBoth: "volume", markPlace: "volume", markUnread: "typed",
}

type prover struct {
	p        *locales.Printer
	seen     map[string]bool
	problems source.Problems
}

func (v *prover) blocks(all []*block, within []string) {
	for _, b := range all {
		in := within
		if b.each != "" {
			in = with(in, b.each)
		}
		b.body.texts(func(w words, list string) {
			at := in
			if list != "" {
				at = with(at, list)
			}
			v.words(w, at)
		})
		v.blocks(b.body.inner(), in)
	}
}

func (v *prover) words(w words, within []string) {
	for _, s := range w {
		if s.message != "" {
			v.message(s.message, s.span, within, "")
		}
	}
}

func (v *prover) message(id string, at source.Span, within []string, filled string) {
	args := locales.Args{}
	report := func(name, reason string) {
		v.problems = append(v.problems, source.Problem{ID: "problem.message", Span: at,
			Args: map[string]any{"message": id, "reason": name + ": " + reason}})
	}
	for {
		_, err := v.p.Spans(id, args)
		if err == nil {
			return
		}
		name := missingArgument(err, args)
		if name == "" {
			report("", reasonOf(err))
			return
		}
		kind, known := valueKind(name, within)
		switch {
		case name == filled:
			args[name] = locales.Blank()
		case !known && fillsLater[name]:
			args[name] = locales.Blank()
		case !known:
			report(name, "no such value here")
			return
		default:
			args[name] = sample(kind)
		}
	}
}

// fillsLater are placeholders that the composer fills beside the named one.
var fillsLater = map[string]bool{"answer": true, "other": true, "volume": true, "zone": true, "side": true, "why": true, "date": true}

func reasonOf(err error) string {
	var e *locales.MessageError
	if errors.As(err, &e) {
		return e.Error()
	}
	return err.Error()
}

// sample is a value of a kind, to prove messages with.
func sample(kind locales.Kind) locales.Value {
	switch kind {
	case locales.KindNumber:
		return locales.Number("1.5")
	case locales.KindCount:
		return locales.Count(2)
	case locales.KindVolume:
		return locales.Volume("0.5")
	case locales.KindDose:
		return locales.Dose("3")
	case locales.KindDate:
		return locales.Date(2026, 12, 4)
	case locales.KindDateTime:
		return locales.DateTime(time.Date(2026, 12, 4, 14, 5, 0, 0, time.UTC))
	case locales.KindClock:
		return locales.Clock(time.Date(2026, 12, 4, 14, 5, 0, 0, time.UTC))
	case locales.KindList:
		return locales.List(locales.Text("a"), locales.Text("b"))
	case locales.KindRef:
		return locales.Rendered([]locales.Span{{Text: "a"}})
	}
	return locales.Text("a")
}
