package forms

import (
	"slices"
	"strconv"
	"strings"

	"philtrum/forms/source"
)

// Check words. Which kinds take which, and what their arguments are, stands in checkWords.
const (
	Required     = "required"    // a given answer is not empty; a field of an entry is not left out
	Least        = "least"       // number not below
	Most         = "most"        // number not above
	Whole        = "whole"       // number without a fraction
	MostDecimals = "decimals"    // number with at most so many decimals
	Longest      = "longest"     // text, or each name, with at most so many characters
	SingleLine   = "single_line" // text without a line break
	Email        = "email"       // text that is an e-mail address
	Fewest       = "fewest"      // list with at least so many elements
	MostOf       = "most_of"     // list with at most so many elements
	Past         = "past"        // date not wholly after the day of the answer
	Future       = "future"      // date not wholly before the day of the answer
)

type argument uint8

const (
	noArgument argument = iota
	aNumber             // exact decimal
	aCount              // whole, zero or more
)

type checkWord struct {
	argument argument
	kinds    []Kind
}

// checkWords is the whole dialect of checks.
var checkWords = map[string]checkWord{
	Required:     {noArgument, []Kind{YesNo, OneOf, SomeOf, DateKind, Number, Text, Medicines, Entries}},
	Least:        {aNumber, []Kind{Number}},
	Most:         {aNumber, []Kind{Number}},
	Whole:        {noArgument, []Kind{Number}},
	MostDecimals: {aCount, []Kind{Number}},
	Longest:      {aCount, []Kind{Text, Medicines}},
	SingleLine:   {noArgument, []Kind{Text}},
	Email:        {noArgument, []Kind{Text}},
	Fewest:       {aCount, []Kind{SomeOf, Medicines, Entries}},
	MostOf:       {aCount, []Kind{SomeOf, Medicines, Entries}},
	Past:         {noArgument, []Kind{DateKind}},
	Future:       {noArgument, []Kind{DateKind}},
}

// CheckWords lists the words that a question of kind k takes, sorted.
func CheckWords(k Kind) []string {
	var words []string
	for word, w := range checkWords {
		if slices.Contains(w.kinds, k) {
			words = append(words, word)
		}
	}
	slices.Sort(words)
	return words
}

// readChecks reads "checks": words, or one-key mappings of a word to its argument.
func readChecks(n *source.Node, k Kind, r *source.Reader) []Check {
	var checks []Check
	seen := map[string]bool{}
	for _, item := range r.List(n) {
		c, ok := readCheck(item, r)
		if !ok {
			continue
		}
		switch {
		case seen[c.Word]:
			r.ReportAt(c.Span, "problem.check_twice", map[string]any{"check": c.Word})
		case allowCheck(c, k, r):
			checks = append(checks, c)
		}
		seen[c.Word] = true
	}
	return checks
}

func readCheck(n *source.Node, r *source.Reader) (Check, bool) {
	if n.Kind == source.Mapping {
		entries := r.Entries(n)
		if len(entries) != 1 {
			r.Report(n, "problem.check_shape", nil)
			return Check{}, false
		}
		return Check{Word: entries[0].Name, Arg: r.Text(entries[0].Value), Span: entries[0].Span}, true
	}
	word := r.Text(n)
	return Check{Word: word, Span: n.Span}, word != ""
}

func allowCheck(c Check, k Kind, r *source.Reader) bool {
	w, known := checkWords[c.Word]
	if !known || !slices.Contains(w.kinds, k) {
		r.ReportAt(c.Span, "problem.check_unknown",
			map[string]any{"check": c.Word, "kind": string(k), "allowed": strings.Join(CheckWords(k), ", ")})
		return false
	}
	if !argumentFits(w.argument, c.Arg) {
		r.ReportAt(c.Span, "problem.check_argument", map[string]any{"check": c.Word})
		return false
	}
	return true
}

func argumentFits(a argument, text string) bool {
	switch a {
	case noArgument:
		return text == ""
	case aCount:
		n, err := strconv.Atoi(text)
		return err == nil && n >= 0 && n <= 100_000
	}
	_, ok := ParseNumber(text)
	return ok
}
