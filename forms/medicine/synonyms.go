package medicine

import (
	"maps"
	"slices"

	"philtrum/forms/source"
)

// Synonym is a clinic's own word for a substance.
type Synonym struct {
	Words string
	INN   string
	Span  source.Span
}

// ReadSynonyms reads a mapping of a clinic's own words to INNs.
func ReadSynonyms(n *source.Node, r *source.Reader) []Synonym {
	var out []Synonym
	for _, k := range r.Entries(n) {
		out = append(out, Synonym{Words: k.Name, INN: r.Text(k.Value), Span: k.Span})
	}
	return out
}

// With returns a lexicon that also knows a clinic's own words; l stays as it is. A word for an INN that
// the lexicon does not hold is a problem, and so is a word that already names another substance.
func (l *Lexicon) With(synonyms []Synonym) (*Lexicon, source.Problems) {
	out := &Lexicon{
		substances: l.substances, listed: l.listed, inn: l.inn,
		byName: maps.Clone(l.byName), names: slices.Clone(l.names),
	}
	var problems source.Problems
	for _, s := range synonyms {
		at, ok := l.inn[normal(s.INN)]
		args := map[string]any{"name": s.INN}
		if !ok {
			problems = append(problems, source.Problem{ID: "problem.medicine_unknown_inn", Args: args, Span: s.Span})
			continue
		}
		if other := l.namedBy(s.Words); other >= 0 && other != at {
			args["name"] = l.substances[other].INN
			problems = append(problems, source.Problem{ID: "problem.medicine_word_taken", Args: args, Span: s.Span})
			continue
		}
		out.name(s.Words, normal(s.Words), at)
	}
	return out, problems
}

// namedBy is the substance that exactly these words name, or -1.
func (l *Lexicon) namedBy(words string) int {
	for _, m := range l.Match(words) {
		if m.INN != "" && normal(m.AsWritten) == normal(words) {
			return l.inn[normal(m.INN)]
		}
	}
	return -1
}
