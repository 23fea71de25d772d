package folder

import (
	"archive/tar"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"time"

	"filippo.io/age"

	"philtrum/forms/source"
)

// What a backup or its restoring is refused for.
var (
	ErrInside = errors.New("a backup within the folder itself")
	ErrKey    = errors.New("not the key or passphrase of this backup")
	ErrBackup = errors.New("not a backup, or a damaged one")
)

// marker is the first name in a backup. It is not a file of the folder.
const marker = "philtrum-backup-1"

// Lock is what a backup is encrypted for.
type Lock struct{ recipients []age.Recipient }

// PassphraseLock encrypts for a passphrase.
func PassphraseLock(passphrase string) (Lock, error) {
	r, err := age.NewScryptRecipient(passphrase)
	if err != nil {
		return Lock{}, refuse(ErrKey, source.Problem{ID: "backup.no_passphrase"})
	}
	r.SetWorkFactor(workFactor)
	return Lock{[]age.Recipient{r}}, nil
}

// KeyLock encrypts for public keys as age writes them.
func KeyLock(public []string) (Lock, error) {
	recipients, err := age.ParseRecipients(strings.NewReader(strings.Join(public, "\n")))
	if err != nil {
		return Lock{}, refuse(ErrKey, source.Problem{ID: "backup.no_public_key"})
	}
	return Lock{recipients}, nil
}

// workFactor is that of scrypt, as a power of two: a second of work and 256 MB of memory. A backup that asks for
// more is not read.
const workFactor = 18

// Copied is what a backup or a restored folder holds.
type Copied struct {
	Files int
	Bytes int64
}

// Backup writes everything of the folder into one encrypted file at path: ErrExists if there is one. It reads
// and encrypts in parts. Others may write meanwhile: what they changed is copied again at the end, under the
// journal's lease, so that files and journal belong together.
func (f *Folder) Backup(path string, to Lock) (Copied, error) {
	absolute, err := filepath.Abs(path)
	if err != nil {
		return Copied{}, fmt.Errorf("backup: %w", err)
	}
	if err := f.MayBackup(absolute); err != nil {
		return Copied{}, err
	}
	staged, err := os.CreateTemp(filepath.Dir(absolute), temporary)
	if err != nil {
		return Copied{}, fmt.Errorf("backup: %w", err)
	}
	copied, err := f.encrypt(staged, to)
	if err == nil {
		err = staged.Sync()
	}
	if err = errors.Join(err, staged.Close()); err == nil {
		err = placeNew(staged.Name(), absolute)
	}
	if err != nil {
		return Copied{}, errors.Join(err, os.Remove(staged.Name()))
	}
	return copied, nil
}

// MayBackup refuses a place for a backup: one within the folder, or one that is taken.
func (f *Folder) MayBackup(path string) error {
	absolute, err := filepath.Abs(path)
	if err != nil {
		return fmt.Errorf("backup: %w", err)
	}
	if inside, err := filepath.Rel(f.path, absolute); err == nil && filepath.IsLocal(inside) {
		return refuse(ErrInside, source.Problem{ID: "backup.inside"})
	}
	if _, err := os.Lstat(absolute); err == nil {
		return refuse(ErrExists, source.Problem{ID: "backup.exists"})
	}
	return nil
}

// placeNew gives a staged file its name unless something has it.
func placeNew(staged, path string) error {
	if err := os.Link(staged, path); err == nil {
		flush(filepath.Dir(path))
		_ = os.Remove(staged) // it is a second name, swept up in time
		return nil
	}
	if _, err := os.Lstat(path); err == nil { // or a file system without links
		return refuse(ErrExists, source.Problem{ID: "backup.exists"})
	}
	return disk{}.place(staged, path)
}

func (f *Folder) encrypt(out io.Writer, to Lock) (Copied, error) {
	locked, err := age.Encrypt(out, to.recipients...)
	if err != nil {
		return Copied{}, fmt.Errorf("backup: %w", err)
	}
	a := &archive{folder: f, tar: tar.NewWriter(locked), seen: map[string]stamp{}}
	err = a.header(marker, 0, time.Time{})
	if err == nil {
		err = a.pass()
	}
	if err == nil {
		err = a.rest()
	}
	if err = errors.Join(err, a.tar.Close(), locked.Close()); err != nil {
		return Copied{}, fmt.Errorf("backup: %w", err)
	}
	a.copied.Files = len(a.seen)
	return a.copied, nil
}

// archive is a backup that is being written.
type archive struct {
	folder *Folder
	tar    *tar.Writer
	seen   map[string]stamp
	copied Copied
}

// stamp is by what a file is known to be another one.
type stamp struct {
	size int64
	at   time.Time
}

// pass copies every file that was not copied as it is now. The journal comes last, by itself.
func (a *archive) pass() error {
	return filepath.WalkDir(a.folder.path, func(path string, d fs.DirEntry, err error) error {
		if errors.Is(err, fs.ErrNotExist) {
			return nil
		}
		if err != nil {
			return err
		}
		name, err := filepath.Rel(a.folder.path, path)
		if name = filepath.ToSlash(name); err != nil || name == journalFile {
			return err
		}
		if hidden(name) {
			if d.IsDir() {
				return filepath.SkipDir
			}
			return nil
		}
		if !d.Type().IsRegular() {
			return nil
		}
		return a.file(name)
	})
}

// rest copies what changed since, and the journal, while nobody else can commit.
func (a *archive) rest() error {
	l, err := a.folder.leaseJournal()
	if err != nil {
		return err
	}
	defer l.release()
	if err := a.folder.recover(l); err != nil {
		return err
	}
	if err := a.pass(); err != nil {
		return err
	}
	if !a.folder.exists(journalFile) {
		return nil
	}
	return a.file(journalFile)
}

func (a *archive) file(name string) error {
	file, err := os.Open(a.folder.Join(name))
	if errors.Is(err, fs.ErrNotExist) {
		return nil
	}
	if err != nil {
		return err
	}
	defer file.Close()
	info, err := file.Stat()
	if err != nil {
		return err
	}
	now := stamp{info.Size(), info.ModTime()}
	if a.seen[name] == now {
		return nil
	}
	a.seen[name] = now
	if err := a.header(name, info.Size(), info.ModTime()); err != nil {
		return err
	}
	// A file that somebody cuts while it is read is filled up here, and copied again because it has changed.
	n, err := io.Copy(a.tar, io.LimitReader(file, info.Size()))
	if err == nil {
		_, err = io.CopyN(a.tar, zeros{}, info.Size()-n)
	}
	a.copied.Bytes += info.Size()
	return err
}

func (a *archive) header(name string, size int64, at time.Time) error {
	return a.tar.WriteHeader(&tar.Header{
		Typeflag: tar.TypeReg, Name: name, Size: size, Mode: 0o600, ModTime: at.Truncate(time.Second), Format: tar.FormatPAX,
	})
}

type zeros struct{}

func (zeros) Read(p []byte) (int, error) {
	clear(p)
	return len(p), nil
}
