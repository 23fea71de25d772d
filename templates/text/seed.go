package text

import "github.com/go-text/typesetting/language"

// The signs that the template's font of a Latin face holds in every paper, so that most values need no
// font of their own: cutting, compressing and mapping one for each paper costs more than these weigh.
const (
	seedFigures = "0123456789 \u00A0-./:,+()"
	seedLetters = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz"
)

// seed is the beginning of the template's font of a face; nil if it begins empty.
func (s *Setter) seed(id faceID) *docFont {
	signs := seedFigures
	switch id {
	case latin.face(false):
		signs += seedLetters
	case latin.face(true):
	default:
		return nil
	}
	if d := s.epoch.seed(id); d != nil {
		return d
	}
	d := &docFont{face: id}
	for _, r := range signs {
		d.appendCodes(nil, s.shape(id, shaping{text: string(r), script: language.Latin}))
	}
	s.epoch.keepSeed(id, d)
	return d
}

func (e *epoch) seed(f faceID) *docFont {
	e.mu.RLock()
	defer e.mu.RUnlock()
	return e.seeds[f]
}

func (e *epoch) keepSeed(f faceID, d *docFont) {
	e.mu.Lock()
	defer e.mu.Unlock()
	e.seeds[f] = d
}
