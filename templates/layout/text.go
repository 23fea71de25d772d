package layout

import "strings"

// manner is how a passage is set: its role, and what the block adds to it.
type manner struct {
	role   Role
	strong bool // set bold whatever the role
	quiet  bool // text ink becomes quiet ink
	align  Align
	hang   Length // indent of all lines but the first
	kept   bool   // a mere line of the other direction stays below its label, at the paper's side
	label  bool   // a label of a field or box, which is set as a heading is: without hyphens
	whole  bool   // no word is hyphenated
}

// setKey identifies a request by the spans' place in the document, which does not change while placing.
type setKey struct {
	spans  *Span
	count  int
	size   Length
	weight Weight
	quiet  bool
	whole  bool
	width  Length
}

// setter asks the metrics and remembers, because spacing may be tried several times.
type setter struct {
	metrics  Metrics
	measurer Measurer // nil where the metrics can only set
	lang     string
	dir      Direction
	known    map[setKey][]Line
}

func newSetter(m Metrics, lang string, dir Direction) *setter {
	t := &setter{metrics: m, lang: lang, dir: dir, known: map[setKey][]Line{}}
	t.measurer, _ = m.(Measurer)
	return t
}

// lines sets spans no wider than width; 0 is one line.
func (t *setter) lines(spans []Span, st TextStyle, mn manner, width Length) []Line {
	if blank(spans) {
		return nil
	}
	key := setKey{&spans[0], len(spans), st.Size, weightOf(st, mn), mn.quiet, mn.whole, width}
	if got, ok := t.known[key]; ok {
		return got
	}
	var got []Line
	if parts := t.passages(spans, st, mn, width); parts != nil {
		got = t.stacked(parts, func(part []Span) []Line { return t.lines(part, st, mn, width) })
	} else {
		got = t.metrics.Lines(t.request(spans, st, mn, width))
	}
	t.known[key] = got
	return got
}

// measure gives the extent of the lines that lines would give.
func (t *setter) measure(spans []Span, st TextStyle, mn manner, width Length) Extent {
	if blank(spans) {
		return Extent{}
	}
	if parts := t.passages(spans, st, mn, width); parts != nil {
		return t.stackedExtent(parts, st, mn, width)
	}
	if t.measurer != nil {
		return t.measurer.Measure(t.request(spans, st, mn, width))
	}
	return extentOf(t.lines(spans, st, mn, width))
}

func (t *setter) request(spans []Span, st TextStyle, mn manner, width Length) Request {
	lang := t.langOf(spans)
	req := Request{Spans: spans, Lang: lang, Direction: t.direction(lang), Size: st.Size, Weight: weightOf(st, mn),
		Width: width, Hyphenate: !mn.whole && width > 0 && width < narrow*st.Size}
	if mn.quiet {
		req.Spans = quieted(spans)
	}
	return req
}

func weightOf(st TextStyle, mn manner) Weight {
	if mn.strong {
		return Bold
	}
	return st.Weight
}

// narrow is the measure, in sizes of the type, below which words may be hyphenated: some 40 characters;
// common practice, no source.
const narrow = 20

// natural is the width of spans on one line.
func (t *setter) natural(spans []Span, st TextStyle, mn manner) Length {
	return t.measure(spans, st, mn, 0).Widest
}

// langOf is the one language of all spans, or that of the document. A value without a language takes
// that of the words around it.
func (t *setter) langOf(spans []Span) string {
	lang := ""
	for _, s := range spans {
		own := s.Lang
		if strings.TrimSpace(s.Text) == "" || own == "" && s.Value {
			continue
		}
		if own == "" {
			own = t.lang
		}
		if lang != "" && lang != own {
			return t.lang
		}
		lang = own
	}
	if lang == "" {
		return t.lang
	}
	return lang
}

func (t *setter) direction(lang string) Direction {
	if lang == t.lang {
		return t.dir
	}
	return DirectionOf(lang)
}

// DirectionOf is the direction of a language's usual script, or of the script that its tag names.
func DirectionOf(lang string) Direction {
	parts := strings.Split(strings.ToLower(lang), "-")
	for _, p := range parts[1:] {
		switch p {
		case "arab", "hebr", "thaa", "syrc", "nkoo", "adlm":
			return RightToLeft
		case "latn", "cyrl":
			return LeftToRight
		}
	}
	switch parts[0] {
	case "ar", "fa", "he", "ur", "ps", "sd", "ug", "yi", "dv", "ckb", "prs":
		return RightToLeft
	}
	return LeftToRight
}

// blank tells that spans print nothing.
func blank(spans []Span) bool {
	for _, s := range spans {
		if s.Text != "" || s.Blank > 0 || s.Page || s.Pages {
			return false
		}
	}
	return true
}

func quieted(spans []Span) []Span {
	out := append([]Span(nil), spans...)
	for i := range out {
		if out[i].Ink == InkText {
			out[i].Ink = InkQuiet
		}
	}
	return out
}

// textOf is the logical text of spans.
func textOf(spans []Span) string {
	var b strings.Builder
	for _, s := range spans {
		if s.Text == Below.Text {
			b.WriteByte('\n')
			continue
		}
		b.WriteString(s.Text)
	}
	return b.String()
}

// rightToLeft tells that a text has a letter of a right-to-left script (the blocks that Unicode reserves
// for them; UAX #9, section 3.2).
func rightToLeft(s string) bool {
	for _, r := range s {
		switch {
		case r >= 0x0590 && r <= 0x08FF, r >= 0xFB1D && r <= 0xFDFF, r >= 0xFE70 && r <= 0xFEFF,
			r >= 0x10800 && r <= 0x10FFF, r >= 0x1E800 && r <= 0x1EFFF:
			return true
		}
	}
	return false
}
