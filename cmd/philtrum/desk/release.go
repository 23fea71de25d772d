package desk

import (
	"errors"
	"io/fs"
	"slices"

	"philtrum/forms/clinic"
	"philtrum/forms/measure"
	"philtrum/forms/source"
	"philtrum/locales"
	"philtrum/locales/release"
)

// groupsOf are the groups of messages that a paper is made from: its own, and what papers share.
func groupsOf(kind string) []string {
	groups := []string{"paper", "term", "figure", "rule", kind}
	if kind == "consent" {
		groups = append(groups, "information")
	}
	return groups
}

// released says whether the clinic's signers have released exactly the texts that a paper is made from.
func (d *Desk) released(words *locales.Printer, kind string) (bool, error) {
	language, signed := words.Language().Tag, releases(d.clinic.Releases)
	for _, group := range groupsOf(kind) {
		digest, err := d.textDigest(language, group)
		if err != nil || release.Of(language, group, digest, signed) == release.Draft {
			return false, err
		}
	}
	return true, nil
}

type textKey struct{ language, group string }

// textDigest is the digest of a group's texts, empty where there are none. They are read once: the printers
// read them no oftener.
func (d *Desk) textDigest(language, group string) (string, error) {
	key := textKey{language, group}
	if known, ok := d.texts[key]; ok {
		return known, nil
	}
	digest, err := release.Digest(d.data("locales", locales.Default), language, group)
	if err != nil && !errors.Is(err, fs.ErrNotExist) {
		return "", err
	}
	if d.texts == nil {
		d.texts = map[textKey]string{}
	}
	d.texts[key] = digest
	return digest, nil
}

func releases(list []clinic.Release) []release.Release {
	out := make([]release.Release, len(list))
	for i, r := range list {
		out[i] = release.Release{Language: r.Language, Group: r.Group, Digest: r.Digest, Writer: r.Translator, Reviser: r.Reviser}
	}
	return out
}

// signAll releases the texts of every language as they stand, for a demonstration: its signers are invented
// and every page says so.
func (d *Desk) signAll(writer, reviser string, on measure.Date) (source.Problems, error) {
	fsys := d.data("locales", locales.Default)
	list := source.List()
	for _, language := range d.catalogue.Languages() {
		var groups []string
		for _, kind := range Kinds() {
			groups = append(groups, groupsOf(kind)...)
		}
		slices.Sort(groups)
		for _, group := range slices.Compact(groups) {
			digest, err := release.Digest(fsys, language.Tag, group)
			if errors.Is(err, fs.ErrNotExist) {
				continue // nothing to sign for; it stays a draft
			}
			if err != nil {
				return nil, err
			}
			list.Items = append(list.Items, source.Map("language", language.Tag, "group", group, "digest", digest,
				"translator", writer, "reviser", reviser, "on", on.String()))
		}
	}
	return d.editClinic(source.Change{Path: []string{"releases"}, Value: list})
}

// editClinic changes clinic.yaml and reads it again.
func (d *Desk) editClinic(changes ...source.Change) (source.Problems, error) {
	const name = "clinic.yaml"
	var problems source.Problems
	batch := d.folder.Batch(d.at)
	batch.Update(name, func(old []byte) ([]byte, error) {
		edited, found := source.Edit(name, old, changes...)
		problems = found
		return edited, found.Err()
	})
	batch.EnterFile("clinic", "clinic", name)
	err := batch.Commit()
	if len(problems) > 0 {
		return problems, nil
	}
	if err != nil {
		return nil, err
	}
	data, err := d.folder.Read(name)
	if err != nil {
		return nil, err
	}
	node, problems := source.Parse(name, data)
	if len(problems) > 0 {
		return problems, nil
	}
	reader := &source.Reader{}
	d.clinic, _, _ = clinic.Read(node, nil, nil, reader)
	return nil, nil
}
