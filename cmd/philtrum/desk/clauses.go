package desk

import (
	"io/fs"
	"strings"

	"philtrum/forms/source"
	"philtrum/templates"
)

// Clause is a clause beside a paper; ClausePlace and ClauseSource say where it stands and what it rests on.
type (
	Clause       = templates.Clause
	ClausePlace  = templates.ClausePlace
	ClauseSource = templates.ClauseSource
)

// Templates are the papers that have a template, their forms for other kinds of visit included
// ("consent-dissolving"), by name.
func Templates() []string {
	entries, err := fs.ReadDir(templates.Default, "papers")
	if err != nil {
		return nil // the program's own files are there
	}
	var names []string
	for _, e := range entries {
		if name, ok := strings.CutSuffix(e.Name(), ".yaml"); ok && !e.IsDir() {
			names = append(names, name)
		}
	}
	return names
}

// Clauses are the clauses that concern a kind of paper, with where they stand on the clinic's own template.
func (d *Desk) Clauses(kind string) ([]Clause, source.Problems) {
	template, problems := d.printer().template(kind)
	if len(problems) > 0 {
		return nil, problems
	}
	table, problems := templates.LoadClauses(d.data("templates", templates.Default))
	if len(problems) > 0 {
		return nil, problems
	}
	return table.Of(template), nil
}

// ShippedClauses are the clauses of a paper as the program ships it, for where there is no clinic folder.
func ShippedClauses(kind string) ([]Clause, source.Problems) {
	template, problems := templates.Load(templates.Default, kind)
	if len(problems) > 0 {
		return nil, problems
	}
	table, problems := templates.LoadClauses(templates.Default)
	if len(problems) > 0 {
		return nil, problems
	}
	return table.Of(template), nil
}
