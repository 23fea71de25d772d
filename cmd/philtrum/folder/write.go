package folder

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"os"
	"path/filepath"
	"strings"
	"time"

	"philtrum/forms/source"
)

// temporary is the pattern of files that are being written.
const temporary = ".philtrum-*.tmp"

// flush makes a rename last through a power cut, where the system offers that for folders.
func flush(dir string) {
	if d, err := os.Open(dir); err == nil {
		_ = d.Sync()
		_ = d.Close()
	}
}

// WriteFile writes a file anywhere, whole or not at all, for its owner alone, with the folders above it.
// A file that is there is replaced.
func WriteFile(path string, data []byte) error { return disk{}.replace(path, data) }

// Create writes a file that is not there yet: ErrExists otherwise.
func (f *Folder) Create(name string, data []byte) error {
	b := f.Batch(time.Time{})
	b.Create(name, data)
	return b.Commit()
}

// Update replaces a file by what change makes of it. Nobody else can update it meanwhile; if it was
// changed all the same, by an editor say, it is left as it is and the error is ErrChanged. An error of
// change leaves the file as it is and comes back unaltered; so does content that stays the same. ErrNoFile
// if it is not there. The time is that of the command.
func (f *Folder) Update(name string, at time.Time, change func(old []byte) ([]byte, error)) error {
	b := f.Batch(at)
	b.Update(name, change)
	return b.Commit()
}

// unchanged refuses if a file no longer holds what was read.
func (f *Folder) unchanged(name string, old []byte) error {
	now, err := f.Read(name)
	if err == nil && bytes.Equal(now, old) {
		return nil
	}
	if err != nil && !errors.Is(err, ErrNoFile) {
		return err
	}
	return refuse(ErrChanged, source.Problem{ID: "problem.changed_meanwhile", Span: source.Span{File: name}})
}

// digest is the SHA-256 of data in hexadecimal.
func digest(data []byte) string {
	sum := sha256.Sum256(data)
	return hex.EncodeToString(sum[:])
}

// tidy removes temporary files and leases that killed processes have left in a folder, once they are as old
// as a stale lease. It is best effort: they are in nobody's way.
func (f *Folder) tidy(name string) {
	entries, err := f.list(name)
	if err != nil {
		return
	}
	for _, e := range entries {
		path := filepath.Join(f.Join(name), e.Name())
		if strings.HasPrefix(e.Name(), leasePrefix) && !strings.HasSuffix(e.Name(), breaking) {
			_ = breakStale(path)
		}
		if ok, _ := filepath.Match(temporary, e.Name()); !ok {
			continue
		}
		if stale, err := isStale(path); err == nil && stale {
			_ = os.Remove(path)
		}
	}
}
