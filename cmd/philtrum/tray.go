package main

import (
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"

	"github.com/spf13/cobra"

	"philtrum/cmd/philtrum/desk"
	"philtrum/cmd/philtrum/folder"
	"philtrum/forms/visit"
	"philtrum/locales"
	"philtrum/templates/code/read"
)

// newTray lists what waits in the tray; bind puts an item to its paper.
func (s *session) newTray() *cobra.Command {
	var asJSON bool
	c := s.command("tray", func(_ *cobra.Command, args []string) error {
		if len(args) > 0 {
			return wrongUse{"cmd.too_many", nil}
		}
		d, err := s.deskAfterNeedle()
		if err != nil {
			return err
		}
		waiting, problems, err := d.Tray()
		if err != nil {
			return err
		}
		if len(problems) > 0 {
			_ = s.refuse(d, problems)
		}
		if asJSON {
			if waiting == nil {
				waiting = []desk.Waiting{}
			}
			err = s.voice.json(waiting)
		} else {
			s.printTray(d, waiting)
		}
		if err == nil && (len(waiting) > 0 || len(problems) > 0) {
			return ended{statusHeld}
		}
		return err
	})
	c.Flags().BoolVar(&asJSON, "json", false, s.voice.text("cmd.flag.json", nil))
	c.AddCommand(s.newBind())
	return c
}

func (s *session) printTray(d *desk.Desk, waiting []desk.Waiting) {
	if len(waiting) == 0 {
		s.voice.say("tray.empty", nil)
		return
	}
	for _, w := range waiting {
		args := locales.Args{"item": locales.Text(w.Item), "at": locales.DateTime(w.At.In(d.Clinic().Zone)), "why": locales.Ref("attach.why." + string(w.Why))}
		s.voice.result(s.voice.text("tray.item", args))
		if w.Document != "" {
			s.voice.result("  " + s.voice.text("tray.code", locales.Args{"document": locales.Text(w.Document),
				"page": locales.Text(strconv.Itoa(w.Page)), "of": locales.Text(strconv.Itoa(w.Of))}))
		}
		if w.File != "" {
			place, args := "tray.file", locales.Args{"file": locales.Text(w.File)}
			if w.Leaf > 0 {
				place, args["leaf"] = "tray.leaf", locales.Text(strconv.Itoa(w.Leaf))
			}
			s.voice.result("  " + s.voice.text(place, args))
		}
	}
}

// newBind puts an item of the tray to its paper by hand, with the reason.
func (s *session) newBind() *cobra.Command {
	var b desk.Binding
	var p visit.Photograph
	c := s.command("bind ITEM VISIT [PAPER PAGE]", func(_ *cobra.Command, args []string) error {
		if len(args) != 2 && len(args) != 4 {
			return wrongUse{"tray.bind_what", nil}
		}
		d, id, rest, err := s.afterNeedle(args[1:], 2)
		if err != nil {
			return err
		}
		if b.Visit = id; len(rest) == 2 {
			b.Paper = rest[0]
			if b.Page, err = strconv.Atoi(rest[1]); err != nil {
				return wrongUse{"tray.bind_what", nil}
			}
		}
		if b.By, err = s.staff(d, b.By); err != nil {
			return err
		}
		if p.View != "" {
			return s.bindPhotograph(d, args[0], id, b.By, p)
		}
		if b.Why, err = s.prompt().Text(s.voice.text("tray.ask_why", nil)); err != nil {
			return err
		}
		if err := s.told(d, "tray.bound")(d.Bind(args[0], b)); err != nil {
			return err
		}
		if b.Paper == "" {
			return nil
		}
		proof, problems, err := d.ProofOf(id, b.Paper)
		if err == nil && len(problems) == 0 {
			s.tellProof(id, proof)
		}
		return err
	})
	c.Flags().StringVar(&b.By, "by", "", s.voice.text("cmd.flag.by", nil))
	c.Flags().StringVar(&p.View, "view", "", s.voice.text("attach.flag.view", nil))
	c.Flags().StringVar(&p.Stage, "stage", "", s.voice.text("attach.flag.stage", nil))
	return c
}

// bindPhotograph takes a photograph out of the tray once the patient has agreed.
func (s *session) bindPhotograph(d *desk.Desk, item, id, by string, p visit.Photograph) error {
	if !slices.Contains(visit.Views, p.View) || p.Stage != "" && !slices.Contains(visit.Stages, p.Stage) {
		return wrongUse{"attach.which_view", locales.Args{"views": s.list(visit.Views)}}
	}
	name, problems, err := d.WaitingFile(item)
	if err != nil {
		return err
	}
	if len(problems) > 0 {
		return s.refuse(d, problems)
	}
	data, err := d.Folder().Read(name)
	if err != nil {
		return err
	}
	_, taken, err := read.Strip(data)
	if err != nil {
		return err
	}
	p.By = by
	return s.told(d, "tray.bound")(d.Agreed(item, id, p, taken))
}

// newPhotos copies the photographs of a visit for a use that the patient has agreed to.
func (s *session) newPhotos() *cobra.Command {
	var use, to string
	c := s.command("photos VISIT", func(_ *cobra.Command, args []string) error {
		d, id, _, err := s.afterNeedle(args, 0)
		if err != nil {
			return err
		}
		if !slices.Contains(visit.PhotoUses, use) || to == "" {
			return wrongUse{"attach.which_use", locales.Args{"words": s.list(visit.PhotoUses)}}
		}
		files, problems, err := d.PhotographsFor(id, use)
		if err != nil {
			return err
		}
		if len(problems) > 0 {
			return s.refuse(d, problems)
		}
		for _, name := range files {
			data, err := os.ReadFile(d.Folder().Join(name))
			if err != nil {
				return err
			}
			digest, extension, _ := strings.Cut(filepath.Base(name), ".")
			target := filepath.Join(s.path(to), digest[:16]+"."+extension)
			if err := folder.WriteFile(target, data); err != nil {
				return err
			}
			s.voice.result(target)
		}
		return nil
	})
	c.Flags().StringVar(&use, "for", "", s.voice.text("attach.flag.for", nil))
	c.Flags().StringVar(&to, "to", "", s.voice.text("attach.flag.to", nil))
	return c
}
