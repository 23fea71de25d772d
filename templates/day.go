package templates

import (
	"slices"
	"time"

	"philtrum/forms/clinic"
	"philtrum/forms/measure"
	"philtrum/forms/screen"
	"philtrum/forms/source"
	"philtrum/locales"
	"philtrum/templates/layout"
)

// Day is what a practitioner has before them on one day. Patients stand in it by initials and number.
type Day struct {
	Printer *locales.Printer // of the clinic's language
	Clinic  clinic.Clinic
	On      measure.Date
	Visits  []DayVisit
	Needs   []DayNeed
	Kit     []clinic.KitItem // of the emergency kit, what expires soon or has expired
	Head    string           // hash of the journal's last entry, so that paper witnesses the chain
}

// DayVisit is one visit of the day.
type DayVisit struct {
	At                             time.Time
	Kind                           string
	Number, Initials, Practitioner string
	Language, Interpreter          string // names of languages; Interpreter is empty where none is needed
	Booked                         bool   // the interpreter is
	Large                          bool   // large print is needed
	Findings                       []screen.Finding
	Unanswered                     int
	Missing                        []string // messages day.missing.<word>
	Products                       []string
	Papers                         []DayPaper
	Problems                       int  // of its files; then nothing else is known
	Treated                        bool // already
}

// DayPaper is a paper of the visit's packet.
type DayPaper struct {
	Kind    string
	Pages   int
	Refused bool
}

// DayNeed is a product line that visits of the day name, and how many of them.
type DayNeed struct {
	Product string
	Visits  int
	Stock   int // pieces that have not expired on the day; -1 where no stock is kept
}

type dayBuilder struct {
	s *scope
	d Day
}

func newDay(t *Template, d Day) dayBuilder { return dayBuilder{ownScope(t, d.Printer, d.Clinic), d} }

func (b dayBuilder) say(id string, args locales.Args) []layout.Span {
	return b.s.message(id, args, false)
}

func (b dayBuilder) document(sheet string, title []layout.Span) layout.Document {
	doc := b.s.blank(sheet)
	doc.Title = plain(title)
	doc.Head = layout.Furniture{Start: title, End: []layout.Span{{Text: b.d.Clinic.Name, Value: true}}, Rule: true}
	doc.Foot = layout.Furniture{Start: b.say("day.foot", nil), End: b.s.message("paper.page", nil, false), Rule: true}
	if b.d.Clinic.Demonstration {
		doc.Foot.Start = b.say("paper.demonstration", nil)
	}
	return doc
}

// ComposeDay makes the clinic's list of a day on a sheet of the template's.
func ComposeDay(t *Template, sheet string, d Day) (layout.Document, source.Problems) {
	b := newDay(t, d)
	title := b.say("day.title", locales.Args{"on": dateOr(d.On)})
	doc := b.document(sheet, title)
	doc.Blocks = []layout.Block{
		&layout.Title{Text: title},
		&layout.Paragraph{Text: b.say("day.lead", locales.Args{"n": locales.Count(len(d.Visits))})},
		b.visits(),
	}
	doc.Blocks = append(doc.Blocks, b.needs()...)
	doc.Blocks = append(doc.Blocks, b.kit()...)
	if d.Head != "" {
		doc.Blocks = append(doc.Blocks, &layout.Paragraph{Role: layout.RoleSmall,
			Text: b.say("day.journal", locales.Args{"hash": locales.Text(parting(d.Head, 16))})})
	}
	return doc, b.s.c.problems
}

func (b dayBuilder) visits() layout.Block {
	table := &layout.Table{Columns: []layout.Column{
		{Head: b.say("day.column.time", nil), Share: 4}, {Head: b.say("day.column.patient", nil), Share: 5},
		{Head: b.say("day.column.found", nil), Share: 7}, {Head: b.say("day.column.missing", nil), Share: 6},
		{Head: b.say("day.column.products", nil), Share: 5},
	}}
	for _, v := range b.d.Visits {
		table.Rows = append(table.Rows, layout.Row{Header: true, Cells: []layout.Cell{
			{Text: lines(b.say("day.time", locales.Args{"at": clockOf(v.At, b.s.c.facts)}), b.kind(v))},
			{Text: b.patient(v)}, {Text: b.found(v)}, {Text: b.missing(v)}, {Text: b.products(v)},
		}})
	}
	return table
}

