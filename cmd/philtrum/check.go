package main

import (
	"io"
	"strconv"
	"strings"

	"github.com/spf13/cobra"

	"philtrum/cmd/philtrum/desk"
	"philtrum/forms"
	"philtrum/forms/measure"
	"philtrum/forms/screen"
	"philtrum/locales"
)

// newCheck validates and screens visits and prints what was found, heaviest first.
func (s *session) newCheck() *cobra.Command {
	var asJSON bool
	var dump string
	c := s.command("check VISIT...", func(_ *cobra.Command, args []string) error {
		d, err := s.desk()
		if err != nil {
			return err
		}
		ids, err := s.visits(d, args)
		if err != nil {
			return err
		}
		var all []desk.Checked
		for _, id := range ids {
			checked, err := d.Check(id)
			if err != nil {
				return err
			}
			all = append(all, checked)
		}
		switch {
		case dump != "":
			return s.dumpChecked(all, dump)
		case asJSON:
			return s.checkedJSON(d, all)
		}
		return s.printChecked(d, all)
	})
	c.Flags().BoolVar(&asJSON, "json", false, s.voice.text("cmd.flag.json", nil))
	c.Flags().StringVar(&dump, "dump", "", "")
	_ = c.Flags().MarkHidden("dump")
	return c
}

// printChecked prints for people; a visit with problems or held ends with status 1.
func (s *session) printChecked(d *desk.Desk, all []desk.Checked) error {
	held := false
	for i, checked := range all {
		if i > 0 {
			s.voice.result("")
		}
		if len(checked.Problems) > 0 {
			_ = s.refuse(d, checked.Problems)
			held = true
			continue
		}
		s.printReport(d, checked)
		s.noteShown(d, checked)
		s.printRemarks(checked)
		recalled := checked.Recalled()
		if len(recalled) > 0 {
			_ = s.refuse(d, recalled)
		}
		held = held || checked.Report.Held || len(recalled) > 0
	}
	if held {
		return ended{statusHeld}
	}
	return nil
}

// printRemarks prints what the checks of a record found, behind what screening found.
func (s *session) printRemarks(checked desk.Checked) {
	for i, r := range checked.Remarks() {
		if i == 0 {
			s.voice.result("")
			s.voice.result(s.voice.text("cmd.check.record", nil))
		}
		s.voice.result("    " + s.voice.text(r.ID, r.Args))
	}
}

// noteShown notes what was shown. A folder that cannot be written to still lets one look: it is told, and no
// more.
func (s *session) noteShown(d *desk.Desk, checked desk.Checked) {
	if err := d.NoteShown(checked); err != nil {
		s.voice.say("cmd.check.not_noted", nil)
	}
}

// printReport prints the findings of one visit by weight.
func (s *session) printReport(d *desk.Desk, checked desk.Checked) {
	v, zone := checked.Case.Visit, d.Clinic().Zone
	say := func(id string, args locales.Args) { s.voice.result(s.voice.text(id, args)) }
	say("cmd.check.visit", locales.Args{
		"visit": locales.Text(v.ID), "kind": locales.Ref("term.visit." + string(v.Kind)),
		"at": locales.DateTime(v.Appointment.In(zone)),
	})
	switch {
	case len(checked.Report.Findings) > 0:
	case checked.Report.Urgent():
		say("cmd.check.urgent", nil)
		return
	default:
		say("cmd.check.nothing", locales.Args{"at": locales.DateTime(checked.AnsweredAt().In(zone))})
		s.printPlan(d, checked.Case.Visit)
		return
	}
	for _, f := range checked.Report.Findings {
		if !f.Unknown || f.Decided != nil {
			s.voice.result("")
			s.printFinding(d, checked, f)
		}
	}
	s.printUnanswered(checked.Report)
	s.printPlan(d, checked.Case.Visit)
	s.voice.result("")
	s.printEnd(checked.Report)
}

