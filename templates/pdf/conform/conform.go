// Package conform checks finished files against the conditions of ISO 14289-1 (PDF/UA-1) and ISO 19005-2
// level U (or ISO 19005-1 level B) that a machine can check.
//
// It is a check of one's own work and no validator: it knows the constructs that package pdf writes and
// those that signing and forms add, and reports as a violation what it does not know how to judge. What
// only people can judge (whether a tag, an order or an alternative text is right) stays with people.
package conform

import (
	"fmt"
	"sort"

	"philtrum/templates/pdf/read"
)

// Violation is a condition that a file does not keep.
type Violation struct {
	Rule  string // stable id, one of [Rules]
	Where string // "page 2", "object 17", a font or an element; never text of the paper
}

// String gives both, for tests and logs.
func (v Violation) String() string { return v.Rule + ": " + v.Where }

// Check gives all violations, none for a file that keeps the conditions. It never fails: a file that
// cannot be read violates the rule "file".
func Check(file []byte) []Violation {
	f, err := read.Open(file)
	if err != nil || len(f.Pages()) == 0 {
		return []Violation{{RuleFile, "whole file"}}
	}
	c := &checker{f: f, seen: make(map[Violation]bool)}
	c.envelope()
	c.catalog()
	c.metadata()
	c.objects()
	c.pages()
	c.structure()
	c.parentTree()
	c.annotations()
	c.fonts()
	sort.SliceStable(c.found, func(i, j int) bool { return c.found[i].Rule < c.found[j].Rule })
	return c.found
}

// checker gathers what one part finds for the next.
type checker struct {
	f     *read.File
	part  string // of ISO 19005, as the metadata say
	found []Violation
	seen  map[Violation]bool

	content  []map[int]bool            // by page: the marks that its content has
	codes    map[read.Ref]map[int]bool // by font: the codes that are shown
	owners   map[markAt][]read.Ref     // elements of each mark
	elements map[read.Ref]read.Name    // types of all elements
	objectOf map[read.Ref][]read.Ref   // elements of each object reference
}

type markAt struct{ page, mark int }

func (c *checker) fail(rule, where string, args ...any) {
	v := Violation{rule, fmt.Sprintf(where, args...)}
	if !c.seen[v] {
		c.seen[v] = true
		c.found = append(c.found, v)
	}
}
