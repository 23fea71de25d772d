package text

import (
	"bytes"
	"compress/zlib"
	"slices"
	"strings"
	"sync"

	"github.com/go-text/typesetting/language"
)

// Bounds of an epoch's caches. A packet in one language has about 800 words and 150 paragraphs.
const (
	maxWords    = 40_000
	maxPieces   = 200_000
	maxClusters = 60_000 // of one face; also keeps ids small
	maxPrograms = 128
	maxLangs    = 1000
)

// epoch is a generation of the engine's caches. A setter keeps the epoch that it began with; once one of
// its bounds is reached the engine gives new setters a new one, and the old is freed with its last setter.
// What is cached never depends on a patient: see [Setter].
type epoch struct {
	mu         sync.RWMutex
	words      [faceCount]map[shaping]*word
	paragraphs map[string]*paragraph
	programs   map[string]*Font
	wordCount  int
	pieceCount int
	full       bool
	seeds      [faceCount]*docFont // never changed

	tables [faceCount]clusterTable
	langs  langTable
}

// langTable makes a lang for each tag and keeps the first maxLangs.
type langTable struct {
	mu    sync.RWMutex
	byTag map[string]*lang
}

func (t *langTable) of(tag string) *lang {
	t.mu.RLock()
	known := t.byTag[tag]
	t.mu.RUnlock()
	if known != nil || tag == "" {
		return known
	}
	t.mu.Lock()
	defer t.mu.Unlock()
	if t.byTag == nil {
		t.byTag = map[string]*lang{}
	}
	if known := t.byTag[tag]; known != nil {
		return known
	}
	made := &lang{language.NewLanguage(tag)}
	if len(t.byTag) < maxLangs {
		t.byTag[strings.Clone(tag)] = made
	}
	return made
}

func newEpoch() *epoch {
	return &epoch{paragraphs: map[string]*paragraph{}, programs: map[string]*Font{}}
}

// clusterTable interns the clusters of a face.
type clusterTable struct {
	mu    sync.Mutex
	byKey map[string]*cluster
}

func (t *clusterTable) intern(key []byte, c cluster) *cluster {
	t.mu.Lock()
	defer t.mu.Unlock()
	if known, ok := t.byKey[string(key)]; ok {
		return known
	}
	if t.byKey == nil {
		t.byKey = map[string]*cluster{}
	}
	fresh := &cluster{id: uint32(len(t.byKey)), advance: c.advance, text: strings.Clone(c.text)}
	fresh.glyphs = slices.Clone(c.glyphs)
	t.byKey[string(key)] = fresh
	return fresh
}

func (t *clusterTable) size() int {
	t.mu.Lock()
	defer t.mu.Unlock()
	return len(t.byKey)
}

func (e *epoch) word(f faceID, key shaping) *word {
	e.mu.RLock()
	defer e.mu.RUnlock()
	return e.words[f][key]
}

func (e *epoch) keepWord(f faceID, key shaping, w *word) {
	e.mu.Lock()
	defer e.mu.Unlock()
	if e.wordCount++; e.wordCount > maxWords {
		e.full = true
		return
	}
	if e.words[f] == nil {
		e.words[f] = map[shaping]*word{}
	}
	e.words[f][key] = w
}

func (e *epoch) paragraph(key []byte) *paragraph {
	e.mu.RLock()
	defer e.mu.RUnlock()
	return e.paragraphs[string(key)]
}

func (e *epoch) keepParagraph(key string, p *paragraph) {
	e.mu.Lock()
	defer e.mu.Unlock()
	if e.pieceCount += len(p.pieces) + 1; e.pieceCount > maxPieces {
		e.full = true
		return
	}
	e.paragraphs[key] = p
}

func (e *epoch) program(key []byte) *Font {
	e.mu.RLock()
	defer e.mu.RUnlock()
	return e.programs[string(key)]
}

func (e *epoch) keepProgram(key []byte, f *Font) {
	e.mu.Lock()
	defer e.mu.Unlock()
	if len(e.programs) >= maxPrograms {
		clear(e.programs)
	}
	e.programs[string(key)] = f
}

// checkClusters marks the epoch full when a face has too many clusters; values add to them as well.
func (e *epoch) checkClusters(f faceID) {
	if e.tables[f].size() > maxClusters {
		e.mu.Lock()
		defer e.mu.Unlock()
		e.full = true
	}
}

func (e *epoch) isFull() bool {
	e.mu.RLock()
	defer e.mu.RUnlock()
	return e.full
}

// deflater holds compressors that are used again; making one costs more than most of its work.
type deflater struct {
	dense, quick *zlib.Writer
	out          bytes.Buffer
}

// deflate compresses what is kept densely, and what serves one paper quickly: starting a dense compressor
// costs more than a small font saves.
func (d *deflater) deflate(data []byte, kept bool) []byte {
	w, level := &d.quick, zlib.BestSpeed
	if kept {
		w, level = &d.dense, zlib.DefaultCompression
	}
	d.out.Reset()
	if *w == nil {
		*w, _ = zlib.NewWriterLevel(&d.out, level) // the levels are valid
	} else {
		(*w).Reset(&d.out)
	}
	_, _ = (*w).Write(data) // a bytes.Buffer takes everything
	_ = (*w).Close()
	return slices.Clone(d.out.Bytes())
}
