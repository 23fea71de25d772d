package locales

import (
	"io/fs"
	"sync"

	"philtrum/forms/source"
)

// group is one file of messages. Opening it only finds where its entries stand; an entry is read when it is
// first used, since a paper needs a small part of what there is.
type group struct {
	name, file string
	data       []byte
	engine     *engine

	mu     sync.Mutex // guards what follows
	raw    map[string]string
	ready  map[string]declared
	broken error // what the strict reader found, once it had to read the file
}

func readGroup(fsys fs.FS, tag, name string, e *engine) (*group, error) {
	g := &group{name: name, file: tag + "/" + name + ".yaml", engine: e, ready: map[string]declared{}}
	var err error
	if g.data, err = fs.ReadFile(fsys, g.file); err != nil {
		return nil, err
	}
	raw, ok := indexFlat(string(g.data))
	if !ok {
		return g, g.readAll()
	}
	g.raw = raw
	return g, nil
}

// has reports whether the group has the message.
func (g *group) has(id string) bool {
	g.mu.Lock()
	defer g.mu.Unlock()
	_, ready := g.ready[id]
	_, raw := g.raw[id]
	return ready || raw
}

// find gives what a message declares; ok is false when the group does not have it.
func (g *group) find(id string) (d declared, ok bool, err error) {
	g.mu.Lock()
	defer g.mu.Unlock()
	if d, ok = g.ready[id]; ok {
		return d, true, nil
	}
	text, ok := g.raw[id]
	if !ok {
		return declared{}, false, g.broken
	}
	if entries, quick := readFlat(text); quick {
		var r source.Reader
		messages := readMessages(entries, g.name, &r)
		if len(r.Problems()) == 0 && len(messages) == 1 {
			delete(g.raw, id)
			err := g.add(messages[0])
			return messages[0].declared, true, err
		}
	}
	if err := g.readAll(); err != nil {
		return declared{}, false, err
	}
	d, ok = g.ready[id]
	return d, ok, nil
}

// readAll reads the whole file strictly, with places for what is wrong.
func (g *group) readAll() error {
	if g.broken != nil {
		return g.broken
	}
	var r source.Reader
	messages := readMessages(readEntries(g.file, g.data, true, &r), g.name, &r)
	if g.broken = r.Problems().Err(); g.broken != nil {
		return g.broken
	}
	g.raw = nil
	for _, m := range messages {
		if err := g.add(m); err != nil {
			return err
		}
	}
	return nil
}

func (g *group) add(m message) error {
	g.ready[m.id] = m.declared
	return g.engine.add(m)
}
