package text

import "philtrum/templates/layout"

// resolveLevels applies UAX #9. Isolated are a passage in a language of the other direction, with the direction of
// that language, and each value, with the direction of its first strong rune.
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
	a.embed(req, 0, len(a.runes), base, base)
}

// embed resolves the runes [start, end) of the direction own, which the paragraph has or a passage in another
// language. An isolate counts as one neutral rune in the text around it.
func (a *analyst) embed(req *layout.Request, start, end int, own, level uint8) {
	a.outer, a.outerAt = a.outer[:0], a.outerAt[:0]
	for i := start; i < end; {
		if next, _ := a.isolated(req, i, end, own, level); next > i {
			a.outer, a.outerAt = append(a.outer, object), append(a.outerAt, -1)
			i = next
			continue
		}
		a.outer, a.outerAt = append(a.outer, a.runes[i]), append(a.outerAt, i)
		i++
	}
	for k, resolved := range a.bidi.resolve(a.outer, own) {
		if at := a.outerAt[k]; at >= 0 {
			a.levels[at] = resolved - own + level
		}
	}
	for i := start; i < end; i++ {
		next, value := a.isolated(req, i, end, own, level)
		switch {
		case next == i:
			continue
		case value:
			a.isolate(i, next, level)
		default:
			a.embed(req, i, next, 1-own, level+1)
		}
		i = next - 1
	}
}

// isolated is the end of the isolate that begins at rune i, i if none does there. Passages are isolated from the
// paragraph's own text only.
func (a *analyst) isolated(req *layout.Request, i, end int, own, level uint8) (next int, value bool) {
	if level < 2 && otherWay(&req.Spans[a.span[i]], own) {
		for next = i + 1; next < end; next++ {
			if at := a.span[next]; at != a.span[next-1] && !otherWay(&req.Spans[at], own) {
				break
			}
		}
		return next, false
	}
	if !req.Spans[a.span[i]].Value {
		return i, false
	}
	for next = i + 1; next < end && a.span[next] == a.span[i]; {
		next++
	}
	return next, true
}

// otherWay says whether a span is in a language that runs the other way.
func otherWay(span *layout.Span, own uint8) bool {
	return span.Lang != "" && span.Lang != noLanguage && uint8(layout.DirectionOf(span.Lang)) != own
}

// noLanguage is the tag of what is in no language, as a lot number is (BCP 47).
const noLanguage = "zxx"

// isolate resolves a value by itself at the next level of its direction above that of the text around it
// (rules X5a to X5c).
func (a *analyst) isolate(start, end int, around uint8) {
	own := firstStrong(a.runes[start:end])
	lift := around + 1
	if lift%2 != own {
		lift++
	}
	for k, level := range a.bidi.resolve(a.runes[start:end], own) {
		a.levels[start+k] = level - own + lift
	}
}
