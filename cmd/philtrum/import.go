package main

import (
	"fmt"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"philtrum/cmd/philtrum/desk"
	"philtrum/forms/measure"
	"philtrum/locales"
)

// newImport reads a booking system's list of visits and shows what it means here; with --write it is entered.
func (s *session) newImport() *cobra.Command {
	var how desk.Importing
	var day string
	var asJSON bool
	c := s.command("import LIST", func(_ *cobra.Command, args []string) error {
		if len(args) != 1 {
			return wrongUse{"cmd.import.which", nil}
		}
		d, err := s.desk()
		if err != nil {
			return err
		}
		if err := s.judgeImport(d, &how, day); err != nil {
			return err
		}
		data, err := s.readList(args[0])
		if err != nil {
			return err
		}
		list, problems, err := d.Import(data, how)
		if found := desk.IsListError(err); found != nil {
			return s.refuse(d, found)
		}
		if err != nil {
			return err
		}
		if len(problems) > 0 {
			return s.refuse(d, problems)
		}
		if asJSON {
			err = s.voice.json(importJSON(list))
		} else {
			s.showImport(d, list)
		}
		if err == nil && list.Unclear() {
			return ended{statusHeld}
		}
		return err
	})
	flags := c.Flags()
	flags.BoolVar(&how.Write, "write", false, s.voice.text("cmd.flag.write", nil))
	flags.BoolVar(&how.Anyway, "anyway", false, s.voice.text("cmd.flag.anyway", nil))
	flags.StringVar(&how.Order, "dates", "", s.voice.text("cmd.flag.dates", nil))
	flags.StringVar(&how.Encoding, "encoding", "", s.voice.text("cmd.flag.encoding", nil))
	flags.StringVar(&how.Sheet, "sheet", "", s.voice.text("cmd.flag.sheet", nil))
	flags.StringVar(&day, "on", "", s.voice.text("cmd.flag.list_day", nil))
	flags.StringVar(&how.Kind, "kind", "", s.voice.text("cmd.flag.list_kind", nil))
	flags.StringVar(&how.Practitioner, "practitioner", "", s.voice.text("cmd.flag.practitioner", nil))
	flags.BoolVar(&asJSON, "json", false, s.voice.text("cmd.flag.json", nil))
	return c
}

// judgeImport checks what was said about a list on the command line.
func (s *session) judgeImport(d *desk.Desk, how *desk.Importing, day string) error {
	if how.Order != "" && how.Order != "day-month" && how.Order != "month-day" {
		return wrongUse{"cmd.import.dates", nil}
	}
	if how.Kind != "" && !slices.Contains(visitKinds, how.Kind) {
		return wrongUse{"cmd.open.kind", locales.Args{"kinds": s.list(visitKinds)}}
	}
	if how.Practitioner != "" && !d.Knows(how.Practitioner) {
		return wrongUse{"cmd.import.practitioner", nil}
	}
	if day == "" {
		return nil
	}
	on, err := measure.ParseDate(day)
	if err != nil {
		return wrongUse{"cmd.import.day", nil}
	}
	how.Day = on
	return nil
}

// showImport tells how the list was read, what each line means, and what is left to settle.
func (s *session) showImport(d *desk.Desk, list desk.Imported) {
	s.tellListReading(list)
	counts := map[string]int{}
	for _, e := range list.Entries {
		counts[e.What]++
		s.voice.result(s.entryLine(d, e))
		for _, doubt := range e.Doubts {
			switch {
			case doubt.ID == "date_order": // said of the column
			case doubt.ID == "near_patient":
				s.voice.result("      " + s.nearPatient(d, e, doubt.Args))
			default:
				s.voice.result("      " + s.doubt(doubt.ID, string(doubt.Field), doubt.Args))
			}
		}
		if e.What == desk.EntryCancelled && e.Visit != "" {
			s.voice.result("      " + s.standsStill(d, e))
		}
	}
	for _, e := range list.Absent {
		s.voice.result(e.Visit + "  " + s.standsStill(d, e))
	}
	for _, skipped := range list.Skipped {
		if skipped.Reason != "empty" {
			s.voice.say("booking.skipped", locales.Args{"line": locales.Count(skipped.Line), "why": locales.Ref("booking.skip." + skipped.Reason)})
		}
	}
	args := locales.Args{}
	for _, what := range []string{desk.EntryNew, desk.EntryReturning, desk.EntryMoved, desk.EntryKnown, desk.EntryCancelled, desk.EntryUnclear} {
		args[what] = locales.Number(fmt.Sprint(counts[what]))
	}
	s.voice.say("booking.counts", args)
	switch {
	case list.Entered:
		s.voice.say("booking.entered", nil)
	case list.Unclear():
		s.voice.say("booking.nothing_unclear", nil)
	default:
		s.voice.say("booking.nothing_yet", nil)
	}
}

