package folder

import (
	"bytes"
	"errors"
	"os"
	"path"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"philtrum/forms/source"
)

// Batch is several writes and entries in the journal that happen as a whole or not at all.
//
// Commit takes the leases of all its files, makes and stages every file, then takes the journal's lease and
// writes an intent: which staged file goes where, and the journal's new lines. From then on the batch has
// happened: renaming and appending follow, and if they are cut off, the next who writes or opens the folder
// completes them. Before the intent, nothing has happened, and what was staged is swept up in time. Batches of
// different files stage at the same time; only what follows is one after another.
type Batch struct {
	folder  *Folder
	at      time.Time
	writes  []*write
	staged  []*write // all of them once staged; those that stay as they are leave writes
	entries []entry
}

type write struct {
	name   string
	make   func(old []byte) ([]byte, error) // nil: data, of a file that must not be there
	data   []byte
	old    []byte
	staged string
}

type entry struct {
	what, subject, digest string
	file                  string // whose digest it has, once made
}

// Batch begins a batch; at is the time of its entries.
func (f *Folder) Batch(at time.Time) *Batch { return &Batch{folder: f, at: at} }

// Create adds a file that must not be there yet.
func (b *Batch) Create(name string, data []byte) {
	b.writes = append(b.writes, &write{name: name, data: data})
}

// Update adds a change of a file, as [Folder.Update]. A file can be in a batch once.
func (b *Batch) Update(name string, change func(old []byte) ([]byte, error)) {
	b.writes = append(b.writes, &write{name: name, make: change})
}

// Enter adds an entry in the journal: a word for what happened, the id of what it happened to, and a
// digest in hexadecimal, which may be empty.
func (b *Batch) Enter(what, subject, digest string) {
	b.entries = append(b.entries, entry{what: what, subject: subject, digest: digest})
}

// EnterFile adds an entry with the digest of a file of this batch, as it will be.
func (b *Batch) EnterFile(what, subject, name string) {
	b.entries = append(b.entries, entry{what: what, subject: subject, file: name})
}

// Commit does it all, or nothing and says why.
func (b *Batch) Commit() error {
	leases, err := b.claim()
	defer func() {
		for _, l := range slices.Backward(leases) {
			l.release()
		}
	}()
	if err == nil {
		err = b.stage()
	}
	if err != nil {
		b.discard()
		return err
	}
	switch {
	case len(b.writes) == 0 && len(b.entries) == 0:
		return nil
	case len(b.writes) == 1 && len(b.entries) == 0:
		return b.single(leases)
	}
	return b.whole(leases)
}

// claim takes the leases of all files in the order of their names, so that two batches never wait for each
// other in a circle. The journal's comes behind them, when they are staged.
func (b *Batch) claim() ([]*lease, error) {
	slices.SortFunc(b.writes, func(x, y *write) int { return strings.Compare(x.name, y.name) })
	tidied := ""
	var leases []*lease
	for _, w := range b.writes {
		if dir := path.Dir(w.name); dir != tidied { // ahead of our own leases, which are nothing to look at
			b.folder.tidy(dir)
			tidied = dir
		}
		l, err := b.folder.lease(w.name)
		if err != nil {
			return leases, err
		}
		leases = append(leases, l)
	}
	return leases, b.settle()
}

// settle completes a batch that was cut off while it was at a file of this one: what this batch makes of its
// files has to stand on that. A batch that is being carried out has the leases of its files, so it has none of
// ours.
func (b *Batch) settle() error {
	plan, found, err := b.folder.intended()
	if err != nil || !found {
		return err
	}
	ours := func(s intentStep) bool {
		return slices.ContainsFunc(b.writes, func(w *write) bool { return w.name == s.Name })
	}
	if !slices.ContainsFunc(plan.Steps, ours) {
		return nil
	}
	l, err := b.folder.leaseJournal()
	if err != nil {
		return err
	}
	defer l.release()
	return b.folder.recover(l)
}

