package templates

import (
	"strings"

	"philtrum/forms/clinic"
	"philtrum/forms/source"
	"philtrum/locales"
	"philtrum/templates/layout"
	"philtrum/templates/timeline"
)

// timelineBody is a figure of the first month: what is usual on which day, and until when something is held
// back from. It tells nothing that the lists of the paper do not tell.
type timelineBody struct {
	leaf
	usual        []timelineLine
	until        []timelineLine
	review       words
	caption, alt words
}

type timelineLine struct {
	text        words
	window      string
	first, last int // days, of what is usual
}

func (l *loader) timelineBody(n *source.Node, lists []string) body {
	f := l.r.Fields(n, "usual", "until", "review", "caption", "alt")
	b := &timelineBody{review: l.words(f.Need("review"), lists), caption: l.words(f.Get("caption"), lists), alt: l.words(f.Need("alt"), lists)}
	for _, item := range l.r.List(f.Get("usual")) {
		f := l.r.Fields(item, "text", "days", "source")
		line := timelineLine{text: l.words(f.Need("text"), lists)}
		days := l.r.List(f.Need("days"))
		if len(days) != 2 {
			l.r.Report(item, "problem.days", nil)
			continue
		}
		line.first, line.last = l.r.Int(days[0], 0, timeline.Days), l.r.Int(days[1], 0, timeline.Days)
		b.usual = append(b.usual, line)
	}
	for _, item := range l.r.List(f.Get("until")) {
		f := l.r.Fields(item, "text", "window")
		line := timelineLine{text: l.words(f.Need("text"), lists), window: l.r.Text(f.Need("window"))}
		if _, ok := clinic.DefaultPolicy().Windows[line.window]; !ok {
			l.unknown(f.Get("window"), "problem.unknown_window", line.window, windowNames())
		}
		b.until = append(b.until, line)
	}
	return b
}

func (b *timelineBody) texts(visit func(words, string)) {
	for _, line := range append(b.usual, b.until...) {
		visit(line.text, "")
	}
	visit(b.review, "")
	visit(b.caption, "")
	visit(b.alt, "")
}

func (b *timelineBody) build(s *scope, m layout.Meta) []layout.Block {
	sheet := s.c.sheet
	chart := timeline.Chart{
		Width: sheet.Width - sheet.Inner - sheet.Outer, Size: sheet.Styles[layout.RoleSmall].Size,
		Mirrored: s.c.paper.Printer.Language().Direction == "rtl",
	}
	said := []string{plain(s.spans(b.alt))}
	say := func(what, when []layout.Span) {
		said = append(said, plain(s.message(timelineSaid, locales.Args{"what": locales.Text(plain(what)), "when": locales.Text(plain(when))}, false)))
	}
	for _, line := range b.usual {
		say(s.spans(line.text), s.days(line.first, line.last).message(timelineDays, nil, false))
		chart.Bars = append(chart.Bars, timeline.Bar{Label: s.spans(line.text), From: 24 * line.first, To: 24 * (line.last + 1), Soft: true})
	}
	for _, line := range b.until {
		w := s.window(line.window)
		if rank(w) > 0 {
			say(s.spans(line.text), s.until(w, s.windowEnd(w)))
			chart.Bars = append(chart.Bars, timeline.Bar{Label: s.spans(line.text), To: lasting(w)})
		}
	}
	for _, day := range timeline.Labelled {
		chart.Ticks = append(chart.Ticks, timeline.Tick{Day: day, Label: s.days(day, day).message(timelineDay, nil, false)})
	}
	if on, review := s.c.facts.treatedOn(), s.c.facts.reviewOn(); !on.IsZero() && !review.IsZero() {
		for day := 1; day <= timeline.Days; day++ {
			if on.AddDays(day) == review {
				chart.Review, chart.ReviewLabel = day, s.spans(b.review)
			}
		}
	}
	return []layout.Block{&layout.Figure{Meta: m, Drawing: chart.Draw(), Alt: strings.Join(said, " "), Caption: s.spans(b.caption)}}
}

// Messages of the figure: the number of a day below the line, and a bar in words.
const (
	timelineDay  = "aftercare.line.day"
	timelineDays = "aftercare.course.days"
	timelineSaid = "aftercare.line.said"
)

// lasting is the length of a window in hours of the figure: days, weeks and months end with their last whole
// day, as in the list beside it, and day 0 is the first.
func lasting(w clinic.Window) int {
	if w.Hours > 0 {
		return w.Hours
	}
	return rank(w) + 24
}
