// Package medicine recognises medicines in what people write: it knows non-proprietary names in several
// languages, the classes that matter to a filler treatment, and a second list of names that no rule needs.
//
// [Lexicon.Match] finds whole words only, whatever the doses and times around them, and says plainly what
// it did not recognise. It suggests near misses and never assumes them. README.md describes the files.
package medicine

import (
	"embed"
	"encoding/csv"
	"io/fs"
	"sort"
	"strings"
	"unicode/utf8"

	"philtrum/forms/source"
)

// Default holds the lexicon that ships with the program.
//
//go:embed *.csv
var Default embed.FS

// Substance is one entry of the lexicon.
type Substance struct {
	INN     string   // international non-proprietary name, or the herb's English name
	Classes []string // empty: recognised, no rule
	ATC     []string // codes of the WHO ATC/DDD Index; empty for herbs without one
	Names   []Name
	Source  string // key of where classes and codes come from
	Trust   string // read, memory or disputed
}

// Name is a name of a substance in a language (BCP 47; "und" where it serves several).
type Name struct{ Language, Text string }

// Lexicon is a set of substances, ready for matching. It does not change and may be shared.
type Lexicon struct {
	substances []Substance
	listed     []string         // names of each substance as its file has them
	byName     map[string]int32 // by first token: the head of a chain in names, longest name first
	names      []candidate
	inn        map[string]int // by normalised INN
}

type candidate struct {
	next      int32  // index in names, 0 at the end
	runes     int32  // of the whole name
	whole     string // the name, normalised, its tokens joined by a space
	tokens    string // the same after its first token
	length    int    // of all tokens
	substance int
	upper     string // a code that counts only in upper case ("ASA")
	short     bool   // counts only as the whole entry
}

// expected is about how many names the shipped lists have; it only saves growing.
const expected = 5000

// Load reads every *.csv of fsys: lines of inn, classes, atc, names, source, trust.
// A line with an empty or doubled INN, or a class without a source, is a problem.
func Load(fsys fs.FS) (*Lexicon, source.Problems) {
	var problems source.Problems
	l := &Lexicon{
		byName: make(map[string]int32, expected), names: make([]candidate, 1, expected),
		inn: make(map[string]int, expected/8), substances: make([]Substance, 0, expected/8),
	}
	files, err := fs.Glob(fsys, "*.csv")
	if err != nil || len(files) == 0 {
		return nil, source.Problems{{ID: "problem.medicine_no_list"}}
	}
	for _, file := range files {
		problems = append(problems, l.read(fsys, file)...)
	}
	return l, problems
}

func (l *Lexicon) read(fsys fs.FS, file string) source.Problems {
	data, err := fs.ReadFile(fsys, file)
	if err != nil {
		return source.Problems{{ID: "problem.medicine_no_list", Span: source.Span{File: file}}}
	}
	r := csv.NewReader(strings.NewReader(string(data)))
	r.FieldsPerRecord, r.ReuseRecord = 6, true
	var problems source.Problems
	for line := 1; ; line++ {
		row, err := r.Read()
		if row == nil {
			break
		}
		span := source.Span{File: file, Line: line, Col: 1}
		if err != nil {
			return append(problems, source.Problem{ID: "problem.medicine_row", Span: span})
		}
		if line > 1 {
			problems = append(problems, l.add(row, span)...)
		}
	}
	return problems
}

func (l *Lexicon) add(row []string, span source.Span) source.Problems {
	s := Substance{
		INN: row[0], Classes: strings.Fields(row[1]), ATC: strings.Fields(row[2]), Source: row[4], Trust: row[5],
	}
	key := normal(s.INN)
	if _, doubled := l.inn[key]; doubled || key == "" {
		return source.Problems{{ID: "problem.medicine_doubled", Args: map[string]any{"name": s.INN}, Span: span}}
	}
	if len(s.Classes) > 0 && s.Source == "" || s.Trust == "" {
		return source.Problems{{ID: "problem.medicine_no_source", Args: map[string]any{"name": s.INN}, Span: span}}
	}
	at := len(l.substances)
	l.substances = append(l.substances, s)
	l.listed = append(l.listed, row[3])
	l.inn[key] = at
	l.name(s.INN, key, at)
	for rest := row[3]; rest != ""; {
		var entry string
		entry, rest, _ = strings.Cut(rest, "|")
		if _, text, ok := strings.Cut(entry, ":"); ok && text != s.INN {
			l.name(text, normal(text), at)
		}
	}
	return nil
}

// codes are abbreviations that are also ordinary letters of other words and languages: only a whole
// token in capitals counts.
var codes = map[string]bool{"ASA": true, "AAS": true, "ASS": true}

// shortest is the length up to which a single name counts only as the whole of an entry: "ail", "ajo",
// "alho" and "głóg" are garlic and hawthorn, and too short to be trusted inside other words.
const shortest = 4

// name enters a name as it is written and as it is compared.
func (l *Lexicon) name(text, normal string, substance int) {
	first, rest, _ := strings.Cut(normal, " ")
	if first == "" {
		return
	}
	c := candidate{
		whole: normal, tokens: rest, length: 1, runes: int32(utf8.RuneCountInString(normal)), substance: substance,
	}
	if rest != "" {
		c.length += 1 + strings.Count(rest, " ")
	} else {
		if codes[text] {
			c.upper = text
		}
		c.short = c.upper == "" && len([]rune(first)) <= shortest
	}
	l.chain(first, c)
}

// chain puts a name into the chain of its first token: longest first, equal ones in the order of the files.
func (l *Lexicon) chain(first string, c candidate) {
	before := int32(0)
	for i := l.byName[first]; i != 0; i = l.names[i].next {
		have := &l.names[i]
		if have.tokens == c.tokens && have.substance == c.substance && have.upper == c.upper {
			return
		}
		if have.length >= c.length {
			before = i
		}
	}
	at := int32(len(l.names))
	if before == 0 {
		c.next = l.byName[first]
		l.byName[first] = at
	} else {
		c.next = l.names[before].next
		l.names[before].next = at
	}
	l.names = append(l.names, c)
}

// Substances lists the lexicon in the order of its files.
func (l *Lexicon) Substances() []Substance {
	out := make([]Substance, len(l.substances))
	for i, s := range l.substances {
		out[i] = l.named(i, s)
	}
	return out
}

func (l *Lexicon) named(i int, s Substance) Substance {
	for _, entry := range strings.Split(l.listed[i], "|") {
		if lang, text, ok := strings.Cut(entry, ":"); ok {
			s.Names = append(s.Names, Name{lang, text})
		}
	}
	return s
}

// Find returns the substance of an INN, in any spelling of case and accents.
func (l *Lexicon) Find(inn string) (Substance, bool) {
	i, ok := l.inn[normal(inn)]
	if !ok {
		return Substance{}, false
	}
	return l.named(i, l.substances[i]), true
}

// Classes lists every class of the lexicon, sorted.
func (l *Lexicon) Classes() []string {
	seen := map[string]bool{}
	for _, s := range l.substances {
		for _, c := range s.Classes {
			seen[c] = true
		}
	}
	out := make([]string, 0, len(seen))
	for c := range seen {
		out = append(out, c)
	}
	sort.Strings(out)
	return out
}
