package main

import (
	"errors"
	"io"
	"os"
	"path/filepath"
	"strings"

	"philtrum/cmd/philtrum/ask"
	"philtrum/cmd/philtrum/desk"
	"philtrum/cmd/philtrum/folder"
	"philtrum/forms/source"
	"philtrum/locales"
)

// session is one run of the command: the outside, the settings, and how it speaks.
type session struct {
	world
	settings  settings
	catalogue *locales.Catalogue
	voice     *voice
	asking    *ask.Prompt
	asks      ask.Asker // what questions are asked with: lines, or forms on a screen
	plain     bool      // lines are wanted, also at a terminal
	keeps     bool      // every answer is kept as soon as it is given
	fromSheet bool      // the answers are typed in from paper
	// patientWords is the language in which the patient reads the questions that are asked; empty: the clinic's.
	patientWords string
	opened       *folder.Folder
	given        map[string]bool // see voice
}

// defaultLanguage is what the tool speaks until a clinic says otherwise.
const defaultLanguage = "en-GB"

// speakIn chooses the language of everything that the tool says.
func (s *session) speakIn(tag string) error {
	if tag == "" {
		tag = defaultLanguage
	}
	printer, err := s.catalogue.Printer(tag)
	if err != nil {
		return err
	}
	s.voice = &voice{out: s.out, err: s.err, printer: printer, colour: s.colour, given: s.given}
	return nil
}

// desk opens the clinic folder that the command works on: --clinic, PHILTRUM_CLINIC, or the nearest parent
// that holds clinic.yaml. The tool speaks the clinic's language from here on unless told otherwise.
func (s *session) desk() (*desk.Desk, error) {
	d, problems, err := s.openDesk()
	if err != nil {
		return nil, err
	}
	if len(problems) > 0 {
		return nil, s.refuse(d, problems)
	}
	return d, nil
}

// deskAfterNeedle is desk for what may never be held up: problems of the clinic's files are told, and the
// command goes on with what could be read.
func (s *session) deskAfterNeedle() (*desk.Desk, error) {
	d, problems, err := s.openDesk()
	if err == nil && len(problems) > 0 {
		_ = s.refuse(d, problems)
	}
	return d, err
}

func (s *session) openDesk() (*desk.Desk, source.Problems, error) {
	f, err := s.openFolder()
	if errors.Is(err, folder.ErrNoClinic) {
		return nil, nil, wrongUse{id: "cmd.no_clinic"}
	}
	if err != nil {
		return nil, nil, err
	}
	s.opened = f
	d, problems, err := desk.Open(f, s.catalogue, s.now(), s.random)
	if err != nil {
		return nil, nil, err
	}
	d.IndexIn(s.cache)
	s.catalogue = d.Catalogue()
	problems = append(problems, s.addClinic(d.Clinic().Settings)...)
	language := s.settings.Language
	if language == "" {
		language = d.Clinic().Language
	}
	return d, problems, s.speakIn(language)
}

// tellNotices says what the folder has mended on the way.
func (s *session) tellNotices() {
	if s.opened == nil {
		return
	}
	for _, p := range s.opened.Notices() {
		s.voice.say(p.ID, wordArgs(p.Args))
	}
}

func (s *session) openFolder() (*folder.Folder, error) {
	if s.settings.Clinic != "" {
		return folder.Open(s.path(s.settings.Clinic))
	}
	return folder.Find(s.dir)
}

// path makes a path of the caller's folder.
func (s *session) path(path string) string {
	if filepath.IsAbs(path) {
		return path
	}
	return filepath.Join(s.dir, path)
}

// refuse tells problems of files and ends with status 1.
func (s *session) refuse(d *desk.Desk, problems source.Problems) error {
	s.voice.problems(problems, func(file string) []string {
		if s.voice.isPrivate(file) {
			return nil
		}
		if d == nil {
			return nil
		}
		return strings.Split(strings.ReplaceAll(string(d.Source(file)), "\r\n", "\n"), "\n")
	})
	return ended{statusHeld}
}

// readInput reads what a person wrote for a command: a file, or standard input for "-".
func (s *session) readInput(name string) (file string, data []byte, err error) {
	if name == "-" {
		data, err = io.ReadAll(io.LimitReader(s.in, 1<<20))
		return "-", data, err
	}
	data, err = os.ReadFile(s.path(name))
	return name, data, err
}

// prompt asks at the terminal, or takes lines from standard input in order. There is one for the whole
// run, since it reads ahead.
func (s *session) prompt() *ask.Prompt {
	if s.asking == nil {
		s.asking = ask.New(s.in, s.err, func(id string) string { return s.voice.text(id, nil) })
	}
	return s.asking
}

// isAbout is errors.Is, named for the commands that read it.
func isAbout(err, target error) bool { return errors.Is(err, target) }

// readList reads a file that another system has exported, up to the size that a list may have.
func (s *session) readList(name string) ([]byte, error) {
	if name == "-" {
		return io.ReadAll(io.LimitReader(s.in, desk.MostListBytes+1))
	}
	f, err := os.Open(s.path(name))
	if errors.Is(err, os.ErrNotExist) {
		return nil, wrongUse{"cmd.no_file", nil}
	}
	if err != nil {
		return nil, err
	}
	defer f.Close()
	return io.ReadAll(io.LimitReader(f, desk.MostListBytes+1))
}