// tellListReading says what the file is and how its columns were understood, with the line that shows the order of
// day and month.
func (s *session) tellListReading(list desk.Imported) {
	if list.Sheet != "" {
		s.voice.say("booking.read_sheet", locales.Args{"sheet": locales.Text(list.Sheet), "line": locales.Count(list.Heading)})
	} else {
		delimiter := list.Delimiter
		if delimiter == "\t" {
			delimiter = "Tab"
		}
		s.voice.say("booking.read_text", locales.Args{
			"encoding": locales.Text(list.Encoding), "delimiter": locales.Text(delimiter), "line": locales.Count(list.Heading),
		})
	}
	for _, column := range list.Columns {
		args := locales.Args{"field": locales.Ref("booking.field." + string(column.Field)), "heading": locales.Text(column.Heading)}
		id := "booking.column"
		if column.Order != "" {
			id = "booking.column_" + strings.ReplaceAll(string(column.Order), "-", "_")
			if column.Judged > 0 {
				id += "_shown"
				args["line"] = locales.Count(column.Judged)
			}
		}
		s.voice.say(id, args)
	}
	if len(list.Ignored) > 0 {
		s.voice.say("booking.ignored", locales.Args{"headings": s.list(list.Ignored)})
	}
	for _, doubt := range list.Doubts {
		s.voice.result(s.doubt(doubt.ID, string(doubt.Field), doubt.Args))
	}
}

// entryLine is a line of the list: initials, never a name.
func (s *session) entryLine(d *desk.Desk, e desk.Entry) string {
	when := "—"
	if !e.At.IsZero() {
		when = s.voice.text("booking.when", locales.Args{"at": locales.DateTime(e.At.In(d.Clinic().Zone))})
	}
	born := "—"
	if !e.Born.IsZero() {
		born = s.voice.text("booking.born", locales.Args{"born": locales.Date(e.Born.Year, int(e.Born.Month), e.Born.Day)})
	}
	parts := []string{fmt.Sprintf("%4d", e.Line), s.voice.text("booking.what."+e.What, nil), when, e.Initials, born}
	for _, part := range []string{e.Kind, e.Staff, e.Language, e.Number, e.Visit} {
		if part != "" {
			parts = append(parts, part)
		}
	}
	line := strings.Join(parts, "  ")
	if e.What == desk.EntryMoved {
		line += "  " + s.voice.text("booking.before", locales.Args{"at": locales.DateTime(e.Before.In(d.Clinic().Zone)), "staff": locales.Text(e.PractitionerBefore)})
	}
	return line
}

// nearPatient says how to settle whether somebody who is known is meant.
func (s *session) nearPatient(d *desk.Desk, e desk.Entry, args map[string]any) string {
	return s.voice.text("booking.near_patient", locales.Args{
		"field": locales.Ref("booking.field.name"), "enter": locales.Text("philtrum patient"),
		"open": locales.Text(fmt.Sprintf(`philtrum open %s --at "%s"`, args["number"], e.At.In(d.Clinic().Zone).Format("2006-01-02 15:04"))),
	})
}

// standsStill says of a visit that stands here what can be done if it will not be.
func (s *session) standsStill(d *desk.Desk, e desk.Entry) string {
	return s.voice.text("booking.stands_still", locales.Args{
		"at": locales.DateTime(e.At.In(d.Clinic().Zone)), "move": locales.Text("philtrum move " + e.Visit),
		"note": locales.Text("philtrum note " + e.Visit + " declined"),
	})
}

// mapped is where clinic.yaml says what a list's own words mean, and told the flag that says it of every visit.
var (
	mapped = map[string]string{
		"kind": "booking.kinds", "language": "booking.languages", "practitioner": "booking.practitioners", "status": "booking.statuses",
	}
	told = map[string]string{"kind": "--kind", "practitioner": "--practitioner", "date": "--on"}
)

func (s *session) doubt(id, field string, args map[string]any) string {
	words := wordArgs(args)
	if field != "" {
		words["field"] = locales.Ref("booking.field." + field)
	}
	switch {
	case id == "unknown_word":
		words["key"] = locales.Text(mapped[field])
	case id == "missing" && told[field] != "":
		id, words["flag"] = "missing_told", locales.Text(told[field])
	}
	return s.voice.text("booking."+id, words)
}

// importEntry is a line of a list as programs read it: no name, no birth date.
type importEntry struct {
	Line         int      `json:"line"`
	What         string   `json:"what"`
	At           string   `json:"appointment,omitempty"`
	Kind         string   `json:"kind,omitempty"`
	Practitioner string   `json:"practitioner,omitempty"`
	Language     string   `json:"language,omitempty"`
	Number       string   `json:"patient,omitempty"`
	Visit        string   `json:"visit,omitempty"`
	Doubts       []string `json:"doubts,omitempty"` // ids of messages, with the field
}

func importJSON(list desk.Imported) any {
	entries := []importEntry{}
	for _, e := range list.Entries {
		item := importEntry{Line: e.Line, What: e.What, Kind: e.Kind, Practitioner: e.Staff, Language: e.Language, Number: e.Number, Visit: e.Visit}
		if !e.At.IsZero() {
			item.At = e.At.Format("2006-01-02T15:04:05Z07:00")
		}
		for _, doubt := range e.Doubts {
			item.Doubts = append(item.Doubts, strings.Trim(doubt.ID+":"+string(doubt.Field), ":"))
		}
		entries = append(entries, item)
	}
	doubts := []string{}
	for _, doubt := range list.Doubts {
		doubts = append(doubts, strings.Trim(doubt.ID+":"+string(doubt.Field), ":"))
	}
	absent := []string{}
	for _, e := range list.Absent {
		absent = append(absent, e.Visit)
	}
	return map[string]any{"entries": entries, "doubts": doubts, "absent": absent, "entered": list.Entered}
}
