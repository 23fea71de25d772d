package desk

import (
	"slices"
	"strings"

	"philtrum/forms/clinic"
	"philtrum/forms/measure"
	"philtrum/forms/source"
	"philtrum/locales/release"
)

// Signed is what came of a pack that was returned: which portions are released now, and what was wrong.
type Signed struct {
	Released []string
	Problems source.Problems
}

// Signed records that a translator and a reviser, two persons, have signed for the texts of a returned list.
// Each portion counts only if the list says exactly what the catalogue says, whole and without an open remark;
// what is fine is recorded, the rest is told. Warnings and choices come first: nothing else is released before
// them.
func (d *Desk) Signed(tag string, data []byte) (Signed, error) {
	language, states, err := d.LanguageState(tag)
	if err != nil {
		return Signed{}, err
	}
	if language.Tag == release.Source {
		return Signed{Problems: one("revision.pack.source", "tag", language.Tag)}, nil
	}
	back, err := readPack(data)
	if err != nil {
		return Signed{}, err
	}
	signers, problems := d.signers(back.signed)
	if len(problems) > 0 {
		return Signed{Problems: problems}, nil
	}
	out, changes, err := d.signedPortions(language.Tag, states, back, signers)
	if err != nil || len(changes) == 0 {
		return out, err
	}
	problems, err = d.editClinic(changes...)
	out.Problems = append(out.Problems, problems...)
	return out, err
}

// signers are the two persons as the list names them.
func (d *Desk) signers(signed map[string]string) (clinic.Release, source.Problems) {
	for _, row := range signRows {
		if dated := strings.HasSuffix(row, ".date"); signed[row] == "" || !dated && !release.Named(signed[row]) {
			return clinic.Release{}, one("revision.pack.unsigned", "row", row)
		}
	}
	r := clinic.Release{
		Translator: signed["translator.name"], TranslatorQualification: signed["translator.qualification"],
		Reviser: signed["reviser.name"], ReviserQualification: signed["reviser.qualification"], Method: signed["method"],
	}
	if release.SamePerson(r.Translator, r.Reviser) {
		return r, one("revision.pack.same_person")
	}
	if !slices.Contains(clinic.Methods, r.Method) || r.Method == "written" {
		return r, one("revision.pack.method")
	}
	today := measure.DateOf(d.at, d.clinic.Zone)
	translated, ok := dateOf(signed["translator.date"])
	if !ok || translated.After(today) {
		return r, one("revision.pack.date", "row", "translator.date")
	}
	if r.On, ok = dateOf(signed["reviser.date"]); !ok || r.On.After(today) || r.On.Before(translated) {
		return r, one("revision.pack.date", "row", "reviser.date")
	}
	return r, nil
}

func (d *Desk) signedPortions(language string, states []PortionState, back returned, signers clinic.Release) (Signed, []source.Change, error) {
	var out Signed
	var changes []source.Change
	open := false // a portion that comes first is still a draft
	for _, s := range states {
		rows := rowsOf(back.rows, s.Portion)
		if len(rows) == 0 || s.State == release.Released {
			open = open || s.State == release.Draft && slices.Contains(release.First(), s.Portion)
			continue
		}
		if open {
			out.Problems = append(out.Problems, one("revision.pack.first", "portion", s.Portion)...)
			continue
		}
		now, err := d.packed(language, s.Portion)
		if err != nil {
			return out, nil, err
		}
		if found := compared(s.Portion, now, rows); len(found) > 0 {
			out.Problems = append(out.Problems, found...)
			open = open || slices.Contains(release.First(), s.Portion)
			continue
		}
		r := signers
		r.Language, r.Group = language, s.Portion
		if r.Digest, err = d.textDigest(language, s.Portion); err != nil {
			return out, nil, err
		}
		changes = append(changes, releaseEntry(r))
		out.Released = append(out.Released, s.Portion)
	}
	if len(out.Released) == 0 && len(out.Problems) == 0 {
		out.Problems = one("revision.pack.nothing")
	}
	return out, changes, nil
}

func rowsOf(all []PackRow, portion string) []PackRow {
	var rows []PackRow
	for _, r := range all {
		if r.Portion == portion {
			rows = append(rows, r)
		}
	}
	return rows
}

// compared holds what was signed for against what the catalogue says.
func compared(portion string, now, signed []PackRow) source.Problems {
	var problems source.Problems
	tell := func(id string, r PackRow) {
		problems = append(problems, one(id, "portion", portion, "id", r.ID)...)
	}
	seen := map[[2]string]PackRow{}
	for _, r := range signed {
		key := [2]string{r.ID, r.Form}
		if before, twice := seen[key]; twice && (before.Source != r.Source || before.Target != r.Target) {
			tell("revision.pack.changed", r) // whoever signed may have read the other one
		}
		seen[key] = r
		if r.Remark != "" {
			tell("revision.pack.remark", r)
		}
	}
	for _, want := range now {
		got, ok := seen[[2]string{want.ID, want.Form}]
		switch {
		case !ok, want.Target == "":
			tell("revision.pack.missing", want)
		case got.Target != want.Target || got.Source != want.Source:
			tell("revision.pack.changed", want)
		}
		delete(seen, [2]string{want.ID, want.Form})
	}
	for _, r := range signed {
		if _, extra := seen[[2]string{r.ID, r.Form}]; extra {
			tell("revision.pack.extra", r)
		}
	}
	return problems
}
