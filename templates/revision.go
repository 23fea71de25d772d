package templates

import (
	"regexp"
	"strings"

	"philtrum/forms/clinic"
	"philtrum/forms/measure"
	"philtrum/forms/source"
	"philtrum/locales"
	"philtrum/templates/layout"
)

// Revision is what a translator and a reviser go over and sign (ISO 17100: translation, then revision by a
// second person against the source).
type Revision struct {
	Printer  *locales.Printer // of the clinic's language
	Clinic   clinic.Clinic
	Source   locales.Language
	Target   locales.Language
	On       measure.Date
	Portions []RevisionPortion
}

// RevisionPortion is a portion of the texts with what it is signed by.
type RevisionPortion struct {
	Name, Digest string
	Rows         []RevisionRow
}

// RevisionRow is one form of one message.
type RevisionRow struct{ ID, Form, Source, Target, Note string }

// ComposeRevision makes the paper of a revision pack on a sheet of the template's.
func ComposeRevision(t *Template, sheet string, r Revision) (layout.Document, source.Problems) {
	own := ownScope(t, r.Printer, r.Clinic)
	c, b := own.c, revisionBuilder{s: own, r: r}
	doc := own.blank(sheet)
	doc.Title = plain(b.say("revision.pack.title", nil))
	target := locales.Args{"language": locales.Text(r.Target.Name)}
	doc.Head = layout.Furniture{Start: b.say("revision.pack.head", target), Rule: true}
	doc.Foot = layout.Furniture{End: b.s.message("paper.page", nil, false), Rule: true}
	if r.Clinic.Demonstration {
		doc.Foot.Start = b.say("paper.demonstration", nil)
	}
	doc.Blocks = b.opening(target)
	for _, p := range r.Portions {
		doc.Blocks = append(doc.Blocks, b.portion(p)...)
	}
	doc.Blocks = append(doc.Blocks, b.signatures()...)
	return doc, c.problems
}

// ownScope composes papers that are the clinic's own and belong to no visit, on the sheets of a template.
func ownScope(t *Template, p *locales.Printer, c clinic.Clinic) *scope {
	return &scope{c: &composer{
		paper: Paper{Template: t, Printer: p, Clinic: p}, language: p.Language(), facts: &Facts{Clinic: c}, args: map[string][]string{},
	}}
}

// blank is an empty document in the language of the scope.
func (s *scope) blank(sheet string) layout.Document {
	doc := layout.Document{Lang: s.c.language.Region, Sheet: s.c.paper.Template.sheets[sheet]}
	if s.c.language.Direction == "rtl" {
		doc.Direction = layout.RightToLeft
	}
	return doc
}

type revisionBuilder struct {
	s *scope
	r Revision
}

func (b revisionBuilder) say(id string, args locales.Args) []layout.Span {
	return b.s.message(id, args, false)
}

// alone says whether the texts are those of the source language, with nothing to hold them against.
func (b revisionBuilder) alone() bool { return b.r.Source.Tag == b.r.Target.Tag }

func (b revisionBuilder) opening(target locales.Args) []layout.Block {
	rows := 0
	for _, p := range b.r.Portions {
		rows += len(p.Rows)
	}
	item := func(label string, value []layout.Span) layout.GridItem {
		return layout.GridItem{Label: b.say(label, nil), Value: value}
	}
	text := func(s string) []layout.Span { return []layout.Span{{Text: s, Value: true}} }
	return []layout.Block{
		&layout.Title{Text: b.say("revision.pack.title", nil)},
		&layout.Paragraph{Role: layout.RoleLead, Text: b.say("revision.pack.lead", target)},
		&layout.Grid{Columns: 4, Items: []layout.GridItem{
			item("revision.pack.target", text(b.r.Target.Name+" ("+b.r.Target.Tag+")")),
			item("revision.pack.from", text(b.r.Source.Name+" ("+b.r.Source.Tag+")")),
			item("revision.pack.texts", b.s.message(perKind+"count", locales.Args{"value": locales.Count(rows)}, false)),
			item("revision.pack.on", b.s.message(perKind+"date", locales.Args{"value": dateOr(b.r.On)}, false)),
		}},
		&layout.List{Items: []layout.ListItem{
			{Text: b.say("revision.pack.rule_meaning", nil)}, {Text: b.say("revision.pack.rule_placeholder", nil)},
			{Text: b.say("revision.pack.rule_remark", nil)}, {Text: b.say("revision.pack.rule_person", nil)},
		}},
	}
}