// stage makes the new content of every file and writes it beside its target. Files that stay as they are
// leave the batch.
func (b *Batch) stage() error {
	var changed []*write
	for _, w := range b.writes {
		if err := w.prepare(b.folder); err != nil {
			return err
		}
		if w.make != nil && bytes.Equal(w.old, w.data) {
			continue
		}
		staged, err := b.folder.disk.stage(b.folder.Join(w.name), w.data)
		if err != nil {
			return err
		}
		w.staged = staged
		changed = append(changed, w)
	}
	for i, e := range b.entries {
		for _, w := range b.writes {
			if e.file != "" && e.file == w.name {
				b.entries[i].digest = digest(w.data)
			}
		}
	}
	b.staged, b.writes = b.writes, changed
	return nil
}

func (w *write) prepare(f *Folder) error {
	if w.make == nil {
		return w.absent(f)
	}
	var err error
	if w.old, err = f.Read(w.name); err != nil {
		return err
	}
	w.data, err = w.make(bytes.Clone(w.old))
	return err
}

func (w *write) absent(f *Folder) error {
	if _, err := os.Lstat(f.Join(w.name)); err == nil {
		return refuse(ErrExists, source.Problem{ID: "problem.exists_already", Span: source.Span{File: w.name}})
	}
	return nil
}

// ready refuses if a file was changed since it was read, or a lease was lost.
func (b *Batch) ready(leases []*lease) error {
	for _, w := range b.writes {
		err := w.absent(b.folder)
		if w.make != nil {
			err = b.folder.unchanged(w.name, w.old)
		}
		if err != nil {
			return err
		}
	}
	for _, l := range leases {
		if !l.held() {
			return refuse(ErrChanged, source.Problem{ID: "problem.changed_meanwhile"})
		}
	}
	return nil
}

// single is a batch of one file: its rename is all there is to do.
func (b *Batch) single(leases []*lease) error {
	w := b.writes[0]
	err := b.ready(leases)
	if err == nil {
		err = b.folder.disk.place(w.staged, b.folder.Join(w.name))
	}
	if err != nil {
		b.discard()
	}
	return err
}

// whole takes the journal's lease, writes the intent and carries it out.
func (b *Batch) whole(leases []*lease) error {
	l, err := b.folder.leaseJournal()
	if err != nil {
		b.discard()
		return err
	}
	defer l.release()
	plan, err := b.decide(append(leases, l))
	if err != nil {
		b.discard()
		return err
	}
	return b.folder.carryOut(plan, l)
}

// decide writes the intent: from then on the batch has happened. The last of the leases is the journal's.
func (b *Batch) decide(leases []*lease) (intent, error) {
	if err := b.folder.recover(leases[len(leases)-1]); err != nil {
		return intent{}, err
	}
	plan, err := b.plan()
	if err == nil {
		err = b.ready(leases)
	}
	if err == nil {
		err = b.folder.intend(plan)
	}
	return plan, err
}

// discard removes what was staged.
func (b *Batch) discard() {
	for _, w := range b.writes {
		if w.staged != "" {
			_ = b.folder.disk.remove(w.staged) // swept up later otherwise
		}
	}
}

// plan is the intent of a batch whose files are staged and whose journal is leased.
func (b *Batch) plan() (intent, error) {
	var plan intent
	if err := b.noteEdits(); err != nil {
		return plan, err
	}
	for _, w := range b.writes {
		step := intentStep{Name: w.name, Staged: filepath.Base(w.staged), New: digest(w.data)}
		if w.make != nil {
			step.Old = digest(w.old)
		}
		plan.Steps = append(plan.Steps, step)
	}
	if len(b.entries) == 0 {
		return plan, nil
	}
	lines, err := b.folder.nextLines(b.at, b.entries)
	plan.Lines = lines
	return plan, err
}

// Enter appends one entry to the journal, as [Batch.Enter].
func (f *Folder) Enter(at time.Time, what, subject, digest string) error {
	b := f.Batch(at)
	b.Enter(what, subject, digest)
	return b.Commit()
}

// settle completes a batch that was cut off, unless somebody else is at it.
func (f *Folder) settle() error {
	if !f.exists(intentFile) {
		return nil
	}
	l, err := f.leaseJournal()
	if errors.Is(err, ErrBusy) {
		return nil
	}
	if err != nil {
		return err
	}
	defer l.release()
	return f.recover(l)
}
