package main

import (
	"context"
	"errors"
	"os"
	"time"

	"github.com/spf13/cobra"
	"golang.org/x/term"

	"philtrum/cmd/philtrum/ask"
	"philtrum/cmd/philtrum/desk"
	"philtrum/forms/source"
	"philtrum/locales"
	"philtrum/templates/pdf/sign"
)

// newSeal puts everything of a visit into one file, signed with the clinic's certificate or plainly not. The
// passphrase is asked or read from standard input, never taken as an argument.
func (s *session) newSeal() *cobra.Command {
	var request desk.SealRequest
	var certificate string
	c := s.command("seal VISIT", func(_ *cobra.Command, args []string) error {
		d, id, _, err := s.afterNeedle(args, 0)
		if err != nil {
			return err
		}
		if request.By, err = s.anybody(d, request.By); err != nil {
			return err
		}
		if certificate != "" {
			if request.Identity, err = s.identity(certificate); err != nil {
				return err
			}
		}
		sealed, problems, err := d.Seal(id, request)
		if err != nil {
			return err
		}
		if len(problems) > 0 {
			return s.refuse(d, problems)
		}
		s.toldSealed(d, sealed, request.Identity)
		return nil
	})
	c.Flags().StringVar(&request.By, "by", "", s.voice.text("cmd.flag.by", nil))
	c.Flags().StringVar(&certificate, "certificate", "", s.voice.text("cmd.flag.certificate", nil))
	return c
}

// toldSealed says where the file is and what it reaches, never more.
func (s *session) toldSealed(d *desk.Desk, sealed desk.Sealed, id *sign.Identity) {
	for _, p := range sealed.Notices {
		s.voice.say("seal.notice", locales.Args{"where": locales.Text(place(p.Span)), "what": locales.Text(s.voice.text(p.ID, wordArgs(p.Args)))})
	}
	switch {
	case sealed.Existing:
		s.voice.say("seal.existing", nil)
	case sealed.Signed:
		s.voice.say("seal.done_signed", locales.Args{"level": locales.Text(sign.Level)})
		s.voice.say("seal.done_signed_note", locales.Args{
			"holder": locales.Text(id.Holder()), "until": locales.DateTime(id.Expires().In(d.Clinic().Zone)),
		})
	default:
		s.voice.say("seal.done_unsigned", nil)
		s.voice.say("seal.done_unsigned_note", nil)
	}
	s.voice.result(d.Folder().Join(sealed.File))
}

// longestUnlock is how long a key store may take to open. Honest ones take a second.
const longestUnlock = 20 * time.Second

// identity opens a key store.
func (s *session) identity(file string) (*sign.Identity, error) {
	data, err := readUpTo(s.path(file), 1<<20)
	if err != nil {
		return nil, s.refuse(nil, source.Problems{{ID: "seal.no_store", Span: source.Span{File: file}}})
	}
	if err := sign.Check(data); err != nil {
		return nil, s.noIdentity(file, err)
	}
	passphrase, err := s.secret("seal.passphrase")
	if err != nil {
		return nil, err
	}
	ctx, cancel := context.WithTimeout(context.Background(), longestUnlock)
	defer cancel()
	id, err := sign.ReadIdentity(ctx, data, passphrase)
	if err != nil {
		return nil, s.noIdentity(file, err)
	}
	return id, nil
}

// noIdentity says why a key store cannot be used; the library's own words could hold something of it.
func (s *session) noIdentity(file string, err error) error {
	id := "seal.store"
	switch {
	case errors.Is(err, sign.ErrPassphrase):
		id = "seal.wrong_passphrase"
	case errors.Is(err, sign.ErrWork):
		id = "seal.store_work"
	case errors.Is(err, sign.ErrKey):
		id = "seal.store_key"
	}
	return s.refuse(nil, source.Problems{{ID: id, Span: source.Span{File: file}}})
}

// readUpTo reads a file that has no more than most bytes.
func readUpTo(path string, most int64) ([]byte, error) {
	info, err := os.Stat(path)
	if err != nil {
		return nil, err
	}
	if !info.Mode().IsRegular() || info.Size() > most {
		return nil, os.ErrInvalid
	}
	return os.ReadFile(path)
}

// secret asks for a passphrase: unseen at a terminal, otherwise the next line of standard input.
func (s *session) secret(label string) (string, error) {
	if !s.terminal {
		return s.prompt().Text(s.voice.text(label, nil))
	}
	s.voice.say(label, nil)
	line, err := term.ReadPassword(int(os.Stdin.Fd()))
	_, _ = s.err.Write([]byte("\n"))
	if err != nil {
		return "", ask.ErrEnded
	}
	return string(line), nil
}
