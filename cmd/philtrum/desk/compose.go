package desk

import (
	"fmt"
	"slices"
	"time"

	"philtrum/forms/source"
	"philtrum/locales"
	"philtrum/templates"
	"philtrum/templates/layout"
	"philtrum/templates/pdf"
	"philtrum/templates/text"
)

// printer keeps what papers share from one to the next: the engine that shapes, the press that writes, the
// templates and sheets that were read.
type printer struct {
	engine    *text.Engine
	press     *pdf.Press
	shelf     *templates.Shelf
	templates map[string]*templates.Template

	mark *clinicMark // read already

	visit string    // whose papers were made last
	own   *text.Own // what they share of its names and dates
}

// ownOf is what the papers of a visit share; that of the visit before is dropped.
func (p *printer) ownOf(visit string) *text.Own {
	if p.visit != visit || p.own == nil {
		p.visit, p.own = visit, &text.Own{}
	}
	return p.own
}

func (d *Desk) printer() *printer {
	if d.printing == nil {
		d.printing = &printer{
			engine: text.NewEngine(), press: &pdf.Press{},
			shelf:     templates.NewShelf(d.data("templates", templates.Default)),
			templates: map[string]*templates.Template{},
		}
	}
	return d.printing
}

func (p *printer) template(kind string) (*templates.Template, source.Problems) {
	if t := p.templates[kind]; t != nil {
		return t, nil
	}
	t, problems := p.shelf.Load(kind)
	if len(problems) == 0 {
		p.templates[kind] = t
	}
	return t, problems
}

// made is a paper that was placed on pages, ready to be written.
type made struct {
	document string
	composed layout.Document
	result   layout.Result
	fonts    []text.Font
	notices  source.Problems
	issued   time.Time
	paper    templates.Paper
}

// compose makes a paper up to its pages. The document id is the digest of everything that the paper says,
// of its look and of the visit's salt. It is composed with a mark in place of the id, and the id then takes
// the mark's place: so an id cannot miss what the paper says, nor be part of what it is made from.
//
// What comes after the needle is made whatever the problems: they are noticed, and what they hide is missing.
func (d *Desk) compose(c Checked, issued Issued, r Request) (made, source.Problems, error) {
	paper, problems, err := d.paper(c, issued, r)
	if err != nil || paper.Template == nil {
		return made{}, problems, err
	}
	paper.Facts.Issue.Document = documentMark
	document, found := templates.Compose(paper)
	if problems = append(problems, found...); len(problems) > 0 && !afterNeedle(issued.Kind) {
		return made{}, problems, nil
	}
	m := made{document: identify(&document, c.Case.Visit.Salt), notices: problems}
	if before := supersedes(c, issued.Kind, m.document); before != "" {
		paper.Facts.Issue.Supersedes = before
		if document, problems = templates.Compose(paper); len(problems) > 0 {
			return made{}, problems, nil
		}
	}
	document.Replace(documentMark, m.document)
	m.composed, m.paper = document, paper
	if outlined(r.As) {
		return m, nil, nil // no pages
	}
	return d.place(m, issued, c.Visit)
}

// documentMark stands for the id while it is not known. Its signs are of Unicode's private use area, for
// which no face has a glyph, so that a mark left standing could not be printed unseen.
const documentMark = "\ue0d1\ue0d2\ue0d3"

// paper gathers what a paper is made from.
func (d *Desk) paper(c Checked, issued Issued, r Request) (templates.Paper, source.Problems, error) {
	words, err := d.catalogue.Printer(issued.Language)
	if err != nil {
		return templates.Paper{}, nil, fmt.Errorf("%w: %s", ErrLanguage, issued.Language)
	}
	own, err := d.catalogue.Printer(d.clinic.Language)
	if err != nil {
		return templates.Paper{}, nil, fmt.Errorf("%w: %s", ErrLanguage, d.clinic.Language)
	}
	var with *locales.Printer
	if r.With != "" {
		if with, err = d.catalogue.Printer(r.With); err != nil {
			return templates.Paper{}, nil, fmt.Errorf("%w: %s", ErrLanguage, r.With)
		}
	}
	name := templates.Variant(issued.Kind, c.Case.Visit.Kind)
	template, problems := d.printer().template(name)
	if len(problems) > 0 && afterNeedle(issued.Kind) {
		template, _ = templates.Load(templates.Default, name) // a clinic's own that cannot be read
	}
	if len(problems) > 0 && !afterNeedle(issued.Kind) {
		return templates.Paper{}, problems, nil
	}
	if !template.ForPatient() || d.tooNarrow(c, issued.Kind, r) {
		with = nil
	}
	texts, err := d.standing(c, template, issued.Kind, languagesOf{words, own, with})
	if err != nil {
		return templates.Paper{}, nil, err
	}
	mark, _ := d.mark() // problems are told by Make
	facts := templates.Gather(templates.Issue{Draft: texts.draft, DraftBeside: texts.draftBeside, Reading: texts.reading}, c.Case, c.Report)
	facts.Issue.Screen, facts.Issue.Filled = r.As == AsForm, r.As == AsFilled
	facts.Stay, facts.Seal = d.stayOf(c.Case.Visit), issued.sealing
	return templates.Paper{
		Kind: issued.Kind, Template: template, Printer: words, Clinic: own, With: with, Sheet: d.sheet(c, template, r),
		Facts: facts, Mark: mark,
	}, problems, nil
}

// place sets the paper. A rune without a glyph forbids a paper before the needle; after it, it is printed as
// its number and told.
func (d *Desk) place(m made, issued Issued, visit string) (made, source.Problems, error) {
	setter := d.printer().engine.NewSetter(text.Options{
		Lang: issued.Language, PrintMissing: afterNeedle(issued.Kind), Own: d.printer().ownOf(visit),
	})
	m.result = layout.Place(m.composed, setter)
	var problems source.Problems
	for _, missing := range setter.Missing() {
		problems = append(problems, source.Problem{ID: "problem.no_glyph", Args: map[string]any{
			"rune": fmt.Sprintf("U+%04X", missing.Rune), "field": missing.Field}})
	}
	if len(problems) > 0 && !afterNeedle(issued.Kind) {
		return made{}, problems, nil
	}
	m.notices = append(m.notices, problems...)
	m.fonts = setter.Fonts()
	return m, nil, nil
}

// sheet chooses the look: the template's own, the clinic's page size, large print where asked or needed.
func (d *Desk) sheet(c Checked, t *templates.Template, r Request) string {
	page := d.clinic.Page
	if r.Page != "" {
		page = r.Page
	}
	look := t.Look
	if t.ForPatient() && !t.FixedSize() && (r.LargePrint || slices.Contains(c.Case.Patient.Needs, "large_print")) {
		look = "large"
	}
	return templates.SheetName(look, page)
}

// identify is the document id: sixteen hexadecimal groups would be long to read out, so it is the first
// 128 bits of the digest.
func identify(document *layout.Document, salt string) string {
	said := document.Digest()
	return digest(append([]byte(salt+"\n"), said[:]...))[:32]
}

// supersedes is the consent that a new one takes the place of. It is no part of what the id is made from:
// the same plan asked for again is the same paper.
func supersedes(c Checked, kind, document string) string {
	before := latest(c.Case.Visit.Papers, kind)
	if kind != "consent" || before == document {
		return ""
	}
	return before
}
