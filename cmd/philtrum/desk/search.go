package desk

import (
	"crypto/sha256"
	"encoding/hex"
	"path/filepath"
	"time"

	"philtrum/cmd/philtrum/index"
	"philtrum/forms/source"
)

// Thorough says how well the index looks before it answers.
type Thorough int

// A quick answer follows the journal, which names everything that a command has changed, and looks at every
// file where that is quick too, or was not done for a day. A whole one looks at every file first.
const (
	Quick Thorough = iota
	Whole
)

// fewFiles are looked at in a few milliseconds; lookEvery is how old the last look may be for a quick answer
// where there are more.
const (
	fewFiles  = 3000
	lookEvery = 24 * time.Hour
)

// IndexIn names the folder of this machine in which the index is kept; without one it is made in memory.
func (d *Desk) IndexIn(dir string) {
	if dir == "" {
		return
	}
	sum := sha256.Sum256([]byte(d.folder.Path()))
	d.indexFile = filepath.Join(dir, "philtrum", hex.EncodeToString(sum[:16])+".sqlite")
}

// Searched says what the index had to do before it answered.
type Searched struct {
	index.Looking
	Whole  bool      // every file was looked at
	Looked time.Time // when that was done last
	Remade string    // why the index was begun anew, one of the reasons of package index
	Memory bool      // there is no place for its file
	Took   time.Duration
}

// Searched is what the index had to do for the last answer.
func (d *Desk) Searched() Searched { return d.searched }

// search opens the index, brings it up to date and asks it. A damaged file is made anew, once.
func (d *Desk) search(how Thorough, ask func(*index.Index) error) error {
	x, err := index.Open(d.indexFile, d.folder.Path(), d.clinic.Zone)
	memory := d.indexFile == ""
	if err != nil && !memory {
		memory = true // no place on this machine: it is made for this run
		x, err = index.Open("", d.folder.Path(), d.clinic.Zone)
	}
	if err != nil {
		return err
	}
	defer func() { _ = x.Close() }()
	err = d.fresh(x, how, memory)
	if err == nil {
		err = ask(x)
	}
	if !index.Damaged(err) {
		return err
	}
	if err = x.Renew(); err == nil {
		err = d.fresh(x, Whole, memory)
	}
	if err == nil {
		err = ask(x)
	}
	return err
}

// fresh brings the index up to date.
func (d *Desk) fresh(x *index.Index, how Thorough, memory bool) error {
	d.searched = Searched{Remade: x.Remade(), Memory: memory, Looked: x.Looked()}
	if how == Quick && x.Files() > fewFiles && d.at.Sub(x.Looked()) < lookEvery && !d.at.Before(x.Looked().Add(-time.Minute)) {
		ok, err := x.Follow(d.at)
		if err != nil || ok {
			return err
		}
	}
	looking, err := x.Look(d.at)
	d.searched.Looking, d.searched.Whole, d.searched.Looked = looking, true, x.Looked()
	return err
}

// Index brings the index up to date with every file, or makes it anew.
func (d *Desk) Index(anew bool) error {
	if anew && d.indexFile != "" {
		if x, err := index.Open(d.indexFile, d.folder.Path(), d.clinic.Zone); err == nil {
			err = x.Clear()
			_ = x.Close()
			if err != nil {
				return err
			}
		}
	}
	return d.search(Whole, func(*index.Index) error { return nil })
}

// Person finds the patient that goes by an opaque number or id.
func (d *Desk) Person(word string) (string, source.Problems, error) {
	if id, err := d.indexed(word); err != nil || id != "" {
		return id, nil, err
	}
	return d.patientOf(word)
}

// indexed is the id of the patient that the index knows by a number or id; empty if it knows none.
func (d *Desk) indexed(word string) (id string, err error) {
	err = d.search(Quick, func(x *index.Index) (err error) {
		id, err = x.Patient(word)
		return err
	})
	return id, err
}
