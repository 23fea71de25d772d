package visit

import "slices"

// Elsewhere and Unknown stand for a visit of which this clinic has no record.
const (
	Elsewhere = "elsewhere"
	Unknown   = "unknown"
)

// Blamed is the visit whose filler a complication of v is about: the one that its event names, v itself where
// something was injected in it, or the nearest one that it follows in which something was. earlier are visits of the
// same patient. False where no visit of this clinic says it.
func (v Visit) Blamed(earlier []Visit) (Visit, bool) {
	of, next := "", v.After
	if v.Treatment != nil && v.Treatment.Event != nil {
		of = v.Treatment.Event.Of
	}
	find := func(id string) (Visit, bool) {
		i := slices.IndexFunc(earlier, func(e Visit) bool { return e.ID == id && id != "" })
		if i < 0 {
			return Visit{}, false
		}
		return earlier[i], true
	}
	switch _, known := find(of); {
	case known:
		next = of
	case laid(v):
		return v, true
	case of == Elsewhere || of == Unknown:
		return Visit{}, false
	}
	for range len(earlier) {
		e, known := find(next)
		if !known {
			break
		}
		if laid(e) {
			return e, true
		}
		next = e.After
	}
	return Visit{}, false
}

func laid(v Visit) bool {
	return v.Treatment != nil && len(v.Treatment.Rows)+len(v.Treatment.Syringes) > 0
}
