package folder

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
)

// disk is every step that changes the disk and that a batch depends on, so that a test can let any of them fail,
// or be the last. Its zero value is the disk as it is.
type disk struct {
	// before is called ahead of each step. With an error the step does not happen, but for a write of which the
	// given number of bytes still reach the disk.
	before func(step string) (bytes int, err error)
}

func (d disk) ready(step string) error {
	if d.before == nil {
		return nil
	}
	_, err := d.before(step)
	return err
}

// write writes data to an open file and flushes it.
func (d disk) write(file *os.File, data []byte) error {
	if d.before != nil {
		if n, err := d.before("write"); err != nil {
			_, _ = file.Write(data[:min(n, len(data))])
			return err
		}
	}
	if _, err := file.Write(data); err != nil {
		return err
	}
	return file.Sync()
}

// stage writes data to a temporary file beside path and flushes it. The caller renames or removes it.
func (d disk) stage(path string, data []byte) (string, error) {
	if err := d.ready("create"); err != nil {
		return "", fmt.Errorf("write: %w", err)
	}
	file, err := os.CreateTemp(filepath.Dir(path), temporary) // 0600
	if err != nil {
		return "", fmt.Errorf("write: %w", err)
	}
	if err := errors.Join(d.write(file, data), file.Close()); err != nil {
		return "", errors.Join(fmt.Errorf("write: %w", err), d.remove(file.Name()))
	}
	return file.Name(), nil
}

// place renames a staged file to its target and flushes the folder.
func (d disk) place(staged, path string) error {
	if err := d.rename(staged, path); err != nil {
		return err
	}
	flush(filepath.Dir(path))
	return nil
}

// rename renames a staged file to its target. The caller flushes the folder.
func (d disk) rename(staged, path string) error {
	if err := d.ready("rename"); err != nil {
		return fmt.Errorf("write: %w", err)
	}
	if err := os.Rename(staged, path); err != nil {
		return fmt.Errorf("write: %w", err)
	}
	return nil
}

// replace writes a file whole or not at all.
func (d disk) replace(path string, data []byte) error {
	if err := os.MkdirAll(filepath.Dir(path), 0o700); err != nil {
		return fmt.Errorf("write: %w", err)
	}
	staged, err := d.stage(path, data)
	if err != nil {
		return err
	}
	if err := d.place(staged, path); err != nil {
		return errors.Join(err, d.remove(staged))
	}
	return nil
}

// extend appends to a file, which is made if it is not there.
func (d disk) extend(path string, data []byte) error {
	if err := d.ready("open"); err != nil {
		return fmt.Errorf("journal: %w", err)
	}
	file, err := os.OpenFile(path, os.O_WRONLY|os.O_CREATE|os.O_APPEND, 0o600)
	if err != nil {
		return fmt.Errorf("journal: %w", err)
	}
	if err := errors.Join(d.write(file, data), file.Close()); err != nil {
		return fmt.Errorf("journal: %w", err)
	}
	return nil
}

func (d disk) shorten(path string, size int64) error {
	if err := d.ready("truncate"); err != nil {
		return fmt.Errorf("journal: %w", err)
	}
	if err := os.Truncate(path, size); err != nil {
		return fmt.Errorf("journal: %w", err)
	}
	return nil
}

func (d disk) remove(path string) error {
	if err := d.ready("remove"); err != nil {
		return fmt.Errorf("write: %w", err)
	}
	return os.Remove(path)
}