func (b revisionBuilder) portion(p RevisionPortion) []layout.Block {
	table := &layout.Table{Columns: []layout.Column{
		{Head: b.say("revision.pack.column_id", nil), Share: 5}, {Head: b.say("revision.pack.column_source", nil), Share: 9},
		{Head: b.say("revision.pack.column_target", nil), Share: 9}, {Head: b.say("revision.pack.column_remark", nil), Share: 4},
	}}
	if b.alone() {
		table.Columns = append(table.Columns[:1], table.Columns[2:]...)
	}
	for _, row := range p.Rows {
		cells := []layout.Cell{{Text: idSpans(row)}, {Text: inLanguage(row.Source, b.r.Source)}, {Text: inLanguage(row.Target, b.r.Target)}, {}}
		if b.alone() {
			cells = append(cells[:1], cells[2:]...)
		}
		table.Rows = append(table.Rows, layout.Row{Cells: cells})
	}
	return []layout.Block{
		&layout.Heading{Level: 2, Text: b.say("revision.pack.part", locales.Args{"part": locales.Text(p.Name)})},
		&layout.Paragraph{Role: layout.RoleSmall, Text: b.say("revision.pack.digest", locales.Args{"digest": locales.Text(parting(p.Digest, 16))})},
		table,
	}
}

// idSpans is the id of a message with its form and, below it, the note on where it stands.
func idSpans(row RevisionRow) []layout.Span {
	id := strings.NewReplacer(".", ".\u200b", "_", "_\u200b").Replace(row.ID)
	if row.Form != "" {
		id += " [" + row.Form + "]"
	}
	out := []layout.Span{{Text: id, Lang: "zxx"}} // no language: no hyphens
	if row.Note != "" {
		out = append(out, layout.Below, layout.Span{Text: row.Note, Lang: "en", Ink: layout.InkQuiet})
	}
	return out
}

func inLanguage(text string, l locales.Language) []layout.Span {
	if text == "" {
		return nil
	}
	text = strings.ReplaceAll(text, "\n", " ")
	var out []layout.Span
	add := func(text, lang string) {
		if text != "" {
			out = append(out, layout.Span{Text: text, Lang: lang})
		}
	}
	from := 0
	for _, at := range placeholder.FindAllStringIndex(text, -1) {
		add(text[from:at[0]], l.Region)
		add(text[at[0]:at[1]], "zxx") // a name, in which a hyphen would be read as part of it
		from = at[1]
	}
	add(text[from:], l.Region)
	return out
}

// placeholder is one as a translator sees it.
var placeholder = regexp.MustCompile(`\{[a-z0-9_]+\}`)

// parting lets a long sign without spaces end a line after every n characters.
func parting(s string, n int) string {
	var b strings.Builder
	for i, r := range s {
		if i > 0 && i%n == 0 {
			b.WriteRune('\u200b')
		}
		b.WriteRune(r)
	}
	return b.String()
}

func (b revisionBuilder) signatures() []layout.Block {
	first, second := "revision.pack.translator", "revision.pack.reviser"
	if b.alone() {
		first, second = "revision.pack.author", "revision.pack.lead_signs"
	}
	field := func(id string, share int, hand, row bool) layout.SignField {
		return layout.SignField{Label: b.say(id, nil), Share: share, Hand: hand, NewRow: row}
	}
	sign := func(meaning string) layout.Block {
		fields := []layout.SignField{
			field("revision.pack.signature", 3, true, false), field("paper.date", 1, false, false),
			field("paper.printed_name", 3, false, true), field("revision.pack.qualification", 3, false, false),
		}
		if !b.alone() {
			fields = append(fields, field("revision.pack.languages", 6, false, true))
		}
		if meaning == first && !b.alone() {
			fields = append(fields, field("revision.prompt.method", 6, false, true), field("revision.pack.back_translation", 6, false, true))
		}
		if meaning == second {
			fields = append(fields, field("revision.pack.revise_by", 6, false, true))
		}
		return &layout.Signature{Meta: layout.Meta{Keep: true}, Meaning: b.say(meaning, nil), Fields: fields}
	}
	return []layout.Block{
		&layout.Heading{Level: 2, Text: b.say("revision.pack.sign_heading", nil)},
		sign(first), sign(second),
	}
}
