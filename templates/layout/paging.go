package layout

// Paging fills pages from the top. Where a strip no longer fits, the page ends at the last place where
// breaking does the least harm (see hold); a unit that no page can hold is parted at line borders and
// reported as torn.

// pageOf is the flow of one page. Forced says that a Break began it.
type pageOf struct {
	flow   []strip
	forced bool
}

// paginate parts a flow into pages; room gives the height of a page, 0-based.
func paginate(flow []strip, room func(page int) Length) ([]pageOf, []Report) {
	var pages []pageOf
	var reports []Report
	began := false
	for {
		flow = dropForced(flow, &began)
		if len(flow) == 0 {
			break
		}
		c := take(flow, room(len(pages)), forced)
		if c.torn != nil {
			reports = append(reports, Report{ID: "torn", Block: *c.torn, Page: len(pages) + 1})
		}
		pages = append(pages, pageOf{flow: c.head, forced: began})
		flow, began = c.rest, len(c.rest) > 0 && c.rest[0].forced
	}
	if len(pages) == 0 {
		pages = []pageOf{{}}
	}
	return pages, reports
}

// dropForced drops leading air and remembers a forced page in it.
func dropForced(flow []strip, began *bool) []strip {
	for len(flow) > 0 && flow[0].drop {
		*began = *began || flow[0].forced
		flow = flow[1:]
	}
	return flow
}

// portion is the outcome of filling a height: what stands there, what is left, and the block that was
// torn between them, if any.
type portion struct {
	head, rest []strip
	torn       *string
}

// hole is the part of a page that may stay empty so that rows, items or texts stand together: an eighth.
const hole = 8

// force is how far filling a height goes.
type force uint8

const (
	gentle  force = iota // take nothing rather than tear what belongs together
	tearing              // tear, but only into parts that fit
	forced               // take at least one strip, even one that is higher
)

// take fills a height with the strips of a flow.
func take(flow []strip, room Length, f force) portion {
	flow = dropLeading(flow)
	if len(flow) == 0 {
		return portion{}
	}
	lead := leading(&flow[0])
	y := flow[0].contPad
	if lead != nil {
		y = height(lead)
	}
	for i := range flow {
		s := &flow[i]
		var g Length
		if i > 0 {
			if s.forced {
				return portion{head: joined(lead, dropTrailing(flow[:i])), rest: flow[i:]}
			}
			g = gap(&flow[i-1], s)
		}
		if !s.drop && y+g+s.height+s.endPad > room {
			c := cut(flow, i, room-y-g-s.endPad, f)
			if len(c.head) > 0 {
				c.head = joined(lead, dropTrailing(c.head))
			}
			return c
		}
		y += g + s.height
	}
	return portion{head: joined(lead, flow)}
}

// dropTrailing leaves out air at the foot of a page.
func dropTrailing(flow []strip) []strip {
	for len(flow) > 0 && flow[len(flow)-1].drop {
		flow = flow[:len(flow)-1]
	}
	return flow
}

// leading is the repeated head for a page that starts with this strip.
func leading(s *strip) []strip {
	if len(s.repeat) == 0 {
		return nil
	}
	head := append([]strip(nil), s.repeat...)
	head[0].contPad = s.contPad
	return head
}

// cut ends a page at strip i or before it. Left is the height that strip i would have.
func cut(flow []strip, i int, left Length, f force) portion {
	s := &flow[i]
	if s.sides != nil && (s.free || s.tall) {
		if c, ok := part(flow, i, left, ahead(f, i)); ok {
			return c
		}
	}
	best, least := border(flow, i, left)
	if full := extent(flow[:i]) + left; s.yields && full-extent(flow[:best]) > full/hole {
		if c, ok := part(flow, i, left, ahead(f, i)); ok {
			return c
		}
	}
	if least > holdUnit && best > 0 && s.sides != nil {
		if c, ok := part(flow, i, left, tearing); ok {
			c.torn = &s.block
			return c
		}
	}
	if best == 0 {
		return first(flow, left, f)
	}
	if f == gentle && least >= holdUnit {
		return portion{rest: flow}
	}
	c := portion{head: flow[:best], rest: flow[best:]}
	switch u := flow[best].unit; {
	case u != nil && u == flow[best-1].unit:
		c.torn = &u.block
	case least >= holdUnit:
		c.torn = &flow[best].block
	}
	return c
}

// border is where a page that cannot hold strip i may end with the least harm, and how bad that is.
func border(flow []strip, i int, left Length) (int, hold) {
	best, least, soft := 0, hold(255), 0
	for j := i; j > 0; j-- {
		h := held(&flow[j-1], &flow[j])
		if h < least {
			best, least = j, h
		}
		if h == holdSoft && soft == 0 {
			soft = j
		}
	}
	if full := extent(flow[:i]) + left; soft > best && full-extent(flow[:best]) > full/hole {
		return soft, holdSoft
	}
	return best, least
}

// first places a strip that is higher than the room that it has.
func first(flow []strip, left Length, f force) portion {
	if f == gentle {
		return portion{rest: flow}
	}
	if flow[0].sides != nil {
		if c, ok := part(flow, 0, left, f); ok {
			c.torn = &flow[0].block
			return c
		}
	}
	if f != forced {
		return portion{rest: flow}
	}
	return portion{head: flow[:1], rest: flow[1:]}
}

// ahead is the force for a strip that others stand before on the page: nothing needs to be forced.
func ahead(f force, i int) force {
	if i > 0 {
		return gentle
	}
	return f
}

// part cuts strip i, whose sides stand beside one another, each side at its own border.
func part(flow []strip, i int, left Length, f force) (portion, bool) {
	s := flow[i]
	above, below := s, s
	above.sides, below.sides = nil, nil
	for _, d := range s.sides {
		c := take(d.flow, left, f)
		if len(c.head) == 0 && len(c.rest) > 0 {
			return portion{}, false
		}
		above.sides = append(above.sides, side{d.x, c.head, d.turned, nil})
		below.sides = append(below.sides, side{d.x, c.rest, d.turned, d.again})
	}
	above.minimum, below.minimum = 0, 0
	if empty(below.sides) || empty(above.sides) {
		return portion{}, false
	}
	resume(below.sides)
	above.fit()
	below.fit()
	below.forced, below.entry = false, nil
	c := portion{head: joined(flow[:i], []strip{above}), rest: joined([]strip{below}, flow[i+1:])}
	if !s.free && !s.yields {
		c.torn = &flow[i].block
	}
	return c, true
}

// resume repeats what stands beside the rest of a flow, level with its first line.
func resume(sides []side) {
	repeated := false
	for i := range sides {
		if len(sides[i].flow) == 0 && len(sides[i].again) > 0 {
			sides[i].flow, repeated = sides[i].again, true
		}
	}
	if !repeated {
		return
	}
	flows := make([][]strip, len(sides))
	for i := range sides {
		flows[i] = append([]strip(nil), sides[i].flow...)
		if len(flows[i]) > 0 {
			flows[i][0].frags = append([]frag(nil), flows[i][0].frags...)
		}
		sides[i].flow = flows[i]
	}
	level(flows...)
}

func empty(sides []side) bool {
	for _, d := range sides {
		if len(d.flow) > 0 {
			return false
		}
	}
	return true
}

// joined copies, so that flows that share memory stay as they are.
func joined(a, b []strip) []strip {
	if len(a) == 0 {
		return b
	}
	return append(append(make([]strip, 0, len(a)+len(b)), a...), b...)
}
