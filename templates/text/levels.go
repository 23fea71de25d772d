package text

import "philtrum/templates/layout"

// resolveLevels applies UAX #9, each value isolated with the direction of its first strong rune.
func (a *analyst) resolveLevels(req *layout.Request) {
	base := uint8(0)
	if req.Direction == layout.RightToLeft {
		base = 1
	}
	a.levels = a.levels[:0]
	for range a.runes {
		a.levels = append(a.levels, base)
	}
	if base == 0 && leftToRightOnly(a.runes) {
		return
	}
	a.outer, a.outerAt = a.outer[:0], a.outerAt[:0]
	for i := 0; i < len(a.runes); {
		if !req.Spans[a.span[i]].Value {
			a.outer, a.outerAt = append(a.outer, a.runes[i]), append(a.outerAt, i)
			i++
			continue
		}
		a.outer, a.outerAt = append(a.outer, object), append(a.outerAt, -1)
		end := i + 1
		for end < len(a.runes) && a.span[end] == a.span[i] {
			end++
		}
		a.isolate(i, end, base)
		i = end
	}
	for k, level := range a.bidi.resolve(a.outer, base) {
		if at := a.outerAt[k]; at >= 0 {
			a.levels[at] = level
		}
	}
}

// isolate resolves a value by itself at the next level of its direction above that of the paragraph
// (rules X5a to X5c).
func (a *analyst) isolate(start, end int, base uint8) {
	own := firstStrong(a.runes[start:end])
	lift := base + 1
	if lift%2 != own {
		lift++
	}
	for k, level := range a.bidi.resolve(a.runes[start:end], own) {
		a.levels[start+k] = level - own + lift
	}
}
