package folder

import (
	"bytes"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strconv"
	"sync/atomic"
	"time"

	"philtrum/forms/source"
)

// A lease is the right to write one file: another file beside it that only one process can create. Locks
// of the operating system do not hold over every network folder; creating a file exclusively does.
//
// A lease lasts for staleAfter from when its file was written. Whoever finds an older one takes it over:
// its holder was killed. Age is measured on the clock of the file system, by writing another file, so that
// machines need not agree on the time.
const (
	staleAfter = 2 * time.Minute
	// patience is how long one waits for a lease; a holder needs milliseconds.
	patience = 10 * time.Second
	pause    = 10 * time.Millisecond
)

// Names of lease files: the prefix hides them from listings, the suffix is for the lease to break a lease.
const (
	leasePrefix = ".lease-"
	breaking    = "-break"
)

type lease struct {
	path  string
	owner []byte
	after func() // of the journal's: lets the next of this process have its turn
}

// turn tells leases of one process apart.
var turn atomic.Uint64

// leasePath is beside the target and hidden from its listings.
func leasePath(target string) string {
	return filepath.Join(filepath.Dir(target), leasePrefix+filepath.Base(target))
}

// lease waits for the lease of a file of the folder, making the folders above it.
func (f *Folder) lease(name string) (*lease, error) {
	if err := f.within(name); err != nil {
		return nil, err
	}
	target := f.Join(name)
	if err := os.MkdirAll(filepath.Dir(target), 0o700); err != nil {
		return nil, fmt.Errorf("lease: %w", err)
	}
	l := &lease{path: leasePath(target), owner: owner()}
	for waited := time.Duration(0); ; waited += pause {
		ok, err := claim(l.path, l.owner)
		if ok || err != nil {
			return l, err
		}
		if waited%time.Second == 0 {
			if err := breakStale(l.path); err != nil {
				return nil, err
			}
		}
		if waited >= f.patience {
			return nil, f.busy(l.path, name)
		}
		time.Sleep(pause)
	}
}

// leaseJournal waits for the journal's lease. Those of one process stand in line for it, since whoever waits for
// a file to go looks for it only now and then.
func (f *Folder) leaseJournal() (*lease, error) {
	f.line.Lock()
	l, err := f.lease(journalFile)
	if err != nil {
		f.line.Unlock()
		return nil, err
	}
	l.after = f.line.Unlock
	return l, nil
}

// owner says who holds a lease, for a person who looks into the file and for [lease.held].
func owner() []byte {
	host, err := os.Hostname()
	if err != nil {
		host = "unknown"
	}
	return []byte(host + " " + strconv.Itoa(os.Getpid()) + " " + strconv.FormatUint(turn.Add(1), 10) + "\n")
}

// claim creates the lease file with its owner in it, unless there is one.
func claim(path string, owner []byte) (bool, error) {
	file, err := os.OpenFile(path, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o600)
	if errors.Is(err, fs.ErrExist) {
		return false, nil
	}
	if err != nil {
		return false, fmt.Errorf("lease: %w", err)
	}
	_, err = file.Write(owner)
	if err := errors.Join(err, file.Close()); err != nil {
		return false, errors.Join(fmt.Errorf("lease: %w", err), os.Remove(path))
	}
	return true, nil
}

// breakStale removes a lease whose holder is gone. Breaking needs a lease itself: of two who find the same
// stale lease, the slower must not break the one that the quicker has taken by then.
func breakStale(path string) error {
	if stale, err := isStale(path); err != nil || !stale {
		return err
	}
	breaker := path + breaking
	ok, err := claim(breaker, owner())
	if err != nil {
		return err
	}
	if !ok {
		// A breaker is held for an instant, so that a stale one has no holder.
		if stale, err := isStale(breaker); err != nil || !stale {
			return err
		}
		return remove(breaker)
	}
	stale, err := isStale(path)
	if err == nil && stale {
		err = remove(path)
	}
	return errors.Join(err, remove(breaker))
}

func remove(path string) error {
	if err := os.Remove(path); err != nil && !errors.Is(err, fs.ErrNotExist) {
		return fmt.Errorf("lease: %w", err)
	}
	return nil
}

// isStale compares a lease's time with that of a file written now. One that is gone is not stale.
func isStale(path string) (bool, error) {
	info, err := os.Stat(path)
	if errors.Is(err, fs.ErrNotExist) {
		return false, nil
	}
	if err != nil {
		return false, fmt.Errorf("lease: %w", err)
	}
	now, err := diskTime(filepath.Dir(path))
	return err == nil && now.Sub(info.ModTime()) > staleAfter, err
}

// diskTime is the present on the clock of the file system.
func diskTime(dir string) (time.Time, error) {
	probe, err := os.CreateTemp(dir, temporary)
	if err != nil {
		return time.Time{}, fmt.Errorf("lease: %w", err)
	}
	info, err := probe.Stat()
	err = errors.Join(err, probe.Close(), os.Remove(probe.Name()))
	if err != nil {
		return time.Time{}, fmt.Errorf("lease: %w", err)
	}
	return info.ModTime(), nil
}

func (f *Folder) busy(path, name string) error {
	since := ""
	if info, err := os.Stat(path); err == nil {
		since = info.ModTime().UTC().Format(time.RFC3339)
	}
	return refuse(ErrBusy, source.Problem{ID: "problem.busy", Args: map[string]any{"since": since},
		Span: source.Span{File: name}})
}

// held says whether the lease is still ours: a process that slept past staleAfter has lost it.
func (l *lease) held() bool {
	now, err := os.ReadFile(l.path)
	return err == nil && bytes.Equal(now, l.owner)
}

// release gives the lease up; one that was taken over is left to its new holder.
func (l *lease) release() {
	if l == nil {
		return
	}
	if l.held() {
		_ = os.Remove(l.path) // if it stays, it grows stale
	}
	if l.after != nil {
		l.after()
	}
}
