package desk

import (
	"strings"

	"philtrum/forms/source"
	"philtrum/locales"
	"philtrum/locales/readability"
	"philtrum/templates"
)

// Reading is how hard a paper is to read in one language.
type Reading struct {
	Paper, Language string // the paper is a kind, or one that some kinds of visit have of its own
	readability.Result
	Aim    float64  // of the language; 0 where none is set
	Met    bool     // the aim is reached
	Exempt []string // terms of the glossary that the paper explains and that count as known
	// Unexplained are terms that the glossary wants explained and that the paper uses before it explains them.
	Unexplained []string
}

// Readability rates the papers for patients, or one of them, in every language that has words, by what their
// templates can print: it needs no visit.
func (d *Desk) Readability(only string) ([]Reading, source.Problems, error) {
	var out []Reading
	var problems source.Problems
	for _, name := range append(Kinds(), templates.Variants()...) {
		if kind, _, _ := strings.Cut(name, "-"); only != "" && kind != only {
			continue
		}
		t, found := d.printer().template(name)
		if problems = append(problems, found...); len(found) > 0 || !t.ForPatient() {
			continue
		}
		for _, language := range d.catalogue.Languages() {
			words, err := d.catalogue.Printer(language.Tag)
			if err != nil || !words.Has("term.paper."+t.Kind) {
				continue // a language that is announced and not translated yet
			}
			reading, err := d.reading(name, t, words)
			if err != nil {
				return nil, nil, err
			}
			out = append(out, reading)
		}
	}
	return out, problems, nil
}

func (d *Desk) reading(name string, t *templates.Template, words *locales.Printer) (Reading, error) {
	tag := words.Language().Tag
	terms, err := locales.Glossary(d.data("locales", locales.Default), tag)
	if err != nil {
		return Reading{}, err
	}
	passages := t.Passages(words)
	r := Reading{Paper: name, Language: tag, Exempt: templates.Explained(passages, terms),
		Unexplained: templates.Unexplained(passages, terms)}
	r.Result = readability.ByAim(tag, strings.Join(passages, "\n"), r.Exempt)
	if aim, ok := readability.AimOf(tag); ok {
		r.Aim, r.Met = aim.Paper, aim.Met(r.Result)
	}
	return r, nil
}
