// Package release says whether a text may go to patients as it stands.
//
// A portion of the messages (a group, or what is taken out of one for being released first) is a draft until
// two persons have signed for exactly its content: a translator and a reviser for a translation; an author
// and the clinic's medical lead for the language that the texts were written in. Releases belong to a clinic and are kept in its folder; none come with the program, and one
// more word in the portion makes it a draft again.
package release

import (
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"io/fs"
	"maps"
	"slices"
	"strconv"

	"philtrum/locales"
)

// Role is in what capacity someone signs for a text.
type Role string

// The roles. Translator and reviser are those of ISO 17100 (from memory), which asks that they be two
// persons.
const (
	Author      Role = "author"
	MedicalLead Role = "medical_lead"
	Translator  Role = "translator"
	Reviser     Role = "reviser"
)

// State is whether a text may be used.
type State string

// The two states.
const (
	Draft    State = "draft"
	Released State = "released"
)

// Release is the signatures of two persons for one content of a portion in one language.
type Release struct {
	Language string // BCP 47 of the folder: "es"
	Portion  string // "warning", "consent"; see PortionOf
	Digest   string // of the content signed for, see Digest
	Writer   string // who translated, or for the source language wrote
	Reviser  string // who revised, or for the source language answers for it as medical lead
}

// Source is the language that the texts are written in first.
const Source = "en"

// Roles are those that sign for a language, writer first.
func Roles(language string) [2]Role {
	if language == Source {
		return [2]Role{Author, MedicalLead}
	}
	return [2]Role{Translator, Reviser}
}

// Digest is the SHA-256, in hex, of what a portion says in a language: every message that belongs to it, see
// [locales.Content]. A translation is signed for together with the text it was made from, so the portion of
// the source language enters as well. A portion of which no group is there is an error that wraps fs.ErrNotExist.
func Digest(fsys fs.FS, language, portion string) (string, error) {
	return NewTexts(fsys).Digest(language, portion)
}

// Texts are the texts of a file system, each group read once. They are for one goroutine.
type Texts struct {
	fsys   fs.FS
	groups map[[2]string]map[string]string // by language and group
}

// NewTexts gives the texts of a file system, which are read when they are first asked for.
func NewTexts(fsys fs.FS) *Texts { return &Texts{fsys, map[[2]string]map[string]string{}} }

// Digest is as [Digest].
func (t *Texts) Digest(language, portion string) (string, error) {
	h := sha256.New()
	var line []byte
	languages := []string{language}
	if language != Source {
		languages = append(languages, Source)
	}
	for _, l := range languages {
		content, err := t.content(l, portion)
		if err != nil {
			return "", fmt.Errorf("digest of %s in %s: %w", portion, language, err)
		}
		fmt.Fprintf(h, "%s/%s %d\n", l, portion, len(content))
		for _, id := range slices.Sorted(maps.Keys(content)) {
			line = append(strconv.AppendInt(append(strconv.AppendInt(line[:0], int64(len(id)), 10), ' '), int64(len(content[id])), 10), '\n')
			_, _ = h.Write(append(append(line, id...), content[id]...)) // a hash takes everything
		}
	}
	return hex.EncodeToString(h.Sum(nil)), nil
}

// content is what each message of a portion says.
func (t *Texts) content(language, portion string) (map[string]string, error) {
	out, found := map[string]string{}, false
	var missing error
	for _, group := range GroupsOf(portion) {
		messages, err := t.group(language, group)
		if errors.Is(err, fs.ErrNotExist) {
			missing = err
			continue
		}
		if err != nil {
			return nil, err
		}
		found = true
		for id, text := range messages {
			if own := apartOf(id); own == portion || own == "" && portion == group {
				out[id] = text
			}
		}
	}
	if !found {
		return nil, missing
	}
	return out, nil
}

func (t *Texts) group(language, group string) (map[string]string, error) {
	key := [2]string{language, group}
	if known, ok := t.groups[key]; ok {
		return known, nil
	}
	messages, err := locales.Content(t.fsys, language, group)
	if err == nil {
		t.groups[key] = messages
	}
	return messages, err
}

// Of gives the state of a portion whose content has the given digest: released when two different persons
// have signed for that digest. Signatures for any other content count for nothing.
func Of(language, portion, digest string, releases []Release) State {
	for _, r := range releases {
		if r.Language == language && r.Portion == portion && r.Digest == digest && digest != "" &&
			Named(r.Writer) && Named(r.Reviser) && !SamePerson(r.Writer, r.Reviser) {
			return Released
		}
	}
	return Draft
}

// StateOf gives the state of a portion as it stands in a file system; one that is not there is a draft.
func StateOf(fsys fs.FS, language, portion string, releases []Release) (State, error) {
	digest, err := Digest(fsys, language, portion)
	if errors.Is(err, fs.ErrNotExist) {
		return Draft, nil
	}
	if err != nil {
		return Draft, err
	}
	return Of(language, portion, digest, releases), nil
}

// All is released when every one of the portions is: the state of a paper made from them. A paper made from
// none is a draft.
func All(fsys fs.FS, language string, portions []string, releases []Release) (State, error) {
	for _, portion := range portions {
		state, err := StateOf(fsys, language, portion, releases)
		if err != nil || state == Draft {
			return Draft, err
		}
	}
	if len(portions) == 0 {
		return Draft, nil
	}
	return Released, nil
}
