package main

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strconv"

	"github.com/spf13/cobra"

	"philtrum/cmd/philtrum/desk"
	"philtrum/forms/visit"
	"philtrum/locales"
	"philtrum/templates/code/read"
)

// newAttach puts scans to their papers, and photographs to a visit. Nothing is refused: what fits nowhere waits
// in the tray, and the status tells.
func (s *session) newAttach() *cobra.Command {
	var by, patient string
	var p visit.Photograph
	c := s.command("attach FILE...", func(_ *cobra.Command, args []string) error {
		if len(args) == 0 {
			return wrongUse{"attach.which_file", nil}
		}
		d, err := s.deskAfterNeedle()
		if err != nil {
			return err
		}
		if by, err = s.anybody(d, by); err != nil {
			return err
		}
		files, err := s.evidence(args)
		if err != nil {
			return err
		}
		s.tellSignatures(args, files)
		if p.View != "" {
			p.By = by
			return s.photographs(d, args, files, patient, p)
		}
		return s.attach(d, args, files, by)
	})
	c.Flags().StringVar(&by, "by", "", s.voice.text("cmd.flag.by", nil))
	c.Flags().StringVar(&patient, "visit", "", s.voice.text("attach.flag.visit", nil))
	c.Flags().StringVar(&p.View, "view", "", s.voice.text("attach.flag.view", nil))
	c.Flags().StringVar(&p.Stage, "stage", "", s.voice.text("attach.flag.stage", nil))
	return c
}

// evidence reads the files whole, before any of them is looked at.
func (s *session) evidence(names []string) ([][]byte, error) {
	files := make([][]byte, len(names))
	for i, name := range names {
		file, err := os.Open(s.path(name))
		if errors.Is(err, fs.ErrNotExist) {
			return nil, wrongUse{"attach.no_file", locales.Args{"file": locales.Text(filepath.Base(name))}}
		}
		if err != nil {
			return nil, err
		}
		files[i], err = io.ReadAll(io.LimitReader(file, largestFile+1))
		if err := errors.Join(err, file.Close()); err != nil {
			return nil, err
		}
		if len(files[i]) > largestFile {
			return nil, wrongUse{"attach.file_too_large", locales.Args{"file": locales.Text(filepath.Base(name))}}
		}
	}
	return files, nil
}

// attach looks at the files, puts their pages away, and says what became of each.
func (s *session) attach(d *desk.Desk, names []string, files [][]byte, by string) error {
	scans := make([]desk.Scanned, len(files))
	for i, data := range files {
		answer := s.look(childPages, data)
		scans[i] = desk.Scanned{Data: data, Extension: read.Kind(data), Leaves: answer.Leaves, Fault: answer.Fault}
		if scans[i].Extension == "" {
			scans[i].Extension = "bin"
		}
	}
	all, err := d.Attach(scans, by)
	if err != nil {
		return err
	}
	for _, at := range all {
		s.tellAttached(filepath.Base(names[at.File]), at)
	}
	whole, err := s.tellPapers(d, all)
	if err != nil {
		return err
	}
	if !whole || slices.ContainsFunc(all, func(at desk.Attached) bool { return at.Item != "" }) {
		return ended{statusHeld}
	}
	return nil
}

// tellAttached says where a page went.
func (s *session) tellAttached(name string, at desk.Attached) {
	args := locales.Args{"file": locales.Text(name)}
	if at.Leaf > 0 {
		args["leaf"] = locales.Text(strconv.Itoa(at.Leaf))
	}
	if at.Item != "" {
		args["item"], args["why"] = locales.Text(at.Item), locales.Ref("attach.why."+string(at.Why))
		id := "attach.waits"
		if at.Leaf == 0 {
			id = "attach.waits_whole"
		}
		s.voice.result(s.voice.text(id, args))
		return
	}
	args["visit"], args["paper"] = locales.Text(at.Visit), locales.Ref("term.paper."+at.Kind)
	args["page"], args["of"] = locales.Text(strconv.Itoa(at.Page.Number)), locales.Text(strconv.Itoa(at.Page.Of))
	id := "attach.placed"
	if at.Before {
		id = "attach.before"
	}
	s.voice.result(s.voice.text(id, args))
}