func clockOf(at time.Time, f *Facts) locales.Value {
	if at.IsZero() {
		return locales.Blank()
	}
	if f.Clinic.Zone != nil {
		at = at.In(f.Clinic.Zone)
	}
	return locales.Clock(at)
}

// lines puts texts below each other in one cell.
func lines(all ...[]layout.Span) []layout.Span {
	var out []layout.Span
	for _, spans := range all {
		if len(spans) == 0 {
			continue
		}
		if len(out) > 0 {
			out = append(out, layout.Below)
		}
		out = append(out, spans...)
	}
	return out
}

func (b dayBuilder) kind(v DayVisit) []layout.Span {
	if v.Kind == "" {
		return nil
	}
	return plainly(b.say("day.kind", locales.Args{"kind": term("visit", v.Kind)}))
}

// plainly takes the weight of a row's header away from what stands below it.
func plainly(spans []layout.Span) []layout.Span {
	for i := range spans {
		spans[i].Ink = layout.InkQuiet
	}
	return spans
}

func (b dayBuilder) patient(v DayVisit) []layout.Span {
	who := []layout.Span{{Text: v.Initials, Value: true, Strong: true}}
	number := []layout.Span{{Text: v.Number, Value: true, Ink: layout.InkQuiet, Lang: "zxx"}}
	var with, language, interpreter, large []layout.Span
	if v.Practitioner != "" {
		with = []layout.Span{{Text: v.Practitioner, Value: true}}
	}
	if v.Language != "" {
		language = []layout.Span{{Text: v.Language, Value: true}}
	}
	if v.Interpreter != "" {
		id := "day.interpreter_open"
		if v.Booked {
			id = "day.interpreter"
		}
		interpreter = b.say(id, locales.Args{"language": locales.Text(v.Interpreter)})
	}
	if v.Large {
		large = b.say("day.large", nil)
	}
	return lines(who, number, with, language, interpreter, large)
}

// found are the open findings, heaviest first as screening orders them, each with its level.
func (b dayBuilder) found(v DayVisit) []layout.Span {
	if v.Problems > 0 {
		return b.say("day.unreadable", locales.Args{"n": locales.Count(v.Problems)})
	}
	var all [][]layout.Span
	settled := 0
	for _, f := range v.Findings {
		if f.Unknown {
			continue
		}
		if !f.Open() {
			settled++
			continue
		}
		all = append(all, b.say("day.finding", locales.Args{"level": term("level", string(f.Level)), "finding": locales.Ref("rule." + f.Rule)}))
	}
	if settled > 0 {
		all = append(all, b.say("day.settled", locales.Args{"n": locales.Count(settled)}))
	}
	if len(all) == 0 {
		return b.say("day.nothing", nil)
	}
	return lines(all...)
}

func (b dayBuilder) missing(v DayVisit) []layout.Span {
	var all [][]layout.Span
	if v.Unanswered > 0 {
		all = append(all, b.say("day.missing.answers", locales.Args{"n": locales.Count(v.Unanswered)}))
	}
	for _, word := range v.Missing {
		all = append(all, b.say("day.missing."+word, nil))
	}
	for _, p := range v.Papers {
		if p.Refused {
			all = append(all, b.say("day.no_paper", locales.Args{"paper": term("paper", p.Kind)}))
		}
	}
	return lines(all...)
}

func (b dayBuilder) products(v DayVisit) []layout.Span {
	var all [][]layout.Span
	for _, p := range v.Products {
		all = append(all, []layout.Span{{Text: p, Value: true}})
	}
	return lines(all...)
}

