package booking

import (
	"embed"
	"fmt"
	"strings"
	"sync"
	"unicode"

	"golang.org/x/text/unicode/norm"

	"philtrum/forms/source"
)

//go:embed headings.yaml
var shipped embed.FS

// words is headings.yaml, folded: what columns are called, and what stands in some of them.
type words struct {
	headings map[string]Field
	exact    map[string]bool // headings with their marks, to tell encodings apart
	totals   map[string]bool
	kinds    map[string]string
	tags     map[string]string
	statuses map[string]string // stands, cancelled
	halves   map[string]string // before_noon, after_noon
	titles   map[string]bool
	// Words of a time of day: behind the hour, behind the minute, and those that say nothing.
	hours, minutes, beside map[string]bool
}

// vocabulary reads headings.yaml once.
var vocabulary = sync.OnceValues(func() (*words, error) {
	const file = "headings.yaml"
	data, err := shipped.ReadFile(file)
	if err != nil {
		return nil, err
	}
	node, problems := source.Parse(file, data)
	r := &source.Reader{}
	f := r.Fields(node, "headings", "totals", "kinds", "statuses", "titles", "languages", "clock")
	w := &words{headings: map[string]Field{}, exact: map[string]bool{}, tags: map[string]string{}}
	for _, e := range r.Entries(f.Need("headings")) {
		for _, s := range r.Texts(e.Value) {
			if other, doubled := w.headings[Fold(s)]; doubled && other != Field(e.Name) {
				return nil, fmt.Errorf("%s: %q is a heading of %s and of %s", file, s, other, e.Name)
			}
			w.headings[Fold(s)], w.exact[marked(s)] = Field(e.Name), true
		}
	}
	set := func(n *source.Node) map[string]bool {
		all := map[string]bool{}
		for _, s := range r.Texts(n) {
			all[Fold(s)] = true
		}
		return all
	}
	meanings := func(n *source.Node) map[string]string {
		all := map[string]string{}
		for _, e := range r.Entries(n) {
			for word := range set(e.Value) {
				all[word] = e.Name
			}
		}
		return all
	}
	w.totals, w.kinds, w.statuses = set(f.Need("totals")), meanings(f.Need("kinds")), meanings(f.Need("statuses"))
	w.titles = set(f.Need("titles"))
	clock := r.Fields(f.Need("clock"), "hours", "minutes", "beside", "halves")
	w.hours, w.minutes, w.beside = set(clock.Need("hours")), set(clock.Need("minutes")), set(clock.Need("beside"))
	w.halves = meanings(clock.Need("halves"))
	for _, e := range r.Entries(f.Need("languages")) {
		w.tags[Fold(e.Name)] = e.Name
		for _, s := range r.Texts(e.Value) {
			w.tags[Fold(s)] = e.Name
		}
	}
	if problems = append(problems, r.Problems()...); len(problems) > 0 {
		return nil, fmt.Errorf("%s: %v", file, problems)
	}
	return w, nil
})

// IsTitle says whether a word before a practitioner's name is no part of it: "Dr.", "Frau". The word is folded.
func IsTitle(word string) bool {
	w, err := vocabulary()
	return err == nil && w.titles[word]
}

// Fold makes two ways of writing one word equal: letters and digits only, without marks of Latin, Greek and
// Cyrillic letters and without capitals.
func Fold(s string) string {
	var b strings.Builder
	var before rune
	for _, c := range norm.NFKD.String(s) {
		mark := unicode.Is(unicode.Mn, c)
		switch {
		case mark && unicode.In(before, unicode.Latin, unicode.Greek, unicode.Cyrillic):
			continue
		case mark, unicode.Is(unicode.Mc, c), unicode.IsLetter(c), unicode.IsDigit(c):
			b.WriteRune(unicode.ToLower(c))
		}
		if !mark {
			before = c
		}
	}
	return norm.NFC.String(b.String())
}

// marked is a heading without capitals, but with the marks of its letters.
func marked(s string) string { return strings.ToLower(norm.NFC.String(tidy(s))) }

// spelled counts the headings of a line that are known with every mark.
func (w *words) spelled(l line) int {
	n := 0
	for _, c := range l.cells {
		if w.exact[marked(c.text)] {
			n++
		}
	}
	return n
}

// headingLine finds the line of headings among the first ones: the one with the most known headings, at least
// two, or all that a person named.
func headingLine(grid []line, w *words, named map[Field]string) (at, known, width int) {
	const deep = 30
	at = -1
	for i, l := range grid[:min(len(grid), deep)] {
		found := map[Field]bool{}
		for _, c := range l.cells {
			if f := fieldOf(c.text, w, named); f != "" {
				found[f] = true
			}
		}
		if len(found) > known && (len(found) > 1 || len(named) == 1) {
			at, known, width = i, len(found), len(l.cells)
		}
	}
	return at, known, width
}

// fieldOf is the field of a heading: as a person named it, else by its usual words. A field that a person
// named is nothing else's.
func fieldOf(heading string, w *words, named map[Field]string) Field {
	folded := Fold(heading)
	if folded == "" {
		return ""
	}
	for _, f := range Fields {
		if s, ok := named[f]; ok && Fold(s) == folded {
			return f
		}
	}
	f := w.headings[folded]
	if _, taken := named[f]; taken {
		return ""
	}
	return f
}

// columns assigns the columns under the headings. Of two that mean the same field the first is taken, and the
// second is a doubt.
func (r *reader) columns(l line) {
	taken := map[Field]string{}
	for i, c := range l.cells {
		f := fieldOf(c.text, r.words, r.options.Columns)
		switch {
		case f == "" && c.text != "":
			r.Ignored = append(r.Ignored, c.text)
		case f == "":
		case taken[f] != "":
			r.Doubts = append(r.Doubts, Doubt{ID: "two_columns", Field: f, Args: map[string]any{"first": taken[f], "second": c.text}})
		default:
			taken[f] = c.text
			r.Columns = append(r.Columns, Column{Field: f, Heading: c.text, at: i})
		}
	}
	if taken[Given] != "" && taken[Family] == "" && taken[Name] != "" {
		// "Name" and "Vorname": beside a column of given names, the name is the family's.
		taken[Family] = taken[Name]
		for i := range r.Columns {
			if r.Columns[i].Field == Name {
				r.Columns[i].Field = Family
			}
		}
	}
	for _, f := range Fields {
		if s, ok := r.options.Columns[f]; ok && taken[f] == "" {
			r.Doubts = append(r.Doubts, Doubt{ID: "no_column", Field: f, Args: map[string]any{"heading": s}})
		}
	}
	if taken[Name] == "" && taken[Given] == "" && taken[Family] == "" {
		r.Doubts = append(r.Doubts, Doubt{ID: "missing_column", Field: Name})
	}
	if taken[Born] == "" {
		r.Doubts = append(r.Doubts, Doubt{ID: "missing_column", Field: Born})
	}
	if taken[Time] == "" && taken[Moment] == "" && taken[On] == "" {
		r.Doubts = append(r.Doubts, Doubt{ID: "missing_column", Field: Time})
	}
}
