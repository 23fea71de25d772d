// Package release says whether a text may go to patients as it stands.
//
// A group of messages is a draft until those who must sign for it have signed for exactly its content: a
// translator and a reviser for a translation; an author and the clinic's medical lead for the language that
// the texts were written in. Releases belong to a clinic and are kept in its folder; none come with the
// program, and one more word in the group makes it a draft again.
package release

import (
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"io/fs"
	"slices"
	"strings"
)

// Role is in what capacity someone signs for a text.
type Role string

// The roles. Translator and reviser are those of ISO 17100 (3.1.6 and 3.1.8 there, from memory); it asks
// that they be two persons.
const (
	Author      Role = "author"
	MedicalLead Role = "medical_lead"
	Translator  Role = "translator"
	Reviser     Role = "reviser"
)

// State is whether a group may be used.
type State string

// The two states.
const (
	Draft    State = "draft"
	Released State = "released"
)

// Release is one person's signature for one content of a group in one language.
type Release struct {
	Language string // BCP 47 of the folder: "es"
	Group    string // "consent"
	Digest   string // of the content signed for, see Digest
	Role     Role
	By       string // the staff id of who signed
	On       string // the day, as 2026-03-04
}

// Source is the language that the texts are written in first.
const Source = "en"

// needed are the roles that must have signed.
func needed(language string) [2]Role {
	if language == Source {
		return [2]Role{Author, MedicalLead}
	}
	return [2]Role{Translator, Reviser}
}

// Digest is the SHA-256, in hex, of what a group says in a language: the bytes of its file with line ends
// made equal, under its language and name. A translation is signed for together with the text it was made
// from, so the group of the source language enters as well.
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

// Of gives the state of a group whose content has the given digest. It is released when both roles have
// signed for that digest and two different persons did; signatures for any other content count for nothing.
func Of(language, group, digest string, releases []Release) State {
	roles := needed(language)
	var by [2][]string
	for _, r := range releases {
		if r.Language != language || r.Group != group || r.Digest != digest || digest == "" || r.By == "" {
			continue
		}
		for i, role := range roles {
			if r.Role == role {
				by[i] = append(by[i], r.By)
			}
		}
	}
	for _, first := range by[0] {
		if slices.ContainsFunc(by[1], func(second string) bool { return second != first }) {
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

// All is released when every one of the groups is: the state of a paper made from them.
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

// Missing lists the roles that have not signed for the content yet, in the order in which they sign.
func Missing(language, group, digest string, releases []Release) []Role {
	var out []Role
	for _, role := range needed(language) {
		signed := func(r Release) bool {
			return r.Language == language && r.Group == group && r.Digest == digest && r.Role == role && r.By != ""
		}
		if !slices.ContainsFunc(releases, signed) {
			out = append(out, role)
		}
	}
	return out
}
