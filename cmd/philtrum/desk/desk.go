// Package desk holds what a front desk and a practitioner do with a clinic folder: enter a patient, open a
// visit, check it, record a decision, issue papers. Each use case reads the files that it needs, changes
// only its own lines of them, and writes all or nothing. It speaks no words: what is wrong with a file comes
// back as problems, what failed as an error.
package desk

import (
	"errors"
	"io"
	"io/fs"
	"time"

	"philtrum/cmd/philtrum/folder"
	"philtrum/forms"
	"philtrum/forms/clinic"
	"philtrum/forms/measure"
	"philtrum/forms/medicine"
	"philtrum/forms/place"
	"philtrum/forms/screen"
	"philtrum/forms/source"
	"philtrum/locales"
)

// Desk works on one clinic folder at one moment.
type Desk struct {
	folder    *folder.Folder
	catalogue *locales.Catalogue
	at        time.Time
	random    io.Reader
	clinic    clinic.Clinic
	staff     []clinic.Person
	stock     clinic.Stock
	broken    source.Problems // of the clinic's own files

	indexFile string // empty: in memory
	searched  Searched

	// Made on first use, kept for the following visits.
	lexicon  *medicine.Lexicon
	form     *forms.Form
	rules    *screen.Rules
	places   map[placeKey]place.Place
	printing *printer
	recalled []clinic.Recall
	texts    *texts

	written string // see WriteIn
}

// Open reads the clinic's own files. With problems a Desk comes back all the same, with what could be read:
// their lines can be shown, and what comes after the needle can still be recorded and printed.
func Open(f *folder.Folder, catalogue *locales.Catalogue, at time.Time, random io.Reader) (*Desk, source.Problems, error) {
	d := &Desk{folder: f, catalogue: catalogue, at: at, random: random}
	reader := &source.Reader{}
	var nodes [3]*source.Node
	var problems source.Problems
	for i, name := range []string{"clinic.yaml", "staff.yaml", "products.yaml"} {
		data, err := f.Read(name)
		if err != nil {
			return d, nil, err
		}
		node, found := source.Parse(name, data)
		problems = append(problems, found...)
		nodes[i] = node
	}
	d.clinic, d.staff, d.stock = clinic.Read(nodes[0], nodes[1], nodes[2], reader)
	if len(problems) == 0 {
		problems = reader.Problems()
	}
	d.broken = problems
	if words := d.data("locales", locales.Default); words != locales.Default {
		var found *source.Problems
		switch own, err := locales.Load(words); {
		case err == nil:
			d.catalogue = own
		case errors.As(err, &found):
			problems = append(problems, *found...)
			d.broken = problems
		default:
			return d, problems, err
		}
	}
	return d, problems, nil
}

// Clinic is the clinic whose folder this is.
func (d *Desk) Clinic() clinic.Clinic { return d.clinic }

// Staff is everybody in staff.yaml.
func (d *Desk) Staff() []clinic.Person { return d.staff }

// Stock is products.yaml.
func (d *Desk) Stock() clinic.Stock { return d.stock }

// Catalogue is the words in force here, the clinic's own over those that come with the program.
func (d *Desk) Catalogue() *locales.Catalogue { return d.catalogue }

// Folder is the clinic folder.
func (d *Desk) Folder() *folder.Folder { return d.folder }

// Source gives the text of a file of the folder, for showing the line of a problem; nil if unreadable.
func (d *Desk) Source(file string) []byte {
	data, err := d.folder.Read(file)
	if err != nil {
		return nil
	}
	return data
}

// data is the shipped data of a package with the clinic's overlay of that name over it.
func (d *Desk) data(name string, shipped fs.FS) fs.FS {
	if d.folder == nil {
		return shipped
	}
	return d.folder.Overlay(name, shipped)
}

// load reads form, lexicon and rules, once.
func (d *Desk) load() source.Problems {
	if d.rules != nil {
		return nil
	}
	if len(d.broken) > 0 {
		return d.broken
	}
	var problems source.Problems
	form, found := forms.Load(d.data("forms", forms.Default), "lips")
	problems = append(problems, found...)
	lexicon, found := medicine.Load(d.data("medicine", medicine.Default))
	problems = append(problems, found...)
	if len(problems) > 0 {
		return problems
	}
	if lexicon, found = d.ownWords(lexicon); len(found) > 0 {
		return found
	}
	rules, found := screen.Load(d.data("rules", screen.Default), form, lexicon)
	if len(found) > 0 {
		return found
	}
	d.form, d.lexicon, d.rules = form, lexicon, rules
	return nil
}

type placeKey struct {
	code string
	day  measure.Date
}

// placeOn is the clinic's place as of a day, read once. No other place is read unless a fact is missing.
func (d *Desk) placeOn(day measure.Date) (place.Place, source.Problems) {
	return d.placeAt(d.clinic.Place, day)
}

// placeAt is any place as of a day.
func (d *Desk) placeAt(code string, day measure.Date) (place.Place, source.Problems) {
	key := placeKey{code, day}
	if known, ok := d.places[key]; ok {
		return known, nil
	}
	found, problems := place.Find(d.data("place", place.Default), key.code, day)
	if len(problems) > 0 {
		return place.Place{}, problems
	}
	if d.places == nil {
		d.places = map[placeKey]place.Place{}
	}
	d.places[key] = found
	return found, nil
}

// Citation is the full text of a source's key.
func (d *Desk) Citation(key string) string {
	if d.rules == nil {
		return key
	}
	return d.rules.Citation(key)
}

// Rules are the rules in force here.
func (d *Desk) Rules() (*screen.Rules, source.Problems) {
	problems := d.load()
	return d.rules, problems
}