// printEnd says in a line whether a visit with findings is held, until when and by what.
func (s *session) printEnd(r screen.Report) {
	switch {
	case r.Urgent():
		s.voice.result(s.voice.text("cmd.check.urgent", nil))
	case !r.Held:
		s.voice.result(s.voice.text("cmd.check.decided", nil))
	case !r.Earliest.IsZero():
		s.voice.result(s.voice.text("cmd.check.earliest", locales.Args{"day": day(r.Earliest), "rule": locales.Ref("rule." + r.HeldBy)}))
	default:
		s.voice.result(s.voice.text("cmd.check.held", nil))
	}
}

// answerText is a given answer in words, as far as a line can hold it; empty without one.
func (s *session) answerText(d *desk.Desk, c desk.Checked, id string) string {
	q, ok := d.Question(id)
	a, answered := c.Case.Intake.Answer(id)
	if !ok || !answered {
		return ""
	}
	return s.answerWordsOf(q, a)
}

// answerWordsOf is an answer in words; empty unless it was given.
func (s *session) answerWordsOf(q *forms.Question, a forms.Answer) string {
	if a.State != forms.Given {
		return ""
	}
	switch v := a.Value; {
	case v.NotApplicable:
		return s.voice.text("cmd.ask.not_applicable", nil)
	case q.Kind == forms.YesNo && v.Yes:
		return s.voice.text("cmd.ask.yes", nil)
	case q.Kind == forms.YesNo:
		return s.voice.text("cmd.ask.no", nil)
	case q.Kind == forms.OneOf:
		return s.answerWords(q, v.Choice)
	case q.Kind == forms.SomeOf:
		return s.someWords(q, v.Choices)
	case q.Kind == forms.Medicines:
		return strings.Join(v.Names, "; ")
	case q.Kind == forms.DateKind:
		return v.Date.String()
	case q.Kind == forms.Number:
		return strings.TrimSpace(v.Number.String() + " " + q.Unit)
	case q.Kind == forms.Entries:
		return s.voice.text("cmd.check.entries", locales.Args{"n": locales.Count(len(v.Entries))})
	default:
		return v.Text
	}
}

func (s *session) someWords(q *forms.Question, choices []string) string {
	var words []string
	for _, choice := range choices {
		words = append(words, s.answerWords(q, choice))
	}
	if len(words) == 0 {
		return s.voice.text("cmd.ask.none", nil)
	}
	return strings.Join(words, "; ")
}

// printUnanswered prints what is still to be answered, a question once, with the heaviest that the answer
// may bring and the rules that wait for it.
func (s *session) printUnanswered(r screen.Report) {
	waiting := r.Unanswered()
	if len(waiting) == 0 {
		return
	}
	s.voice.result("")
	s.voice.result(strings.ToUpper(s.voice.text("cmd.level.unknown", nil)) + "  " +
		s.voice.text("cmd.check.unanswered", locales.Args{"n": locales.Count(len(waiting))}))
	for _, u := range waiting {
		s.voice.result("    " + s.voice.text("cmd.check.missing."+string(u.Why), locales.Args{"question": s.question(u.Question)}))
		s.voice.result("        " + s.voice.text("cmd.check.could_be", locales.Args{
			"level": locales.Ref("cmd.level." + string(u.CouldBe)), "rules": s.list(u.Rules)}))
	}
}

// printFinding prints one finding: weight and subject, what was found, what to do, what it rests on.
func (s *session) printFinding(d *desk.Desk, c desk.Checked, f screen.Finding) {
	s.printFindingTo(s.out, d, c, f)
}

