// Package anaesthetic adds up sources of local anaesthetic as fractions of their own published limits. It
// states a sum beside a limit; it sets no dose.
package anaesthetic

import (
	_ "embed"
	"fmt"
	"slices"
	"strings"
	"sync"
	"unicode"

	"philtrum/forms/measure"
	"philtrum/forms/source"
)

// Limit is what a regulator publishes for a substance: so many mg for each kg of body weight, at most so
// many in all.
type Limit struct {
	ID         string // lidocaine, lidocaine_adrenaline, articaine_adrenaline
	Names      []string
	Adrenaline bool
	PerKg      measure.Dose
	Most       measure.Dose // zero: the label states none
	Source     string
	Trust      string // read, secondary
}

// At is the limit for a weight, in mg.
func (l Limit) At(w measure.Weight) measure.Dose {
	d := measure.DosePer(w, l.PerKg)
	if !l.Most.IsZero() && d.Cmp(l.Most) > 0 {
		return l.Most
	}
	return d
}

// List is the published limits with the words by which a source is recognised.
type List struct {
	Limits            []Limit
	adrenaline, plain []string
	least, most       measure.Weight
}

//go:embed limits.yaml
var limitsFile []byte

// Published gives the limits that ship. Callers share them and change nothing.
var Published = sync.OnceValue(func() *List {
	l, problems := readList("limits.yaml", limitsFile)
	if err := problems.Err(); err != nil {
		panic(fmt.Sprintf("anaesthetic: embedded limits: %v", err))
	}
	return l
})

func readList(file string, data []byte) (*List, source.Problems) {
	root, problems := source.Parse(file, data)
	if len(problems) > 0 {
		return nil, problems
	}
	r := &source.Reader{}
	f := r.Fields(root, "limits", "adrenaline", "plain", "weight")
	l := &List{adrenaline: r.Texts(f.Need("adrenaline")), plain: r.Texts(f.Need("plain"))}
	for _, n := range r.List(f.Need("limits")) {
		l.Limits = append(l.Limits, readLimit(r, n))
	}
	bounds := r.Fields(f.Need("weight"), "least", "most")
	l.least, l.most = weight(r, bounds.Need("least")), weight(r, bounds.Need("most"))
	return l, r.Problems()
}

func readLimit(r *source.Reader, n *source.Node) Limit {
	f := r.Fields(n, "id", "names", "adrenaline", "per_kg", "most", "source", "trust")
	return Limit{
		ID:         r.Text(f.Need("id")),
		Names:      r.Texts(f.Need("names")),
		Adrenaline: r.YesNo(f.Need("adrenaline")),
		PerKg:      dose(r, f.Need("per_kg")),
		Most:       dose(r, f.Get("most")),
		Source:     r.Text(f.Need("source")),
		Trust:      r.OneOf(f.Need("trust"), "read", "secondary"),
	}
}

func dose(r *source.Reader, n *source.Node) measure.Dose {
	if n == nil {
		return measure.Dose{}
	}
	d, err := measure.ParseDose(n.Text)
	if err != nil {
		r.Report(n, err.Error(), nil)
	}
	return d
}

func weight(r *source.Reader, n *source.Node) measure.Weight {
	if n == nil {
		return measure.Weight{}
	}
	w, err := measure.ParseWeight(n.Text)
	if err != nil {
		r.Report(n, err.Error(), nil)
	}
	return w
}

// Find gives the limit that belongs to what was written of a source ("Lidocaine 2% with adrenaline"). It is
// false for a substance without a row, and for a mixture of several substances.
func (l *List) Find(written string) (Limit, bool) {
	words := strings.FieldsFunc(strings.ToLower(written), func(r rune) bool { return !unicode.IsLetter(r) && !unicode.Is(unicode.M, r) })
	names := func(list []string) bool {
		return slices.ContainsFunc(words, func(w string) bool { return slices.Contains(list, w) })
	}
	adrenaline := names(l.adrenaline) && !names(l.plain)
	var found []Limit
	for _, limit := range l.Limits {
		if names(limit.Names) && limit.Adrenaline == adrenaline {
			found = append(found, limit)
		}
	}
	if len(found) != 1 || names(others) {
		return Limit{}, false
	}
	return found[0], true
}

// others are anaesthetics that mixtures hold and that have no row: such a source is not lidocaine alone.
var others = []string{
	"prilocaine", "prilocaina", "prilocaína", "prilocaïne", "prilocain", "prylokaina", "прилокаин", "tetracaine",
	"tetracaina", "tetracaína", "tétracaïne", "tetracain", "benzocaine", "benzocaina", "benzocaína", "benzocaïne", "benzocain",
	"mepivacaine", "mepivacaina", "bupivacaine", "bupivacaina",
}
