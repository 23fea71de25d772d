// Package folder is the disk side of a clinic folder: where its files are, reading and writing them so
// that nothing is half written, lost or overwritten, and the journal file. What the files say is not its
// business.
//
//	clinic.yaml staff.yaml products.yaml
//	patients/<id>.yaml
//	visits/<year>/<id>/visit.yaml
//	visits/<year>/<id>/papers/<document id>.pdf
//	journal.jsonl
//	overlay/<part>/…
//
// Several people may work in one folder, over a network too. Whoever writes holds a lease: a file beside
// the target that only one can create. A file is written beside its target, flushed and renamed. Several
// files and their entries in the journal are a [Batch], which happens as a whole or not at all, a power
// cut included.
//
// Names of files in the folder are given with slashes, relative to it. Files are for their owner alone
// (0600, folders 0700).
package folder

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"sync"
	"time"

	"philtrum/forms/source"
)

// clinicFile is what makes a folder a clinic's.
const clinicFile = "clinic.yaml"

// Folder is a clinic folder. Its methods may be called from several goroutines.
type Folder struct {
	path     string
	patience time.Duration // how long to wait for a lease
	notices  notices
	disk     disk
	line     sync.Mutex // for the journal's lease
}

// Open opens the clinic folder at path: ErrNoClinic without a clinic.yaml. A batch that was cut off after
// it was decided on is completed first.
func Open(path string) (*Folder, error) {
	absolute, err := filepath.Abs(path)
	if err != nil {
		return nil, fmt.Errorf("clinic folder: %w", err)
	}
	f := &Folder{path: absolute, patience: patience}
	if f.Has(clinicFile) || f.beginning() {
		if err := f.settle(); err != nil {
			return nil, err
		}
	}
	if !f.Has(clinicFile) {
		return nil, refuse(ErrNoClinic, source.Problem{ID: "problem.no_clinic_folder"})
	}
	f.tidy(".")
	return f, nil
}

// Find opens the clinic folder that dir lies in: dir itself or the nearest folder above.
func Find(dir string) (*Folder, error) {
	at, err := filepath.Abs(dir)
	if err != nil {
		return nil, fmt.Errorf("clinic folder: %w", err)
	}
	for {
		f, err := Open(at)
		if err == nil || !errors.Is(err, ErrNoClinic) {
			return f, err
		}
		above := filepath.Dir(at)
		if above == at {
			return nil, err
		}
		at = above
	}
}

// Make makes a folder that is to become a clinic's, with the folders above it: ErrExists if it holds a
// clinic already. It writes no file.
func Make(path string) (*Folder, error) {
	absolute, err := filepath.Abs(path)
	if err != nil {
		return nil, fmt.Errorf("clinic folder: %w", err)
	}
	if err := os.MkdirAll(absolute, 0o700); err != nil {
		return nil, fmt.Errorf("clinic folder: %w", err)
	}
	f := &Folder{path: absolute, patience: patience}
	if f.Has(clinicFile) {
		return nil, refuse(ErrExists, source.Problem{ID: "problem.exists_already", Span: source.Span{File: clinicFile}})
	}
	return f, nil
}

// Path is where the folder is.
func (f *Folder) Path() string { return f.path }

// Join is the path of a file of the folder.
func (f *Folder) Join(name string) string { return filepath.Join(f.path, filepath.FromSlash(name)) }

// Read reads a file of the folder: ErrNoFile if it is not there.
func (f *Folder) Read(name string) ([]byte, error) {
	if err := f.within(name); err != nil {
		return nil, err
	}
	data, err := os.ReadFile(f.Join(name))
	if errors.Is(err, fs.ErrNotExist) {
		return nil, refuse(ErrNoFile, source.Problem{ID: "problem.no_such_file", Span: source.Span{File: name}})
	}
	if err != nil {
		return nil, fmt.Errorf("read: %w", err)
	}
	return data, nil
}

// Has says whether the folder holds a file of that name.
func (f *Folder) Has(name string) bool {
	if f.within(name) != nil {
		return false
	}
	return f.exists(name)
}

func (f *Folder) exists(name string) bool {
	info, err := os.Stat(f.Join(name))
	return err == nil && info.Mode().IsRegular()
}

// within refuses names that lead out of the folder or to its own leases and temporary files.
func (f *Folder) within(name string) error {
	if !fs.ValidPath(name) || hidden(name) || name == "." || !filepath.IsLocal(filepath.FromSlash(name)) {
		return refuse(ErrName, source.Problem{ID: "problem.id_form"})
	}
	return nil
}