// printFindingTo prints a finding to a stream: what forbids a paper is no result.
func (s *session) printFindingTo(out io.Writer, d *desk.Desk, c desk.Checked, f screen.Finding) {
	put := func(text string) { _, _ = io.WriteString(out, text+"\n") }
	line := func(id string, args locales.Args) { put("    " + s.voice.text(id, args)) }
	put(s.mark(f) + "  " + s.voice.text("rule."+f.Rule, nil) + "  (" + f.Rule + ")")
	if f.Unknown {
		for _, m := range f.Missing {
			line("cmd.check.missing."+string(m.Why), locales.Args{"question": s.question(m.Question)})
		}
		line("cmd.check.could_be", locales.Args{"level": locales.Ref("cmd.level." + string(f.CouldBe)), "rules": s.list([]string{f.Rule})})
	} else {
		put("    " + s.words("rule."+f.Rule+"."+f.Outcome, f))
	}
	for _, id := range f.Answers {
		if answer := s.answerText(d, c, id); answer != "" {
			line("cmd.check.answer", locales.Args{"question": s.question(id), "answer": locales.Text(answer)})
		}
	}
	if len(f.Medicines) > 0 {
		line("cmd.check.medicines", locales.Args{"medicines": s.list(f.Medicines)})
	}
	for _, m := range f.Unrecognised {
		if len(m.Suggestions) == 0 {
			line("cmd.check.not_recognised", locales.Args{"words": locales.Text(m.AsWritten)})
			continue
		}
		line("cmd.check.near", locales.Args{"words": locales.Text(m.AsWritten), "near": s.nearMedicines(d, m)})
	}
	if !f.Until.IsZero() {
		line("cmd.check.until", locales.Args{"day": day(f.Until)})
	}
	if !f.Unknown {
		put("    " + s.words("rule."+f.Rule+"."+f.Outcome+".do", f))
	}
	switch {
	case f.Decided != nil:
		line("cmd.check.decided_by", locales.Args{"by": locales.Text(f.Decided.By), "at": locales.DateTime(f.Decided.At.In(d.Clinic().Zone))})
	case f.Met != nil:
		line("cmd.check.met_by", locales.Args{"by": locales.Text(f.Met.By), "at": locales.DateTime(f.Met.At.In(d.Clinic().Zone))})
	case f.Voided != nil:
		line("cmd.check.voided."+string(f.VoidWhy), nil)
	}
	if f.Decided != nil && c.Case.Visit.AwaitsScan(*f.Decided) {
		line("cmd.check.awaits_scan", locales.Args{"who": locales.Text(f.Decided.Transcribed)})
	}
	line("cmd.check.source", locales.Args{"source": locales.Text(s.sourceTitle(f.Source, d.Citation(f.Source))), "trust": locales.Ref("cmd.trust." + f.Trust)})
}

// mark is the weight of a finding as a word of fixed width, so that a list can be scanned.
func (s *session) mark(f screen.Finding) string {
	id := "cmd.level." + string(f.Level)
	if f.Unknown {
		id = "cmd.level.unknown"
	}
	word := strings.ToUpper(s.voice.text(id, nil))
	if !f.Open() && f.Level != screen.Inform {
		word = s.voice.text("cmd.level.done", nil)
	}
	for n := len([]rune(word)); n < 8; n++ {
		word += " "
	}
	if s.voice.colour && f.Open() {
		return "\x1b[1m" + word + "\x1b[0m"
	}
	return word
}

// words renders a message of a finding with the placeholders that it takes, each as the kind that the
// message declares.
func (s *session) words(id string, f screen.Finding) string {
	kinds, err := s.voice.printer.Placeholders(id)
	if err != nil {
		return s.voice.text(id, nil)
	}
	args := locales.Args{}
	for name, kind := range kinds {
		value := f.Args[name]
		switch n, err := strconv.Atoi(value); {
		case kind == locales.KindCount && err == nil:
			args[name] = locales.Count(n)
		case kind == locales.KindNumber:
			args[name] = locales.Number(value)
		case kind == locales.KindVolume:
			args[name] = locales.Volume(value)
		default:
			args[name] = locales.Text(value)
		}
	}
	return s.voice.text(id, args)
}

// question is the words of a question, quoted in a line of the report.
func (s *session) question(id string) locales.Value { return locales.Ref("question." + id) }

// day is a civil date as a message takes it.
func day(d measure.Date) locales.Value { return locales.Date(d.Year, int(d.Month), d.Day) }
