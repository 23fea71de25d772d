package text

import "sync"

// Engine holds what all documents share: parsed faces and bounded caches. It is safe for concurrent use.
type Engine struct {
	faces [faceCount]struct {
		once sync.Once
		face *face
	}

	hyphens hyphenators

	mu        sync.Mutex
	epoch     *epoch
	benches   []*bench
	deflaters []*deflater
	typing    [familyCount]*Font
}

// NewEngine opens no font; a face is loaded when a document first needs it.
func NewEngine() *Engine { return &Engine{epoch: newEpoch()} }

// NewSetter begins a document.
func (e *Engine) NewSetter(o Options) *Setter {
	e.mu.Lock()
	defer e.mu.Unlock()
	if e.epoch.isFull() {
		e.epoch = newEpoch()
	}
	own := o.Own
	if own == nil {
		own = &Own{}
	}
	own.begin(e.epoch)
	return &Setter{engine: e, epoch: e.epoch, options: o, home: familyOfLang(o.Lang), own: own}
}

// face is a loaded face. The files are part of the program, so that a file which cannot be loaded is a
// bug of the build and panics.
func (e *Engine) face(id faceID) *face {
	slot := &e.faces[id]
	slot.once.Do(func() {
		f, err := loadFace(id, sources[id].name, *sources[id].data)
		if err != nil {
			panic(err)
		}
		slot.face = f
	})
	return slot.face
}

// bench is what preparing a paragraph works with: buffers, and the state that go-text mutates while it
// shapes. One goroutine has it at a time.
type bench struct {
	analyst analyst
	shaper  *shaper
}

// borrow and giveBack keep benches and compressors, one for each goroutine that is at work at a time.

func (e *Engine) borrowBench() *bench {
	e.mu.Lock()
	defer e.mu.Unlock()
	if n := len(e.benches); n > 0 {
		b := e.benches[n-1]
		e.benches = e.benches[:n-1]
		return b
	}
	return &bench{shaper: newShaper()}
}

func (e *Engine) giveBackBench(b *bench) {
	e.mu.Lock()
	defer e.mu.Unlock()
	e.benches = append(e.benches, b)
}

func (e *Engine) borrowDeflater() *deflater {
	e.mu.Lock()
	defer e.mu.Unlock()
	if n := len(e.deflaters); n > 0 {
		d := e.deflaters[n-1]
		e.deflaters = e.deflaters[:n-1]
		return d
	}
	return &deflater{}
}

func (e *Engine) giveBackDeflater(d *deflater) {
	e.mu.Lock()
	defer e.mu.Unlock()
	e.deflaters = append(e.deflaters, d)
}
