package main

import (
	"github.com/spf13/cobra"

	"philtrum/cmd/philtrum/desk"
	"philtrum/cmd/philtrum/folder"
	"philtrum/forms/source"
	"philtrum/locales"
)

// newBackup writes the clinic's folder into one encrypted file.
func (s *session) newBackup() *cobra.Command {
	var to []string
	c := s.command("backup FILE", func(_ *cobra.Command, args []string) error {
		if len(args) != 1 {
			return wrongUse{"backup.which_file", nil}
		}
		d, err := s.deskAfterNeedle()
		if err != nil {
			return err
		}
		if err := d.Folder().MayBackup(s.path(args[0])); err != nil {
			return err
		}
		lock, err := s.lock(to)
		if err != nil {
			return err
		}
		copied, err := d.Folder().Backup(s.path(args[0]), lock)
		if err != nil {
			return err
		}
		if err := d.BackedUp(); err != nil {
			return err
		}
		s.voice.say("backup.done", locales.Args{"n": locales.Count(copied.Files)})
		s.voice.result(args[0])
		return nil
	})
	c.Flags().StringArrayVar(&to, "to", nil, s.voice.text("cmd.flag.backup_to", nil))
	return c
}

// lock is what to encrypt for: the keys that were named, or a passphrase that is asked twice.
func (s *session) lock(to []string) (folder.Lock, error) {
	if len(to) > 0 {
		return folder.KeyLock(to)
	}
	first, err := s.secret("backup.passphrase")
	if err != nil {
		return folder.Lock{}, err
	}
	if s.terminal {
		again, err := s.secret("backup.passphrase_again")
		if err != nil {
			return folder.Lock{}, err
		}
		if first != again {
			return folder.Lock{}, s.refuse(nil, source.Problems{{ID: "backup.passphrases_differ"}})
		}
	}
	return folder.PassphraseLock(first)
}

// newRestore writes a backup into a new folder and proves it.
func (s *session) newRestore() *cobra.Command {
	var keyFile string
	c := s.command("restore FILE DIR", func(_ *cobra.Command, args []string) error {
		if len(args) != 2 {
			return wrongUse{"backup.which_folder", nil}
		}
		key, err := s.key(keyFile)
		if err != nil {
			return err
		}
		copied, err := folder.Restore(s.path(args[0]), s.path(args[1]), key)
		if err != nil {
			return err
		}
		s.voice.say("backup.restored", locales.Args{"n": locales.Count(copied.Files)})
		s.voice.result(args[1])
		f, err := folder.Open(s.path(args[1]))
		if err != nil {
			return err
		}
		d, problems, err := desk.Open(f, s.catalogue, s.now(), s.random)
		if err != nil {
			return err
		}
		if len(problems) > 0 {
			_ = s.refuse(d, problems)
		}
		found, err := d.Verify("")
		if err != nil {
			return err
		}
		return s.verified(d, found, true)
	})
	c.Flags().StringVar(&keyFile, "key", "", s.voice.text("cmd.flag.key", nil))
	return c
}

func (s *session) key(file string) (folder.Key, error) {
	if file == "" {
		passphrase, err := s.secret("backup.passphrase")
		if err != nil {
			return folder.Key{}, err
		}
		return folder.PassphraseKey(passphrase)
	}
	data, err := readUpTo(s.path(file), 1<<20)
	if err != nil {
		return folder.Key{}, s.refuse(nil, source.Problems{{ID: "backup.no_key", Span: source.Span{File: file}}})
	}
	return folder.ReadKey(data)
}