func (b dayBuilder) needs() []layout.Block {
	if len(b.d.Needs) == 0 {
		return nil
	}
	table := &layout.Table{Meta: layout.Meta{Keep: true}, Columns: []layout.Column{
		{Head: b.say("day.column.product", nil), Share: 8}, {Head: b.say("day.column.visits", nil), Share: 3, Align: layout.AlignEnd},
		{Head: b.say("day.column.stock", nil), Share: 3, Align: layout.AlignEnd},
	}}
	for _, n := range b.d.Needs {
		stock := []layout.Span(nil)
		if n.Stock >= 0 {
			stock = b.s.message(perKind+"count", locales.Args{"value": locales.Count(n.Stock)}, false)
		}
		table.Rows = append(table.Rows, layout.Row{Cells: []layout.Cell{
			{Text: []layout.Span{{Text: n.Product, Value: true}}},
			{Text: b.s.message(perKind+"count", locales.Args{"value": locales.Count(n.Visits)}, false)}, {Text: stock},
		}})
	}
	return []layout.Block{&layout.Heading{Level: 2, Text: b.say("day.needs", nil)}, table}
}

func (b dayBuilder) kit() []layout.Block {
	if len(b.d.Kit) == 0 {
		return nil
	}
	table := &layout.Table{Meta: layout.Meta{Keep: true}, Columns: []layout.Column{
		{Head: b.say("day.column.item", nil), Share: 6}, {Head: b.say("day.column.lot", nil), Share: 4},
		{Head: b.say("day.column.expiry", nil), Share: 4},
	}}
	for _, k := range b.d.Kit {
		table.Rows = append(table.Rows, layout.Row{Cells: []layout.Cell{
			{Text: []layout.Span{{Text: k.Item, Value: true}}}, {Text: []layout.Span{{Text: k.Lot.Number, Value: true, Lang: "zxx"}}},
			{Text: b.s.message(perKind+"date", locales.Args{"value": dateOr(k.Lot.Expiry)}, false)},
		}})
	}
	return []layout.Block{&layout.Heading{Level: 2, Text: b.say("day.kit", nil)}, table}
}

// ComposeSeparator makes the sheet that parts one visit's papers from the next in a printed pile.
func ComposeSeparator(t *Template, sheet string, d Day, v DayVisit) (layout.Document, source.Problems) {
	b := newDay(t, d)
	title := b.say("day.separator", locales.Args{"at": clockOf(v.At, b.s.c.facts), "initials": locales.Text(v.Initials)})
	doc := b.document(sheet, title)
	item := func(id string, value []layout.Span) layout.GridItem {
		return layout.GridItem{Label: b.say(id, nil), Value: value}
	}
	table := &layout.Table{Columns: []layout.Column{
		{Head: b.say("day.column.paper", nil), Share: 8}, {Head: b.say("day.column.pages", nil), Share: 3, Align: layout.AlignEnd},
	}}
	for _, p := range v.Papers {
		pages := b.s.message(perKind+"count", locales.Args{"value": locales.Count(p.Pages)}, false)
		if p.Refused {
			pages = b.say("day.not_made", nil)
		}
		table.Rows = append(table.Rows, layout.Row{Cells: []layout.Cell{{Text: b.say("day.paper", locales.Args{"paper": term("paper", p.Kind)})}, {Text: pages}}})
	}
	doc.Blocks = []layout.Block{
		&layout.Title{Text: title},
		&layout.Grid{Columns: 2, Items: slices.DeleteFunc([]layout.GridItem{
			item("day.label.kind", b.say("day.kind", locales.Args{"kind": term("visit", v.Kind)})),
			item("day.label.practitioner", []layout.Span{{Text: v.Practitioner, Value: true}}),
			item("day.label.number", []layout.Span{{Text: v.Number, Value: true, Lang: "zxx"}}),
			item("day.label.language", []layout.Span{{Text: v.Language, Value: true}}),
		}, func(i layout.GridItem) bool { return len(i.Value) == 1 && i.Value[0].Text == "" })},
		table,
		&layout.Paragraph{Role: layout.RoleSmall, Text: b.say("day.separator_note", nil)},
	}
	return doc, b.s.c.problems
}
