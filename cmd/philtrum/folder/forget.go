package folder

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
)

// Names lists a folder of the clinic folder, sorted; leases and temporary files are not in it, and one that is
// not there is empty.
func (f *Folder) Names(name string) ([]string, error) {
	if err := f.within(name); err != nil {
		return nil, err
	}
	entries, err := f.list(name)
	var names []string
	for _, e := range entries {
		if !hidden(e.Name()) {
			names = append(names, e.Name())
		}
	}
	slices.Sort(names)
	return names, err
}

// Under lists every file below a folder of the clinic folder, sorted, with its name in the clinic folder.
func (f *Folder) Under(name string) ([]string, error) {
	if err := f.within(name); err != nil {
		return nil, err
	}
	var files []string
	err := filepath.WalkDir(f.Join(name), func(path string, e fs.DirEntry, err error) error {
		if errors.Is(err, fs.ErrNotExist) {
			return nil
		}
		if err != nil || e.IsDir() || hidden(e.Name()) {
			return err
		}
		inside, err := filepath.Rel(f.path, path)
		files = append(files, filepath.ToSlash(inside))
		return err
	})
	if err != nil {
		return nil, fmt.Errorf("list: %w", err)
	}
	slices.Sort(files)
	return files, nil
}

// Erase removes a file, or a folder with everything in it, for good. What it holds is overwritten first, so that
// it does not come back with the space it took on disks that write in place; on others that is for the
// encryption of the disk. The entry in the journal comes before it.
func (f *Folder) Erase(name string) error {
	if err := f.within(name); err != nil {
		return err
	}
	files, err := f.Under(name)
	if err != nil {
		return err
	}
	for _, file := range files {
		if err := overwrite(f.Join(file)); err != nil {
			return err
		}
	}
	if err := os.RemoveAll(f.Join(name)); err != nil {
		return fmt.Errorf("erase: %w", err)
	}
	flush(filepath.Dir(f.Join(name)))
	return nil
}

func overwrite(path string) error {
	file, err := os.OpenFile(path, os.O_WRONLY, 0)
	if err != nil {
		return fmt.Errorf("erase: %w", err)
	}
	info, err := file.Stat()
	if err == nil {
		_, err = file.Write(make([]byte, info.Size()))
	}
	if err == nil {
		err = file.Sync()
	}
	if err := errors.Join(err, file.Close()); err != nil {
		return fmt.Errorf("erase: %w", err)
	}
	return nil
}
