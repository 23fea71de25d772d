package index

import (
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"runtime"
	"sync"
	"time"
)

// readAll reads every file that is not as known, in several goroutines, and gives what was read to put, in
// one. What is left in known afterwards is gone from the folder.
func (x *Index) readAll(names []name, known map[name]stamp, secret []byte, trusted time.Time, put func(*seen) error) error {
	workers := runtime.GOMAXPROCS(0) + 1
	results := make(chan []*seen, 2*workers)
	errs := make(chan error, workers)
	stop := make(chan struct{})
	var group sync.WaitGroup
	for part := range workers {
		from, to := part*len(names)/workers, (part+1)*len(names)/workers
		group.Go(func() {
			if err := x.readPart(names[from:to], known, secret, trusted, results, stop); err != nil {
				errs <- err
			}
		})
	}
	go func() { group.Wait(); close(results) }()
	var failure error
	var gone []name
	for batch := range results {
		for _, s := range batch {
			if failure == nil && !s.gone {
				if failure = put(s); failure != nil {
					close(stop)
				}
			}
			if s.gone {
				gone = append(gone, name{s.year, s.id})
			}
		}
	}
	missing := make(map[name]bool, len(gone))
	for _, n := range gone {
		missing[n] = true
	}
	for _, n := range names {
		if !missing[n] {
			delete(known, n)
		}
	}
	select {
	case err := <-errs:
		return errors.Join(failure, err)
	default:
		return failure
	}
}

// batchSize is how many files go to the writer at a time.
const batchSize = 64

func (x *Index) readPart(names []name, known map[name]stamp, secret []byte, trusted time.Time, out chan<- []*seen, stop <-chan struct{}) error {
	var batch []*seen
	send := func() bool {
		if len(batch) == 0 {
			return true
		}
		select {
		case out <- batch:
			batch = nil
			return true
		case <-stop:
			return false
		}
	}
	for _, n := range names {
		s, err := x.one(n, known, secret, trusted)
		if err != nil {
			return err
		}
		if s != nil {
			batch = append(batch, s)
		}
		if len(batch) >= batchSize && !send() {
			return nil
		}
	}
	send()
	return nil
}

// one reads a file, unless it is as it was known; nil then.
func (x *Index) one(n name, known map[name]stamp, secret []byte, trusted time.Time) (*seen, error) {
	file := n.file()
	path := filepath.Join(x.root, filepath.FromSlash(file))
	info, err := os.Stat(path)
	if errors.Is(err, fs.ErrNotExist) || err == nil && !info.Mode().IsRegular() {
		return &seen{id: n.id, year: n.year, gone: true}, nil
	}
	if err != nil {
		return nil, failed(err)
	}
	now := stamp{info.Size(), info.ModTime().UnixNano()}
	if before, ok := known[n]; ok && before == now {
		return nil, nil
	}
	if info.ModTime().After(trusted) {
		now.time = 0 // to be read again
	}
	data, err := os.ReadFile(path)
	if errors.Is(err, fs.ErrNotExist) {
		return &seen{id: n.id, year: n.year, gone: true}, nil
	}
	if err != nil {
		return nil, failed(err)
	}
	s := &seen{id: n.id, year: n.year, size: now.size, time: now.time, ofPatient: n.year == ""}
	if s.ofPatient {
		readPatient(data, file, secret, s)
	} else {
		read(data, file, x.zone, s)
	}
	return s, nil
}
