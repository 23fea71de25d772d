package locales

import (
	"fmt"
	"strings"

	"philtrum/locales/cldr"
)

// Printer renders messages in one language, with one region's dates and numbers. It is safe for
// concurrent use.
type Printer struct {
	c      *Catalogue
	lang   Language
	locale *cldr.Locale
	engine *engine
}

func newPrinter(c *Catalogue, l listed, region int) (*Printer, error) {
	lang := l.Language
	lang.Region, lang.DateStyle = l.Regions[region], l.styles[region]
	locale, err := cldr.For(lang.Region, lang.Digits)
	if err != nil {
		return nil, err
	}
	lang.DateOrder = locale.Order()
	e, err := l.engine()
	if err != nil {
		return nil, err
	}
	return &Printer{c: c, lang: lang, locale: locale, engine: e}, nil
}

// Language is the language and region that p writes.
func (p *Printer) Language() Language { return p.lang }

// Locale writes dates and numbers outside messages.
func (p *Printer) Locale() *cldr.Locale { return p.locale }

// MessageError says which message could not be rendered and why. It never holds an argument's value.
type MessageError struct {
	Language, ID string
	Placeholder  string // empty when the message as a whole is meant
	Reason       string
	Err          error
}

func (e *MessageError) Error() string {
	s := fmt.Sprintf("message %s (%s)", e.ID, e.Language)
	if e.Placeholder != "" {
		s += ": {" + e.Placeholder + "}"
	}
	s += ": " + e.Reason
	if e.Err != nil {
		s += ": " + e.Err.Error()
	}
	return s
}

func (e *MessageError) Unwrap() error { return e.Err }

// GroupOf is the group that a message belongs to: the first segment of its id.
func GroupOf(id string) string {
	name, _, _ := strings.Cut(id, ".")
	return name
}

// Has reports whether the language has the message.
func (p *Printer) Has(id string) bool {
	g, err := p.c.load(p.engine, p.lang.Tag, GroupOf(id))
	if err != nil {
		return false
	}
	return g.has(id)
}

// Placeholders gives the placeholders that a message declares with their kinds. The error is a *MessageError.
func (p *Printer) Placeholders(id string) (map[string]Kind, error) {
	decl, err := p.find(id)
	if err != nil {
		return nil, err
	}
	kinds := make(map[string]Kind, len(decl.holders))
	for _, h := range decl.holders {
		kinds[h.name] = h.kind
	}
	return kinds, nil
}

// Text renders a message to a string, for where spans cannot be shown: values are isolated from the
// direction of the words around them where that matters, and blanks are drawn as [BlankText].
func (p *Printer) Text(id string, args Args) (string, error) {
	spans, err := p.Spans(id, args)
	if err != nil {
		return "", err
	}
	return plain(spans, p.lang.Direction == "rtl"), nil
}

// Spans renders a message. Every placeholder that the message declares needs an argument that fits its
// kind, and no other argument may be given. The error is a *MessageError.
func (p *Printer) Spans(id string, args Args) ([]Span, error) {
	return p.render(id, args, 0)
}

// deepest bounds messages within messages, so that two that name each other are an error.
const deepest = 8

func (p *Printer) render(id string, args Args, depth int) ([]Span, error) {
	if depth > deepest {
		return nil, p.fail(id, "", "messages refer to each other without end", nil)
	}
	decl, err := p.find(id)
	if err != nil {
		return nil, err
	}
	if holder, reason := mismatch(decl, args); reason != "" {
		return nil, p.fail(id, holder, reason, nil)
	}
	pieces, err := p.pieces(id, decl, pluralCount(decl, args))
	if err != nil {
		return nil, err
	}
	spans := make([]Span, 0, len(pieces)+2)
	for _, piece := range pieces {
		if spans, err = p.piece(spans, id, piece, decl, args, depth); err != nil {
			return nil, err
		}
	}
	return spans, nil
}

// pieces are the parts of a message in the form that count asks for. Those of a message with one form are kept.
func (p *Printer) pieces(id string, decl declared, count any) ([]piece, error) {
	if count == nil {
		if kept, ok := p.engine.pieces.Load(id); ok {
			return kept.([]piece), nil
		}
	}
	text, err := p.engine.lookup(id, count)
	if err != nil {
		return nil, p.fail(id, decl.plural, "no text for this number", nil)
	}
	pieces, err := parseText(text)
	if err != nil {
		return nil, p.fail(id, "", "markup", err)
	}
	if count == nil {
		p.engine.pieces.Store(id, pieces)
	}
	return pieces, nil
}

func (p *Printer) fail(id, holder, reason string, err error) error {
	return &MessageError{Language: p.lang.Region, ID: id, Placeholder: holder, Reason: reason, Err: err}
}

// find gives what a message declares.
func (p *Printer) find(id string) (declared, error) {
	g, err := p.c.load(p.engine, p.lang.Tag, GroupOf(id))
	if err != nil {
		return declared{}, p.fail(id, "", "its group cannot be read", err)
	}
	decl, ok, err := g.find(id)
	switch {
	case err != nil:
		return declared{}, p.fail(id, "", "its group cannot be read", err)
	case !ok:
		return declared{}, p.fail(id, "", "missing", nil)
	}
	return decl, nil
}

// piece appends the spans of a piece of a message.
func (p *Printer) piece(to []Span, id string, piece piece, decl declared, args Args, depth int) ([]Span, error) {
	if !piece.holder {
		kind := SpanWords
		if piece.strong {
			kind = SpanStrong
		}
		return append(to, Span{Text: piece.text, Kind: kind, Lang: p.lang.Region, Strong: piece.strong}), nil
	}
	h, ok := decl.holder(piece.text)
	if !ok {
		return nil, p.fail(id, piece.text, "not declared", nil)
	}
	start := len(to)
	to, err := p.value(to, h, args[h.name], depth)
	if err != nil {
		return nil, p.fail(id, h.name, "cannot be shown", err)
	}
	for i := start; piece.strong && i < len(to); i++ {
		to[i].Strong = true
		if to[i].Kind == SpanWords {
			to[i].Kind = SpanStrong
		}
	}
	return to, nil
}

func (d declared) holder(name string) (holder, bool) {
	for _, h := range d.holders {
		if h.name == name {
			return h, true
		}
	}
	return holder{}, false
}

// mismatch compares arguments with what a message declares.
func mismatch(d declared, args Args) (name, reason string) {
	for _, h := range d.holders {
		a, ok := args[h.name]
		switch {
		case !ok:
			return h.name, "missing argument"
		case !a.fits(h.kind):
			return h.name, "wrong kind of argument, needs " + string(h.kind)
		case a.form == formCount && a.n < 0:
			return h.name, "negative count"
		}
	}
	if len(args) > len(d.holders) {
		for extra := range args {
			if _, ok := d.holder(extra); !ok && (name == "" || extra < name) {
				name = extra
			}
		}
		return name, "argument not declared"
	}
	return "", ""
}

// pluralCount is the number that chooses a message's form; nil where it has one form or where the number
// is a blank or could not be read, which take the form "other".
func pluralCount(d declared, args Args) any {
	if d.plural == "" {
		return nil
	}
	switch a := args[d.plural]; a.form {
	case formCount:
		return a.n
	case formNumber, formVolume, formDose:
		return a.text
	}
	return nil
}
