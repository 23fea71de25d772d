// Package release says whether a text may go to patients as it stands.
//
// A group of messages is a draft until two persons have signed for exactly its content: a translator and a
// reviser for a translation; an author and the clinic's medical lead for the language that the texts were
// written in. Releases belong to a clinic and are kept in its folder; none come with the program, and one
// more word in the group makes it a draft again.
package release

import (
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"io/fs"
	"strings"
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

// Release is the signatures of two persons for one content of a group in one language.
type Release struct {
	Language string // BCP 47 of the folder: "es"
	Group    string // "consent"
	Digest   string // of the content signed for, see Digest
	Writer   string // staff id of the translator, of the author for the source language
	Reviser  string // staff id of the reviser, of the medical lead for the source language
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

// Digest is the SHA-256, in hex, of what a group says in a language: the bytes of its file with line ends
// made equal, under its language and name. A translation is signed for together with the text it was made
// from, so the group of the source language enters as well. A file that is not there is an error that
// wraps fs.ErrNotExist.
func Digest(fsys fs.FS, language, group string) (string, error) {
	h := sha256.New()
	languages := []string{language}
	if language != Source {
		languages = append(languages, Source)
	}
	for _, l := range languages {
		data, err := fs.ReadFile(fsys, l+"/"+group+".yaml")
		if err != nil {
			return "", fmt.Errorf("digest of %s in %s: %w", group, language, err)
		}
		text := strings.ReplaceAll(string(data), "\r\n", "\n")
		fmt.Fprintf(h, "%s/%s %d\n%s", l, group, len(text), text)
	}
	return hex.EncodeToString(h.Sum(nil)), nil
}

// Of gives the state of a group whose content has the given digest: released when two different persons
// have signed for that digest. Signatures for any other content count for nothing.
func Of(language, group, digest string, releases []Release) State {
	for _, r := range releases {
		if r.Language == language && r.Group == group && r.Digest == digest && digest != "" &&
			r.Writer != "" && r.Reviser != "" && r.Writer != r.Reviser {
			return Released
		}
	}
	return Draft
}

// StateOf gives the state of a group as it stands in a file system; a group that is not there is a draft.
func StateOf(fsys fs.FS, language, group string, releases []Release) (State, error) {
	digest, err := Digest(fsys, language, group)
	if errors.Is(err, fs.ErrNotExist) {
		return Draft, nil
	}
	if err != nil {
		return Draft, err
	}
	return Of(language, group, digest, releases), nil
}

// All is released when every one of the groups is: the state of a paper made from them. A paper made from
// none is a draft.
func All(fsys fs.FS, language string, groups []string, releases []Release) (State, error) {
	for _, group := range groups {
		state, err := StateOf(fsys, language, group, releases)
		if err != nil || state == Draft {
			return Draft, err
		}
	}
	if len(groups) == 0 {
		return Draft, nil
	}
	return Released, nil
}
