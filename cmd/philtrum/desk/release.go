package desk

import (
	"errors"
	"io/fs"

	"philtrum/forms/clinic"
	"philtrum/forms/measure"
	"philtrum/forms/source"
	"philtrum/locales"
	"philtrum/locales/release"
	"philtrum/templates"
)

// portionsOf are the portions of messages that a paper is made from.
func portionsOf(t *templates.Template) []string { return release.PortionsOf(t.Groups()) }

// released says whether the clinic's signers have released exactly the texts that a paper is made from, in the
// language of the words.
func (d *Desk) released(words *locales.Printer, t *templates.Template) (bool, error) {
	language, signed := words.Language().Tag, releases(d.clinic.Releases)
	for _, portion := range portionsOf(t) {
		digest, err := d.textDigest(language, portion)
		if err != nil || release.Of(language, portion, digest, signed) == release.Draft {
			return false, err
		}
	}
	return true, nil
}

type textKey struct{ language, portion string }

// texts are the digests of portions, and the texts behind them, which are read once: the printers read them no
// oftener.
type texts struct {
	read    *release.Texts
	digests map[textKey]string
}

// textDigest is the digest of a portion's texts, empty where there are none.
func (d *Desk) textDigest(language, portion string) (string, error) {
	if d.texts == nil {
		d.texts = &texts{release.NewTexts(d.data("locales", locales.Default)), map[textKey]string{}}
	}
	key := textKey{language, portion}
	if known, ok := d.texts.digests[key]; ok {
		return known, nil
	}
	digest, err := d.texts.read.Digest(language, portion)
	if err != nil && !errors.Is(err, fs.ErrNotExist) {
		return "", err
	}
	d.texts.digests[key] = digest
	return digest, nil
}

func releases(list []clinic.Release) []release.Release {
	out := make([]release.Release, len(list))
	for i, r := range list {
		out[i] = release.Release{Language: r.Language, Portion: r.Group, Digest: r.Digest, Writer: r.Translator, Reviser: r.Reviser}
	}
	return out
}

// signAll releases the texts of every language as they stand, for a demonstration: its signers are invented
// and every page says so.
func (d *Desk) signAll(writer, reviser string, on measure.Date) (source.Problems, error) {
	list := source.List()
	for _, language := range d.catalogue.Languages() {
		method := "human"
		if language.Tag == release.Source {
			method = "written"
		}
		for _, portion := range d.portions(language.Tag) {
			digest, err := d.textDigest(language.Tag, portion)
			if err != nil {
				return nil, err
			}
			if digest == "" {
				continue // nothing to sign for; it stays a draft
			}
			list.Items = append(list.Items, source.Map("language", language.Tag, "group", portion, "digest", digest,
				"translator", writer, "reviser", reviser, "translator_qualification", "invented",
				"reviser_qualification", "invented", "method", method, "on", on.String()))
		}
	}
	return d.editClinic(source.Change{Path: []string{"releases"}, Value: list})
}

// portions are all portions that some paper in a language is made from: in the clinic's own every paper, in
// another those of patients.
func (d *Desk) portions(language string) []string {
	own, err := d.catalogue.Printer(d.clinic.Language)
	everything := err == nil && own.Language().Tag == language
	var groups []string
	for _, kind := range append(append(Kinds(), kindSeal), templates.Variants()...) {
		if t, _ := d.printer().template(kind); t != nil && (everything || t.ForPatient()) {
			groups = append(groups, t.Groups()...)
		}
	}
	return release.PortionsOf(groups)
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
