package folder

import (
	"errors"
	"sync"

	"philtrum/forms/source"
)

// What a folder refuses. The error is a *[Refusal] with the words for it; other errors are failures of
// the disk.
var (
	ErrNoClinic = errors.New("no clinic folder")
	ErrExists   = errors.New("exists already")
	ErrNoFile   = errors.New("no such file")
	ErrName     = errors.New("not a name for a file of a clinic folder")
	ErrChanged  = errors.New("changed meanwhile")
	ErrBusy     = errors.New("another command is writing")
)

// Refusal is an error that a person can do something about.
type Refusal struct {
	Problem source.Problem
	kind    error
}

// Error is for programmers; people are told the Problem.
func (r *Refusal) Error() string {
	if r.Problem.Span.File == "" {
		return r.kind.Error()
	}
	return r.Problem.Span.String() + ": " + r.kind.Error()
}

// Unwrap gives the kind of refusal, for errors.Is.
func (r *Refusal) Unwrap() error { return r.kind }

func refuse(kind error, p source.Problem) error { return &Refusal{Problem: p, kind: kind} }

// notices are problems that were mended on the way and are worth saying.
type notices struct {
	sync.Mutex
	all source.Problems
}

func (n *notices) add(p source.Problem) {
	n.Lock()
	defer n.Unlock()
	for _, said := range n.all {
		if said.ID == p.ID && said.Span == p.Span {
			return
		}
	}
	n.all = append(n.all, p)
}

// Notices are problems that the folder has mended since it was opened, such as a torn line of the journal
// set aside. Whoever ran the command should be told.
func (f *Folder) Notices() source.Problems {
	f.notices.Lock()
	defer f.notices.Unlock()
	return append(source.Problems(nil), f.notices.all...)
}
