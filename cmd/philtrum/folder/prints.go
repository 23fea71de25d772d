package folder

import (
	"errors"
	"os"
	"path"
	"runtime"
)

// Prints are merged copies of papers on their way to a printer. They are no part of the clinic's record: each can
// be made again, and a day's are cleared when the next day's are made.
const prints = "print"

// Print keeps a copy for the printer in a place of its own, and gives its name in the clinic folder. One that is
// there already is replaced.
func (f *Folder) Print(of, name string, data []byte) (string, error) {
	file := path.Join(prints, of, name)
	if err := f.within(file); err != nil {
		return "", err
	}
	return file, f.disk.replace(f.Join(file), data)
}

// ClearPrints removes all copies for the printer but those of one place ("" keeps none).
func (f *Folder) ClearPrints(keep string) error {
	names, err := f.Names(prints)
	if err != nil {
		return err
	}
	for _, name := range names {
		if name == keep {
			continue
		}
		if err := f.Erase(path.Join(prints, name)); err != nil {
			return err
		}
	}
	return nil
}

// Writable says whether files can be made here: it makes one and takes it away.
func (f *Folder) Writable() bool {
	file, err := os.CreateTemp(f.path, temporary)
	if err != nil {
		return false
	}
	return errors.Join(file.Close(), os.Remove(file.Name())) == nil
}

// Private says whether only their owner can read the folder, as far as the system tells by permissions; Windows
// does not, and is taken at its word.
func (f *Folder) Private() bool {
	info, err := os.Stat(f.path)
	return err == nil && (runtime.GOOS == "windows" || info.Mode().Perm()&0o077 == 0)
}
