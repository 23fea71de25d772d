package main

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"

	"github.com/spf13/cobra"

	"philtrum/cmd/philtrum/desk"
	"philtrum/cmd/philtrum/folder"
	"philtrum/forms/source"
	"philtrum/locales"
)

// newLanguage shows what is released in a language, makes a revision pack, takes one back, and lets the medical
// lead adopt the source text.
func (s *session) newLanguage() *cobra.Command {
	var pack, signed, by, author string
	var all, adopt bool
	c := s.command("language [TAG]", func(_ *cobra.Command, args []string) error {
		d, err := s.desk()
		if err != nil {
			return err
		}
		switch {
		case len(args) > 1:
			return wrongUse{"cmd.too_many", nil}
		case len(args) == 0 && (pack != "" || signed != "" || adopt):
			return wrongUse{"revision.which", locales.Args{"languages": s.list(s.tags())}}
		case len(args) == 0:
			return s.tellLanguages(d)
		case pack != "":
			return s.writePack(d, args[0], pack, all)
		case signed != "":
			return s.takePack(d, args[0], signed)
		case adopt:
			return s.adopt(d, args[0], by, author)
		}
		return s.tellLanguage(d, args[0])
	})
	flags := c.Flags()
	flags.StringVar(&pack, "pack", "", s.voice.text("revision.flag.pack", nil))
	flags.BoolVar(&all, "all", false, s.voice.text("revision.flag.all", nil))
	flags.StringVar(&signed, "signed", "", s.voice.text("revision.flag.signed", nil))
	flags.BoolVar(&adopt, "adopt", false, s.voice.text("revision.flag.adopt", nil))
	flags.StringVar(&by, "by", "", s.voice.text("cmd.flag.by", nil))
	flags.StringVar(&author, "author", "", s.voice.text("revision.flag.author", nil))
	return c
}

func (s *session) tags() []string {
	var tags []string
	for _, l := range s.catalogue.Languages() {
		tags = append(tags, l.Tag)
	}
	return tags
}

// tellLanguages prints a line a language: how much of it is released.
func (s *session) tellLanguages(d *desk.Desk) error {
	for _, tag := range s.tags() {
		language, states, err := d.LanguageState(tag)
		if err != nil {
			return s.issueFailure(err, tag)
		}
		s.voice.result(s.voice.text("revision.line", locales.Args{"tag": locales.Text(language.Tag), "name": locales.Text(language.Name),
			"n": locales.Count(released(states)), "all": locales.Count(len(states))}))
	}
	return nil
}

func released(states []desk.PortionState) int {
	n := 0
	for _, state := range states {
		if state.Released() {
			n++
		}
	}
	return n
}

// tellLanguage prints a line a portion, in the order in which they are released.
func (s *session) tellLanguage(d *desk.Desk, tag string) error {
	language, states, err := d.LanguageState(tag)
	if err != nil {
		return s.issueFailure(err, tag)
	}
	if !locales.Names(language, tag) {
		s.voice.say("revision.served", locales.Args{"asked": locales.Text(tag), "tag": locales.Text(language.Region), "name": locales.Text(language.Name)})
	}
	widest := 0
	for _, state := range states {
		widest = max(widest, len(state.Portion))
	}
	for _, state := range states {
		id, args := "revision.state.draft", locales.Args{"n": locales.Count(state.Messages)}
		switch {
		case state.Released():
			on := state.Signed.On
			id = "revision.state.released"
			args["writer"], args["reviser"] = locales.Text(state.Signed.Translator), locales.Text(state.Signed.Reviser)
			args["on"] = locales.Date(on.Year, int(on.Month), on.Day)
		case state.Reopened:
			id = "revision.state.reopened"
		}
		s.voice.result(state.Portion + strings.Repeat(" ", widest-len(state.Portion)+2) + s.voice.text(id, args))
	}
	if released(states) < len(states) {
		next := "revision.next.pack"
		if desk.IsSource(language) {
			next = "revision.next.adopt"
		}
		s.voice.say(next, locales.Args{"tag": locales.Text(language.Tag)})
	}
	return nil
}

// writePack writes the list and the paper of a revision pack to a folder and prints where they are.
func (s *session) writePack(d *desk.Desk, tag, dir string, all bool) error {
	pack, err := d.Pack(tag, all)
	if err != nil {
		return s.issueFailure(err, tag)
	}
	if len(pack.Rows) == 0 {
		s.voice.say("revision.nothing_open", nil)
		return nil
	}
	list, err := pack.List(func(row string) string {
		return s.voice.text("revision.prompt."+strings.ReplaceAll(row, ".", "_"), nil)
	})
	if err != nil {
		return err
	}
	paper, problems, err := d.PackPaper(pack, s.settings.Page)
	if err != nil {
		return err
	}
	if len(problems) > 0 {
		return s.refuse(d, problems)
	}
	target := s.path(dir)
	if err := os.MkdirAll(target, 0o700); err != nil {
		return err
	}
	for _, f := range []struct {
		extension string
		data      []byte
	}{{"pdf", paper}, {"csv", list}} {
		name := filepath.Join(target, fmt.Sprintf("revision-%s.%s", pack.Language, f.extension))
		if err := folder.WriteFile(name, f.data); err != nil {
			return err
		}
		s.voice.result(name)
	}
	return nil
}

// takePack records the release that a returned list has signed for.
func (s *session) takePack(d *desk.Desk, tag, file string) error {
	data, err := os.ReadFile(s.path(file))
	if err != nil {
		return wrongUse{"cmd.unreadable", locales.Args{"file": locales.Text(file)}}
	}
	signed, err := d.Signed(tag, data)
	if isAbout(err, desk.ErrNoPack) {
		return wrongUse{"revision.pack.no_pack", locales.Args{"file": locales.Text(file)}}
	}
	if err != nil {
		return s.issueFailure(err, tag)
	}
	return s.toldReleased(d, signed.Released, signed.Problems)
}

func (s *session) adopt(d *desk.Desk, tag, by, author string) error {
	by, err := s.staff(d, by)
	if err != nil {
		return err
	}
	before, _, err := s.open(d, tag)
	if err != nil {
		return err
	}
	problems, err := d.Adopt(tag, by, author)
	if err != nil {
		return s.issueFailure(err, tag)
	}
	if len(problems) > 0 {
		return s.refuse(d, problems)
	}
	return s.toldReleased(d, before, nil)
}

// open are the portions of a language that are drafts.
func (s *session) open(d *desk.Desk, tag string) (drafts []string, language locales.Language, err error) {
	language, states, err := d.LanguageState(tag)
	if err != nil {
		return nil, language, s.issueFailure(err, tag)
	}
	for _, state := range states {
		if !state.Released() {
			drafts = append(drafts, state.Portion)
		}
	}
	return drafts, language, nil
}

func (s *session) toldReleased(d *desk.Desk, portions []string, problems source.Problems) error {
	for _, portion := range portions {
		s.voice.result(s.voice.text("revision.released", locales.Args{"portion": locales.Text(portion)}))
	}
	if len(problems) > 0 {
		return s.refuse(d, problems)
	}
	if len(portions) == 0 {
		s.voice.say("revision.nothing_open", nil)
	}
	return nil
}
