package desk

import (
	"cmp"
	"fmt"
	"slices"

	"philtrum/forms/clinic"
	"philtrum/forms/measure"
	"philtrum/forms/source"
	"philtrum/locales"
	"philtrum/locales/release"
)

// PortionState says how far a portion of a language's texts is.
type PortionState struct {
	Portion  string
	Messages int
	State    release.State
	Signed   clinic.Release // of the content as it stands; zero for a draft
	Reopened bool           // a draft of which an earlier content was signed for
}

// Released says whether the portion may be used.
func (s PortionState) Released() bool { return s.State == release.Released }

// IsSource says whether a language is the one that the texts are written in.
func IsSource(l locales.Language) bool { return l.Tag == release.Source }

// LanguageState gives the portions that papers are made from, in the order in which they are released.
func (d *Desk) LanguageState(tag string) (locales.Language, []PortionState, error) {
	words, err := d.catalogue.Printer(tag)
	if err != nil {
		return locales.Language{}, nil, fmt.Errorf("%w: %s", ErrLanguage, tag)
	}
	language := words.Language()
	var states []PortionState
	for _, portion := range d.portions(language.Tag) {
		s, err := d.portionState(language.Tag, portion)
		if err != nil {
			return language, nil, err
		}
		if s.Messages > 0 || language.Tag != release.Source && d.inSource(portion) {
			states = append(states, s) // one that is not translated yet is a draft as well
		}
	}
	return language, states, nil
}

// inSource says whether the source language has texts of a portion.
func (d *Desk) inSource(portion string) bool {
	digest, err := d.textDigest(release.Source, portion)
	return err == nil && digest != ""
}

func (d *Desk) portionState(language, portion string) (PortionState, error) {
	s := PortionState{Portion: portion, State: release.Draft}
	digest, err := d.textDigest(language, portion)
	if err != nil || digest == "" {
		return s, err
	}
	messages, err := release.Messages(d.data("locales", locales.Default), language, portion)
	if err != nil {
		return s, err
	}
	s.Messages = len(messages)
	s.State = release.Of(language, portion, digest, releases(d.clinic.Releases))
	for _, r := range d.clinic.Releases {
		switch {
		case r.Language != language || r.Group != portion:
		case r.Digest == digest:
			s.Signed = r
		default:
			s.Reopened = s.State == release.Draft
		}
	}
	return s, nil
}

// Adopt lets the medical lead answer for the texts of the language that they were written in, as they stand.
// Their author is the program as long as the clinic has changed no word of them; afterwards somebody else than
// the lead has to be named.
func (d *Desk) Adopt(tag, by, author string) (source.Problems, error) {
	language, states, err := d.LanguageState(tag)
	if err != nil {
		return nil, err
	}
	if language.Tag != release.Source {
		return one("revision.adopt.translation", "tag", language.Tag), nil
	}
	day := measure.DateOf(d.at, d.clinic.Zone)
	lead, ok := clinic.Find(d.staff, by)
	if !ok || !lead.Can(clinic.RoleMedicalLead, day) {
		return one("revision.adopt.lead"), nil
	}
	var changes []source.Change
	for _, s := range states {
		if s.State == release.Released {
			continue
		}
		digest, err := d.textDigest(language.Tag, s.Portion)
		if err != nil {
			return nil, err
		}
		writer := cmp.Or(author, shippedAuthor)
		if shipped, err := release.Digest(locales.Default, language.Tag, s.Portion); author == "" && (err != nil || shipped != digest) {
			return one("revision.adopt.author", "portion", s.Portion), nil
		}
		if release.SamePerson(writer, lead.Name) {
			return one("revision.pack.same_person"), nil
		}
		changes = append(changes, releaseEntry(clinic.Release{Language: language.Tag, Group: s.Portion, Digest: digest,
			Translator: writer, Reviser: lead.Name, ReviserQualification: lead.Registration, Method: "written", On: day}))
	}
	if len(changes) == 0 {
		return nil, nil
	}
	return d.editClinic(changes...)
}

// shippedAuthor stands for those who wrote the texts that come with the program.
const shippedAuthor = "philtrum"

func releaseEntry(r clinic.Release) source.Change {
	pairs := []any{"language", r.Language, "group", r.Group, "digest", r.Digest, "translator", r.Translator, "reviser", r.Reviser}
	for _, p := range [][2]string{{"translator_qualification", r.TranslatorQualification}, {"reviser_qualification", r.ReviserQualification}, {"method", r.Method}} {
		if p[1] != "" {
			pairs = append(pairs, p[0], p[1])
		}
	}
	return source.Change{Path: []string{"releases"}, Append: true, Value: source.Map(append(pairs, "on", r.On.String())...)}
}

// packed are the rows of a portion as a revision pack shows them: each form of each message, source beside
// target. A form that only one of the two languages has leaves the other side empty, and so does a message that is
// not translated yet; nobody can sign for that one.
func (d *Desk) packed(language, portion string) ([]PackRow, error) {
	fsys := d.data("locales", locales.Default)
	targets, err := release.Messages(fsys, language, portion)
	if err != nil {
		return nil, err
	}
	sources, err := release.Messages(fsys, release.Source, portion)
	if err != nil {
		return nil, err
	}
	var rows []PackRow
	for _, target := range targets {
		i := slices.IndexFunc(sources, func(m locales.Message) bool { return m.ID == target.ID })
		var from locales.Message
		if i >= 0 {
			from = sources[i]
		}
		rows = append(rows, pairForms(portion, from, target, language == release.Source)...)
	}
	for _, from := range sources {
		if !slices.ContainsFunc(targets, func(m locales.Message) bool { return m.ID == from.ID }) {
			rows = append(rows, PackRow{Portion: portion, ID: from.ID, Source: from.Forms[len(from.Forms)-1].Text, Note: from.Note})
		}
	}
	return rows, nil
}

func pairForms(portion string, from, target locales.Message, alone bool) []PackRow {
	var rows []PackRow
	for i, f := range target.Forms {
		row := PackRow{Portion: portion, ID: target.ID, Form: f.Category, Target: f.Text, Note: cmp.Or(from.Note, target.Note)}
		for k, s := range from.Forms {
			if !alone && (s.Category == f.Category || i == len(target.Forms)-1 && k == len(from.Forms)-1 || len(from.Forms) == 1) {
				row.Source = s.Text
			}
		}
		rows = append(rows, row)
	}
	return rows
}
