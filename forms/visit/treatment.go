package visit

import (
	"fmt"
	"regexp"
	"strings"
	"time"

	"philtrum/forms"
	"philtrum/forms/device"
	"philtrum/forms/measure"
	"philtrum/forms/source"
)

// lenient reads a treatment. Whatever it cannot read it keeps as typed and marks; it refuses nothing,
// because a record of what was done may never be held up.
type lenient struct {
	reader
	words  *Words
	unread *[]Unread
	torn   map[*source.Node]string // values whose decimals became a key: {volume: 0,5}
}

func newLenient(zone *time.Location, unread *[]Unread) lenient {
	return lenient{reader{forms.Values{Reader: &source.Reader{}, Private: true, Zone: zone}}, Lists(), unread, map[*source.Node]string{}}
}

// readTreatment reads a treatment that was to begin at the appointment; its year decides the century of codes
// where the treatment does not say when it began.
func readTreatment(n *source.Node, zone *time.Location, appointment time.Time) *Given {
	if n == nil || n.Kind == source.Empty {
		return nil
	}
	g := &Given{Span: n.Span}
	l := newLenient(zone, &g.Unread)
	f := l.keys(n, "", "start", "end", "by", "recorded", "asepsis", "weight_kg", "anaesthetics", "syringes", "rows", "checks",
		"reaction", "photos", "views", "kit", "reconfirmed", "notes", "dissolving", "event")
	g.Start, g.End, g.Recorded = l.time(f, "", "start"), l.time(f, "", "end"), l.time(f, "", "recorded")
	year := yearOf(g.Start, appointment)
	g.By = l.text(f, "", "by")
	g.Asepsis = l.text(f, "", "asepsis")
	g.Weight, g.WeightText = lenientRead(l, f, "", "weight_kg", lenient.Weight)
	g.Reaction = l.text(f, "", "reaction")
	g.Notes = l.text(f, "", "notes")
	g.Reconfirmed = l.yes(f, "", "reconfirmed")
	g.Photos, g.Kit = l.texts(f, "", "photos"), l.texts(f, "", "kit")
	for i, n := range l.list(f, "anaesthetics") {
		g.Anaesthetics = append(g.Anaesthetics, l.anaesthetic(n, at("anaesthetics", i)))
	}
	for i, n := range l.list(f, "syringes") {
		g.Syringes = append(g.Syringes, l.syringe(n, at("syringes", i), year))
	}
	for i, n := range l.list(f, "rows") {
		g.Rows = append(g.Rows, l.row(n, at("rows", i)))
	}
	for i, n := range l.list(f, "checks") {
		g.Checks = append(g.Checks, l.check(n, at("checks", i)))
	}
	g.Views = l.views(f, "views")
	g.Dissolved = l.dissolved(f.Get("dissolving"), year)
	g.Event = l.event(f.Get("event"))
	g.Marks = l.Problems()
	return g
}

var digits = regexp.MustCompile(`^[0-9]+$`)

func at(list string, i int) string { return fmt.Sprintf("%s.%d.", list, i+1) }

// keys reads a mapping and keeps what stands under unknown keys, or instead of the mapping.
func (l lenient) keys(n *source.Node, where string, allowed ...string) source.Fields {
	f := l.Fields(n, allowed...)
	if n != nil && n.Kind != source.Mapping {
		l.keep(strings.TrimSuffix(where, "."), n)
		return f
	}
	if n == nil {
		return f
	}
	seen := map[string]bool{}
	for i, k := range n.Keys {
		if i > 0 && digits.MatchString(k.Name) && k.Value.Kind == source.Empty && digits.MatchString(typed(n.Keys[i-1].Value)) {
			before := n.Keys[i-1]
			l.torn[before.Value] = before.Value.Text + "," + k.Name
			l.keep(where+before.Name, source.Text(l.torn[before.Value]))
			continue
		}
		if f.Get(k.Name) == nil || seen[k.Name] {
			l.keep(where+k.Name, k.Value)
		}
		seen[k.Name] = true
	}
	return f
}

// keep holds on to what was typed.
func (l lenient) keep(where string, n *source.Node) {
	if text := typed(n); text != "" {
		*l.unread = append(*l.unread, Unread{Where: where, Text: text, Span: n.Span})
	}
}

// typed is a node's text on one line, as near to the file as a line can be.
func typed(n *source.Node) string {
	if n == nil {
		return ""
	}
	var parts []string
	switch n.Kind {
	case source.Scalar:
		return n.Text
	case source.Mapping:
		for _, k := range n.Keys {
			parts = append(parts, k.Name+": "+typed(k.Value))
		}
	case source.Sequence:
		for _, item := range n.Items {
			parts = append(parts, typed(item))
		}
	}
	return strings.Join(parts, "; ")
}

// lenientRead reads f's key with read. If that reported anything, it keeps the text and gives it back; of
// a decimal comma that a flow mapping took for its own, both halves are the text.
func lenientRead[T any](l lenient, f source.Fields, where, key string, read func(lenient, *source.Node) T) (T, string) {
	n := f.Get(key)
	if text, torn := l.torn[n]; torn {
		var none T
		l.Report(n, "problem.decimal_torn", nil)
		return none, text
	}
	sub := l
	sub.Reader = &source.Reader{}
	value := read(sub, n)
	found := sub.Problems()
	if len(found) == 0 {
		return value, ""
	}
	for _, p := range found {
		l.ReportAt(p.Span, p.ID, p.Args)
	}
	l.keep(where+key, n)
	return value, typed(n)
}

