package folder

import (
	"archive/tar"
	"bufio"
	"bytes"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"strings"

	"filippo.io/age"

	"philtrum/forms/source"
)

// Key opens a backup.
type Key struct{ identities []age.Identity }

// PassphraseKey opens what was encrypted for a passphrase.
func PassphraseKey(passphrase string) (Key, error) {
	id, err := age.NewScryptIdentity(passphrase)
	if err != nil {
		return Key{}, refuse(ErrKey, source.Problem{ID: "backup.no_passphrase"})
	}
	id.SetMaxWorkFactor(workFactor)
	return Key{[]age.Identity{id}}, nil
}

// ReadKey reads secret keys as age writes them, one a line.
func ReadKey(file []byte) (Key, error) {
	identities, err := age.ParseIdentities(bytes.NewReader(file))
	if err != nil {
		return Key{}, refuse(ErrKey, source.Problem{ID: "backup.no_key"})
	}
	return Key{identities}, nil
}

// Restore writes a backup into a folder that is not there yet, or empty. Until everything is there it stands
// under another name, which is removed if something fails. The backup must be whole: one that was cut off or
// changed restores nothing. It is read and written in parts, and can hold no more than its own size.
func Restore(path, dir string, key Key) (Copied, error) {
	file, err := os.Open(path)
	if err != nil {
		return Copied{}, refuse(ErrNoFile, source.Problem{ID: "backup.no_file"})
	}
	defer file.Close()
	info, err := file.Stat()
	if err != nil {
		return Copied{}, fmt.Errorf("restore: %w", err)
	}
	absolute, err := filepath.Abs(dir)
	if err != nil {
		return Copied{}, fmt.Errorf("restore: %w", err)
	}
	if err := vacant(absolute); err != nil {
		return Copied{}, err
	}
	plain, err := age.Decrypt(bufio.NewReader(file), key.identities...)
	var none *age.NoIdentityMatchError
	switch {
	case errors.As(err, &none):
		return Copied{}, refuse(ErrKey, source.Problem{ID: "backup.wrong_key"})
	case err != nil:
		return Copied{}, refuse(ErrBackup, source.Problem{ID: "backup.damaged"})
	}
	staging, err := os.MkdirTemp(filepath.Dir(absolute), ".philtrum-restore-*")
	if err != nil {
		return Copied{}, fmt.Errorf("restore: %w", err)
	}
	copied, err := extract(plain, staging, info.Size())
	if err == nil {
		err = takePlace(staging, absolute)
	}
	if err != nil {
		return Copied{}, errors.Join(err, os.RemoveAll(staging))
	}
	return copied, nil
}

// vacant refuses a folder that holds something.
func vacant(dir string) error {
	entries, err := os.ReadDir(dir)
	if errors.Is(err, fs.ErrNotExist) {
		if err := os.MkdirAll(filepath.Dir(dir), 0o700); err != nil {
			return fmt.Errorf("restore: %w", err)
		}
		return nil
	}
	if err != nil || len(entries) > 0 {
		return refuse(ErrExists, source.Problem{ID: "backup.not_empty"})
	}
	return nil
}

func takePlace(staging, dir string) error {
	if err := os.Remove(dir); err != nil && !errors.Is(err, fs.ErrNotExist) { // only an empty folder goes
		return refuse(ErrExists, source.Problem{ID: "backup.not_empty"})
	}
	return disk{}.place(staging, dir)
}

func damaged() error { return refuse(ErrBackup, source.Problem{ID: "backup.damaged"}) }

// extract writes the files of an archive below dir. Names that lead out of it, links and files with holes, which
// could hold more than the archive does, make the whole archive one that is not ours.
func extract(plain io.Reader, dir string, most int64) (Copied, error) {
	archive := tar.NewReader(plain)
	first, err := archive.Next()
	if err != nil || first.Name != marker {
		return Copied{}, damaged()
	}
	var copied Copied
	seen := map[string]bool{}
	for {
		h, err := archive.Next()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil || !ours(h) || h.Size > most-copied.Bytes {
			return Copied{}, damaged()
		}
		if err := extractFile(archive, h, dir); err != nil {
			return Copied{}, err
		}
		copied.Bytes += h.Size
		seen[h.Name] = true
	}
	// What follows the archive belongs to the encryption: its end proves that nothing was cut off.
	if _, err := io.Copy(io.Discard, plain); err != nil || !seen[clinicFile] {
		return Copied{}, damaged()
	}
	copied.Files = len(seen)
	return copied, nil
}

// Bounds of names in an archive.
const (
	longestName  = 512
	deepestNames = 16
)

func ours(h *tar.Header) bool {
	for key := range h.PAXRecords {
		if strings.HasPrefix(key, "GNU.sparse") {
			return false
		}
	}
	return h.Typeflag == tar.TypeReg && h.Size >= 0 && fs.ValidPath(h.Name) && h.Name != "." && !hidden(h.Name) &&
		filepath.IsLocal(filepath.FromSlash(h.Name)) && !strings.ContainsAny(h.Name, "\\:\x00") &&
		len(h.Name) <= longestName && strings.Count(h.Name, "/") < deepestNames
}

func extractFile(from io.Reader, h *tar.Header, dir string) error {
	path := filepath.Join(dir, filepath.FromSlash(h.Name))
	if err := os.MkdirAll(filepath.Dir(path), 0o700); err != nil {
		return fmt.Errorf("restore: %w", err)
	}
	file, err := os.OpenFile(path, os.O_WRONLY|os.O_CREATE|os.O_TRUNC, 0o600)
	if err != nil {
		return fmt.Errorf("restore: %w", err)
	}
	n, err := io.Copy(file, from)
	if err := errors.Join(err, file.Close()); err != nil {
		var disk *fs.PathError
		if errors.As(err, &disk) {
			return fmt.Errorf("restore: %w", err)
		}
		return damaged()
	}
	if n != h.Size {
		return damaged()
	}
	if !h.ModTime.IsZero() {
		_ = os.Chtimes(path, h.ModTime, h.ModTime) // for whoever looks; nothing depends on it
	}
	return nil
}
