package main

import (
	"errors"
	"os"
	"path/filepath"

	"philtrum/cmd/philtrum/desk"
	"philtrum/cmd/philtrum/folder"
	"philtrum/locales"
)

// issueBlank makes papers without a visit, with whatever can be read: in a clinic folder with the clinic's own
// files, in one that cannot be opened or outside of any with nothing. A problem is told and holds nothing up.
func (s *session) issueBlank(kinds []string, r desk.Request, to string) error {
	for _, kind := range kinds {
		if !desk.IsBlank(kind) {
			return wrongUse{"cmd.which_paper", locales.Args{"papers": s.list(desk.Blanks())}}
		}
	}
	if len(kinds) == 0 {
		return wrongUse{"cmd.which_paper", locales.Args{"papers": s.list(desk.Blanks())}}
	}
	return s.printBlank(s.deskOrBare(), kinds, r, to)
}

// deskOrBare is the clinic's desk if it opens in any way, otherwise one without a folder.
func (s *session) deskOrBare() *desk.Desk {
	d, err := s.deskAfterNeedle()
	var wrong wrongUse
	switch {
	case err == nil && d != nil:
		return d
	case !errors.As(err, &wrong) || s.settings.Clinic != "":
		s.voice.say("cmd.blank.no_folder", nil)
	}
	return desk.Bare(s.catalogue, s.now(), s.voice.printer.Language().Tag)
}

// printBlank writes papers made without a visit to a folder, or to where the command runs.
func (s *session) printBlank(d *desk.Desk, kinds []string, r desk.Request, to string) error {
	dir := s.dir
	if to != "" {
		dir = s.path(to)
		if err := os.MkdirAll(dir, 0o700); err != nil {
			return err
		}
	}
	for _, kind := range kinds {
		made, err := d.Blank(kind, r)
		if err != nil {
			return s.issueFailure(err, r.Language)
		}
		for _, p := range made.Notices {
			s.voice.say(p.ID, wordArgs(p.Args))
		}
		name := filepath.Join(dir, made.Name())
		if err := folder.WriteFile(name, made.Data()); err != nil {
			return err
		}
		s.voice.result(name)
	}
	return nil
}

// blankInstead prints what is made without a visit where the visit, or anything it needs, cannot be read: what
// went wrong is told, and the sheet lies there all the same.
func (s *session) blankInstead(kinds []string, r desk.Request, to string, failed error) error {
	var blanks []string
	for _, kind := range kinds {
		if desk.IsBlank(kind) {
			blanks = append(blanks, kind)
		}
	}
	if len(blanks) == 0 {
		return failed
	}
	s.voice.say("cmd.blank.instead", nil)
	if err := s.printBlank(s.deskOrBare(), blanks, r, to); err != nil {
		return err
	}
	return failed
}