func (l lenient) text(f source.Fields, where, key string) string {
	s, _ := lenientRead(l, f, where, key, lenient.Text)
	return s
}

func (l lenient) texts(f source.Fields, where, key string) []string {
	list, _ := lenientRead(l, f, where, key, lenient.Texts)
	return list
}

func (l lenient) list(f source.Fields, key string) []*source.Node {
	list, _ := lenientRead(l, f, "", key, lenient.List)
	return list
}

func (l lenient) time(f source.Fields, where, key string) time.Time {
	t, _ := lenientRead(l, f, where, key, lenient.Time)
	return t
}

func (l lenient) yes(f source.Fields, where, key string) bool {
	b, _ := lenientRead(l, f, where, key, lenient.YesNo)
	return b
}

func (l lenient) count(f source.Fields, where, key string) int {
	n, _ := lenientRead(l, f, where, key, func(l lenient, n *source.Node) int { return l.Int(n, 0, 1000) })
	return n
}

func (l lenient) volume(f source.Fields, where, key string) (measure.Volume, string) {
	return lenientRead(l, f, where, key, lenient.Volume)
}

// word reads a word of a closed list; another word stays as typed and is marked.
func (l lenient) word(f source.Fields, where, key string, allowed []string) string {
	word, as := lenientRead(l, f, where, key, func(l lenient, n *source.Node) string { return l.OneOf(n, allowed...) })
	return word + as
}

// expiry reads a day, or a month, which counts to its last day (GS1 General Specifications: day 00).
func (l lenient) expiry(f source.Fields, where, key string) (measure.Date, string) {
	return lenientRead(l, f, where, key, func(l lenient, n *source.Node) measure.Date {
		p := l.Partial(n)
		switch {
		case p.IsZero():
			return measure.Date{}
		case p.Month == 0:
			l.Report(n, "problem.expiry_year", nil)
			return measure.Date{}
		}
		return p.Latest()
	})
}

func (l lenient) anaesthetic(n *source.Node, where string) Anaesthetic {
	f := l.keys(n, where, "substance", "form", "strength", "lot", "volume", "dose", "at", "expiry")
	a := Anaesthetic{
		Substance: l.text(f, where, "substance"),
		Form:      l.text(f, where, "form"),
		Strength:  l.text(f, where, "strength"),
		Lot:       l.text(f, where, "lot"),
		At:        l.time(f, where, "at"),
	}
	a.Dose, _ = lenientRead(l, f, where, "dose", lenient.Dose)
	a.Volume, _ = l.volume(f, where, "volume")
	a.Expiry, _ = l.expiry(f, where, "expiry")
	return a
}

func (l lenient) syringe(n *source.Node, where string, year int) Syringe {
	f := l.keys(n, where, "product", "lot", "device", "carrier", "expiry", "labelled", "discarded")
	s := Syringe{
		Product: l.text(f, where, "product"),
		Lot:     l.text(f, where, "lot"),
		Device:  l.text(f, where, "device"),
		Carrier: l.text(f, where, "carrier"),
		Span:    n.Span,
	}
	s.Expiry, s.ExpiryText = l.expiry(f, where, "expiry")
	s.Labelled, s.LabelledText = l.volume(f, where, "labelled")
	s.Discarded, s.DiscardedText = l.volume(f, where, "discarded")
	var filled device.Typed
	s.Code, filled = scan(s.Carrier, year, device.Typed{Device: s.Device, Lot: s.Lot, Expiry: s.Expiry, ExpiryText: s.ExpiryText})
	s.Device, s.Lot, s.Expiry, s.ExpiryText = filled.Device, filled.Lot, filled.Expiry, filled.ExpiryText
	return s
}

func (l lenient) row(n *source.Node, where string) Row {
	f := l.keys(n, where, rowKeys...)
	row := Row{
		Zone:        l.text(f, where, "zone"),
		Side:        l.word(f, where, "side", sides),
		Plane:       l.word(f, where, "plane", l.words.Planes),
		Technique:   l.word(f, where, "technique", l.words.Techniques),
		Instrument:  l.word(f, where, "instrument", l.words.Instruments),
		Gauge:       l.text(f, where, "gauge"),
		LengthMm:    l.text(f, where, "length_mm"),
		Product:     l.text(f, where, "product"),
		Lot:         l.text(f, where, "lot"),
		Passes:      l.count(f, where, "passes"),
		EntryPoints: l.count(f, where, "entry_points"),
		Syringe:     l.count(f, where, "syringe"),
		Aspiration:  l.text(f, where, "aspiration"),
		Refill:      l.text(f, where, "refill"),
		Span:        n.Span,
	}
	row.Volume, row.VolumeText = l.volume(f, where, "volume")
	if f.Get("volume") == nil {
		l.Report(n, "problem.missing_key", map[string]any{"key": "volume"})
	}
	reportPlace(l.Reader, n, l.words, row)
	return row
}

func (l lenient) check(n *source.Node, where string) Check {
	f := l.keys(n, where, "what", "result", "at")
	return Check{What: l.text(f, where, "what"), Result: l.text(f, where, "result"), At: l.time(f, where, "at")}
}
