package text

import "philtrum/templates/layout"

// Engine holds what all documents share: parsed faces and bounded caches. It is safe for concurrent use.
type Engine struct{}

// NewEngine opens no font; a face is loaded when a document first needs it.
func NewEngine() *Engine { return &Engine{} }

// NewSetter begins a document.
func (e *Engine) NewSetter(o Options) *Setter { return &Setter{engine: e, options: o} }

// Setter sets one document and gathers the glyphs that it uses. It is not safe for concurrent use.
type Setter struct {
	engine  *Engine
	options Options
}

// Lines implements [layout.Metrics].
func (s *Setter) Lines(layout.Request) []layout.Line { return []layout.Line{{}} }

// Missing lists the runes that no face could set, in order of first use, each once.
func (s *Setter) Missing() []Missing { return nil }

// Fonts gives the fonts of the document once all its text is set; [layout.Run].Font indexes it.
func (s *Setter) Fonts() []Font { return nil }
