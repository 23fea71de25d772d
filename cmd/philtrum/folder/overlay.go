package folder

import (
	"errors"
	"io"
	"io/fs"
	"os"
	"slices"
	"strings"
)

// Overlay is shipped with the files of overlay/<name> in place of those of the same name, and beside
// them. Leases and temporary files are not part of it.
func (f *Folder) Overlay(name string, shipped fs.FS) fs.FS {
	if checkID(name) != nil {
		return shipped
	}
	dir := f.Join("overlay/" + name)
	if info, err := os.Stat(dir); err != nil || !info.IsDir() {
		return shipped
	}
	return overlay{own: os.DirFS(dir), shipped: shipped}
}

type overlay struct{ own, shipped fs.FS }

func hidden(name string) bool {
	return name != "." && slices.ContainsFunc(strings.Split(name, "/"), func(s string) bool { return strings.HasPrefix(s, ".") })
}

// Open implements fs.FS.
func (o overlay) Open(name string) (fs.File, error) {
	if hidden(name) && fs.ValidPath(name) {
		return o.shipped.Open(name)
	}
	file, err := o.own.Open(name)
	if errors.Is(err, fs.ErrNotExist) {
		return o.shipped.Open(name)
	}
	if err != nil {
		return nil, err
	}
	info, err := file.Stat()
	if err != nil || !info.IsDir() {
		return file, err
	}
	entries, err := o.ReadDir(name)
	return &overlayDir{File: file, entries: entries}, err
}

// ReadDir implements fs.ReadDirFS: both folders in one, sorted by name.
func (o overlay) ReadDir(name string) ([]fs.DirEntry, error) {
	own, err := fs.ReadDir(o.own, name)
	if err != nil && !errors.Is(err, fs.ErrNotExist) {
		return nil, err
	}
	own = slices.DeleteFunc(own, func(e fs.DirEntry) bool { return hidden(e.Name()) })
	shipped, errShipped := fs.ReadDir(o.shipped, name)
	if errShipped != nil && (err != nil || !errors.Is(errShipped, fs.ErrNotExist)) {
		return nil, errShipped
	}
	for _, e := range shipped {
		same := func(x fs.DirEntry) bool { return x.Name() == e.Name() }
		if !slices.ContainsFunc(own, same) {
			own = append(own, e)
		}
	}
	slices.SortFunc(own, func(a, b fs.DirEntry) int { return strings.Compare(a.Name(), b.Name()) })
	return own, nil
}

// overlayDir is a folder of an overlay, opened.
type overlayDir struct {
	fs.File
	entries []fs.DirEntry
}

// ReadDir implements fs.ReadDirFile.
func (d *overlayDir) ReadDir(n int) ([]fs.DirEntry, error) {
	if n <= 0 {
		out := d.entries
		d.entries = nil
		return out, nil
	}
	if len(d.entries) == 0 {
		return nil, io.EOF
	}
	out := d.entries[:min(n, len(d.entries))]
	d.entries = d.entries[len(out):]
	return out, nil
}
