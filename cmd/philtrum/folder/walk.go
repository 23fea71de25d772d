package folder

import (
	"crypto/sha256"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"

	"philtrum/forms/source"
)

// Shared is the part of the folder with scans and photographs that are of no visit alone.
const Shared = sharedFolder

// ReadAtMost reads a file of the folder that has no more than most bytes; ok is false of a larger one, which is
// not read. A link is no file of the folder: it may lead anywhere.
func (f *Folder) ReadAtMost(name string, most int64) (data []byte, ok bool, err error) {
	if err := f.within(name); err != nil {
		return nil, false, err
	}
	info, err := os.Lstat(f.Join(name))
	if errors.Is(err, fs.ErrNotExist) || err == nil && !info.Mode().IsRegular() {
		return nil, false, refuse(ErrNoFile, source.Problem{ID: "problem.no_such_file", Span: source.Span{File: name}})
	}
	if err != nil {
		return nil, false, fmt.Errorf("read: %w", err)
	}
	if info.Size() > most {
		return nil, false, nil
	}
	data, err = f.Read(name)
	return data, err == nil, err
}

// Sum is the SHA-256 of a file of the folder, read in parts.
func (f *Folder) Sum(name string) (sum [sha256.Size]byte, err error) {
	if err := f.within(name); err != nil {
		return sum, err
	}
	file, err := os.Open(f.Join(name))
	if err != nil {
		return sum, fmt.Errorf("read: %w", err)
	}
	defer file.Close()
	hash := sha256.New()
	if _, err := io.Copy(hash, file); err != nil {
		return sum, fmt.Errorf("read: %w", err)
	}
	return [sha256.Size]byte(hash.Sum(nil)), nil
}
