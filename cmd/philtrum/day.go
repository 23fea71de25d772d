package main

import (
	"fmt"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"philtrum/cmd/philtrum/desk"
	"philtrum/cmd/philtrum/folder"
	"philtrum/forms/measure"
	"philtrum/locales"
)

// newDay issues the papers of all visits of a day and puts them together for the printer.
func (s *session) newDay() *cobra.Command {
	var r desk.DayRequest
	var to string
	var bare, asJSON bool
	c := s.command("day [DATE]", func(_ *cobra.Command, args []string) error {
		if len(args) > 1 {
			return wrongUse{"cmd.day.which", nil}
		}
		d, err := s.desk()
		if err != nil {
			return err
		}
		r.On = measure.DateOf(s.now(), d.Clinic().Zone)
		if len(args) == 1 {
			if r.On, err = measure.ParseDate(args[0]); err != nil {
				return wrongUse{"cmd.day.which", nil}
			}
		}
		for _, kind := range r.Kinds {
			if !slices.Contains(desk.Kinds(), kind) {
				return wrongUse{"cmd.which_paper", locales.Args{"papers": s.list(desk.Kinds())}}
			}
		}
		r.Page, r.Separators = s.settings.Page, !bare
		return s.runDay(d, r, to, asJSON)
	})
	flags := c.Flags()
	flags.StringSliceVar(&r.Kinds, "paper", nil, s.voice.text("cmd.flag.day_paper", nil))
	flags.BoolVar(&r.Own, "with", false, s.voice.text("cmd.flag.day_with", nil))
	flags.BoolVar(&r.LargePrint, "large", false, s.voice.text("cmd.flag.large", nil))
	flags.BoolVar(&bare, "no-separators", false, s.voice.text("cmd.flag.no_separators", nil))
	flags.StringVar(&to, "to", "", s.voice.text("cmd.flag.day_to", nil))
	flags.BoolVar(&asJSON, "json", false, s.voice.text("cmd.flag.json", nil))
	return c
}

func (s *session) runDay(d *desk.Desk, r desk.DayRequest, to string, asJSON bool) error {
	ctx, stop := s.interrupt()
	defer stop()
	bar := &progress{session: s, d: d}
	day, problems, err := d.Day(ctx, r, bar.tell)
	bar.end()
	if err != nil {
		return s.issueFailure(err, r.Language, r.With)
	}
	if len(problems) > 0 {
		return s.refuse(d, problems)
	}
	if asJSON {
		err = s.voice.json(dayJSON(day))
	} else {
		err = s.tellDay(d, day, to)
	}
	switch {
	case err != nil:
		return err
	case day.Stopped:
		s.voice.say("day.interrupted", nil)
		return ended{statusHeld}
	case slices.ContainsFunc(day.Visits, desk.DayVisit.Bad):
		return ended{statusHeld}
	}
	return nil
}

// tellDay prints the paths of the files for the printer, or of their copies.
func (s *session) tellDay(d *desk.Desk, day desk.DayResult, to string) error {
	if len(day.Visits) == 0 && !day.Stopped {
		s.voice.say("day.none", nil)
	}
	for _, file := range day.Prints {
		path := d.Folder().Join(file)
		if to != "" {
			data, err := d.Folder().Read(file)
			if err != nil {
				return err
			}
			path = s.path(to + "/" + strings.ReplaceAll(strings.TrimPrefix(file, "print/"), "/", "-"))
			if err := folder.WriteFile(path, data); err != nil {
				return err
			}
		}
		s.voice.result(path)
	}
	return nil
}

// progress tells of visits as they are done: a bar on a terminal, a line for each elsewhere.
type progress struct {
	session *session
	d       *desk.Desk
	drawn   bool
}

const barWidth = 30

func (p *progress) tell(done, total int, v desk.DayVisit) {
	s := p.session
	if v.Bad() || !s.terminal {
		p.end()
		_, _ = fmt.Fprintln(s.err, s.dayLine(p.d, v))
	}
	if s.terminal {
		full := done * barWidth / total
		_, _ = fmt.Fprintf(s.err, "\r[%s%s] %s", strings.Repeat("=", full), strings.Repeat(" ", barWidth-full),
			s.voice.text("day.progress", locales.Args{"done": locales.Number(fmt.Sprint(done)), "total": locales.Number(fmt.Sprint(total))}))
		p.drawn = true
	}
}

// end takes the bar away.
func (p *progress) end() {
	if p.drawn {
		_, _ = fmt.Fprintf(p.session.err, "\r%s\r", strings.Repeat(" ", barWidth+30))
		p.drawn = false
	}
}

func (s *session) dayLine(d *desk.Desk, v desk.DayVisit) string {
	args := locales.Args{"at": locales.Blank(), "initials": locales.Text(v.Visit)}
	if len(v.Problems) > 0 {
		return s.voice.text("day.line_unreadable", args)
	}
	args["at"] = locales.Clock(v.Checked.Case.Visit.Appointment.In(d.Clinic().Zone))
	args["initials"] = locales.Text(desk.Initials(v.Checked.Case.Patient))
	args["papers"] = locales.Count(v.Made())
	var refused []string
	for _, p := range v.Papers {
		if len(p.Refused) > 0 || len(p.Problems) > 0 {
			refused = append(refused, s.voice.text("term.paper."+p.Kind, nil))
		}
	}
	if len(refused) == 0 {
		return s.voice.text("day.line", args)
	}
	args["refused"] = s.list(refused)
	return s.voice.text("day.line_refused", args)
}

type dayItem struct {
	Visit    string     `json:"visit"`
	Papers   []dayPaper `json:"papers"`
	Problems int        `json:"problems"`
}

type dayPaper struct {
	Kind     string `json:"kind"`
	Document string `json:"document,omitempty"`
	File     string `json:"file,omitempty"`
	Pages    int    `json:"pages,omitempty"`
	Made     bool   `json:"made"`
}

// dayJSON is a day as programs read it.
func dayJSON(day desk.DayResult) any {
	visits := []dayItem{}
	for _, v := range day.Visits {
		item := dayItem{Visit: v.Visit, Papers: []dayPaper{}, Problems: len(v.Problems)}
		for _, p := range v.Papers {
			item.Papers = append(item.Papers, dayPaper{p.Kind, p.Document, p.File, p.Pages, len(p.Refused) == 0 && len(p.Problems) == 0})
		}
		visits = append(visits, item)
	}
	return map[string]any{"visits": visits, "prints": slices.Concat([]string{}, day.Prints), "stopped": day.Stopped}
}
