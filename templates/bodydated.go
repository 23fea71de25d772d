package templates

import (
	"sort"
	"time"

	"philtrum/forms/clinic"
	"philtrum/forms/source"
	"philtrum/locales"
	"philtrum/templates/layout"
)

// Messages that the composer itself asks for; [Template.Prove] proves them with the template's own.
const (
	untilDate    = "paper.until_date"
	untilMoment  = "paper.until_moment"
	forHours     = "paper.for_hours"
	forDays      = "paper.for_days"
	forWeeks     = "paper.for_weeks"
	forMonths    = "paper.for_months"
	patientLeft  = "figure.patient_left"
	patientRight = "figure.patient_right"
	perKind      = "paper.value." // one for each kind of value
)

// datedBody is a list of what holds until when. Entries with a window come in the order in which they
// end; entries with their own "until" follow in the order of the template.
type datedBody struct {
	leaf
	items []datedLine
}

type datedLine struct {
	line
	window string
	until  words
	text   words
	strong bool
}

func (l *loader) datedBody(n *source.Node, lists []string) body {
	b := &datedBody{}
	for _, item := range l.r.List(n) {
		f := l.r.Fields(item, "window", "until", "text", "strong", "when", "each", "source", "trust")
		e, inner := l.line(f, lists)
		d := datedLine{line: e, window: l.r.Text(f.Get("window")), until: l.words(f.Get("until"), inner),
			text: l.words(f.Need("text"), inner), strong: l.r.YesNo(f.Get("strong"))}
		if (d.window == "") == (d.until == nil) {
			l.r.Report(item, "problem.window_or_until", nil)
		}
		if d.window != "" {
			if _, ok := clinic.DefaultPolicy().Windows[d.window]; !ok {
				l.unknown(f.Get("window"), "problem.unknown_window", d.window, windowNames())
			}
		}
		b.items = append(b.items, d)
	}
	return b
}

func windowNames() []string {
	var names []string
	for name := range clinic.DefaultPolicy().Windows {
		names = append(names, name)
	}
	sort.Strings(names)
	return names
}

func (b *datedBody) texts(visit func(words, string)) {
	for _, i := range b.items {
		visit(i.until, i.each)
		visit(i.text, i.each)
	}
}

// rank orders windows before a treatment, when there is no moment to count from: in hours, a month being
// thirty days.
func rank(w clinic.Window) int {
	return w.Hours + 24*(w.Days+7*w.Weeks+30*w.Months)
}

// datedEntry is an entry of a dated list with the end of its window; open ones have their own "until".
type datedEntry struct {
	item   layout.DatedItem
	window string
	end    time.Time
	hours  bool // the window ends at an hour, not with a day
	rank   int
	open   bool
}

// entries are the entries that stand, in the order in which they end.
func (b *datedBody) entries(s *scope) []datedEntry {
	var entries []datedEntry
	for _, i := range b.items {
		i.over(s, func(at *scope) {
			e := datedEntry{window: i.window, item: layout.DatedItem{Texts: [][]layout.Span{at.spans(i.text)}, Strong: i.strong}}
			if i.window == "" {
				e.item.When, e.open = at.spans(i.until), true
			} else {
				w := at.window(i.window)
				e.rank = rank(w)
				if e.rank == 0 {
					return
				}
				e.end, e.hours = at.windowEnd(w), w.Hours > 0
				e.item.When = at.until(w, e.end)
			}
			entries = append(entries, e)
		})
	}
	sort.SliceStable(entries, func(i, j int) bool {
		a, b := entries[i], entries[j]
		switch {
		case a.open != b.open:
			return !a.open
		case a.open:
			return false
		case !a.end.Equal(b.end):
			return a.end.Before(b.end)
		}
		return a.rank < b.rank
	})
	return entries
}

func (b *datedBody) build(s *scope, m layout.Meta) []layout.Block {
	out := &layout.Dated{Meta: m}
	for _, e := range b.entries(s) {
		out.Items = append(out.Items, e.item)
	}
	if len(out.Items) == 0 {
		return nil
	}
	return []layout.Block{out}
}

// windowEnd is when a window ends that opened with the end of the treatment; the zero time before one.
// Windows of days, weeks and months end with their last whole day in the clinic's zone; day 0 is the day
// of the treatment.
func (s *scope) windowEnd(w clinic.Window) time.Time {
	from := s.c.facts.treatedAt()
	if from.IsZero() {
		return time.Time{}
	}
	if w.Hours > 0 {
		return from.Add(time.Duration(w.Hours) * time.Hour)
	}
	day := s.c.facts.treatedOn()
	day = day.AddDays(w.Days + 7*w.Weeks)
	if w.Months > 0 {
		day = day.AddMonths(w.Months)
	}
	return day.In(s.c.facts.zone(), 23, 59)
}

// until says when a window ends: its date and, where it lasts hours, the time; before a treatment its length.
func (s *scope) until(w clinic.Window, end time.Time) []layout.Span {
	if end.IsZero() {
		id, n := forHours, w.Hours
		switch {
		case w.Days > 0:
			id, n = forDays, w.Days
		case w.Weeks > 0:
			id, n = forWeeks, w.Weeks
		case w.Months > 0:
			id, n = forMonths, w.Months
		}
		return s.message(id, locales.Args{"n": locales.Count(n)}, false)
	}
	end = end.In(s.c.facts.zone())
	args := locales.Args{"date": locales.Date(end.Year(), int(end.Month()), end.Day())}
	if w.Hours == 0 {
		return s.message(untilDate, args, false)
	}
	args["time"] = locales.Clock(end)
	return s.message(untilMoment, args, false)
}