// tellPapers says of each paper that was touched what it lacks; whole is false if pages of one are missing.
func (s *session) tellPapers(d *desk.Desk, all []desk.Attached) (whole bool, err error) {
	whole = true
	var told []string
	for _, at := range all {
		if at.Item != "" || slices.Contains(told, at.Page.Document) {
			continue
		}
		told = append(told, at.Page.Document)
		proof, problems, err := d.ProofOf(at.Visit, at.Page.Document)
		if err != nil || len(problems) > 0 {
			return false, err
		}
		whole = whole && len(proof.Missing) == 0
		s.tellProof(at.Visit, proof)
		if s.terminal && len(proof.Missing) == 0 && proof.Confirmed == nil {
			if err := s.confirm(d, at.Visit, at.Page.Document, confirming{}); err != nil {
				return false, err
			}
		}
	}
	return whole, nil
}

// tellProof says how far the scan of a paper is.
func (s *session) tellProof(id string, p desk.Proof) {
	args := locales.Args{"visit": locales.Text(id), "paper": locales.Ref("term.paper." + p.Paper.Kind)}
	say := func(message string) { s.voice.result(s.voice.text(message, args)) }
	if p.Superseded {
		say("attach.paper_superseded")
	}
	switch {
	case len(p.Missing) > 0:
		args["pages"] = locales.List(numbersOf(p.Missing)...)
		say("attach.paper_lacks")
	case p.Complete():
		say("attach.paper_complete")
	case p.Confirmed == nil:
		say("attach.paper_unconfirmed")
	default:
		args["who"] = s.whoList(p.Unsigned)
		say("attach.paper_unsigned")
	}
}

func numbersOf(pages []int) []locales.Value {
	var out []locales.Value
	for _, n := range pages {
		out = append(out, locales.Text(strconv.Itoa(n)))
	}
	return out
}

func (s *session) whoList(who []string) locales.Value {
	var out []locales.Value
	for _, w := range who {
		out = append(out, locales.Text(s.voice.text("attach.who."+w, nil)))
	}
	return locales.List(out...)
}

// photographs attaches photographs to a visit.
func (s *session) photographs(d *desk.Desk, names []string, files [][]byte, word string, p visit.Photograph) error {
	if !slices.Contains(visit.Views, p.View) || p.Stage != "" && !slices.Contains(visit.Stages, p.Stage) || word == "" {
		return wrongUse{"attach.which_view", locales.Args{"views": s.list(visit.Views)}}
	}
	ids, err := s.visits(d, []string{word})
	if err != nil {
		return err
	}
	var pictures []desk.Picture
	for i, data := range files {
		stripped, taken, err := read.Strip(data)
		if err != nil {
			return wrongUse{"attach.no_photograph_file", locales.Args{"file": locales.Text(filepath.Base(names[i]))}}
		}
		sum := sha256.Sum256(data)
		kind := read.Kind(data)
		pictures = append(pictures, desk.Picture{Data: bytes.Clone(stripped), Extension: kind, Original: hex.EncodeToString(sum[:]) + "." + kind, Taken: taken})
	}
	all, problems, err := d.Photograph(ids[0], p, pictures)
	if err != nil {
		return err
	}
	if len(problems) > 0 {
		return s.refuse(d, problems)
	}
	waits := false
	for _, at := range all {
		file := locales.Text(filepath.Base(names[at.File]))
		if at.Item != "" {
			waits = true
			s.voice.result(s.voice.text("attach.waits_whole", locales.Args{
				"file": file, "item": locales.Text(at.Item), "why": locales.Ref("attach.why." + string(at.Why))}))
			continue
		}
		id := "attach.photograph"
		if at.Before {
			id = "attach.photograph_before"
		}
		s.voice.result(s.voice.text(id, locales.Args{"file": file, "visit": locales.Text(at.Visit), "view": locales.Ref("attach.view." + p.View)}))
	}
	if waits {
		return ended{statusHeld}
	}
	return nil
}
