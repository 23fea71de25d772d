package layout

// A flow is a column of strips, top to bottom. A strip is a band that paging never cuts: a line of text,
// a rule, a row of fields. Positions inside a flow are logical: X counts from the side where reading
// starts, so that one computation serves both directions; emission mirrors it.
type strip struct {
	block   string // id of the block that made it
	x       Length // shift from the start side of its flow
	height  Length
	before  Length // air wanted above; the larger of it and the after of the strip above is taken
	after   Length // air wanted below
	base    Length // baseline, from the top; 0 none
	level   hold   // how strongly it holds on to the strip above
	next    hold   // how strongly it holds on to the strip below
	forced  bool   // starts a new page
	drop    bool   // air or a rule that vanishes at the top of a page
	unit    *unit  // that it belongs to and that no page can hold
	tall    bool   // sides that no page can hold
	free    bool   // sides that may be parted although a page could hold them
	yields  bool   // sides that are parted where the page would have a hole otherwise
	minimum Length // least height of sides
	contPad Length // air above, where a panel continues from the page before
	endPad  Length // air needed below, where a panel goes on to the next page
	frags   []frag
	sides   []side
	decos   []*deco
	repeat  []strip // head of the table, for a page that starts here
	entry   *OutlineEntry
}

// hold grades how bad it is to break a page between two strips.
type hold uint8

const (
	holdNone    hold = iota // break here at will
	holdSoft                // the first and the last two rows of a table or items of a list, unless the page would have a hole
	holdTail                // a signature and the text before it
	holdUnit                // inside a row, an item, a panel
	holdClose               // a heading and its text; the first and last lines of a paragraph
	holdPadding             // the padding of a panel, the rule of a row
)

// frag is an item of a strip. Rect.X counts from the start side, Rect.Y from the top of the strip.
type frag struct {
	item  Item
	el    *Element // nil: artifact
	span  *Element // a passage of el in another language
	off   Length   // of a piece of a line: distance from the left end of the line, in both directions
	field string
}

// unit is a part of a paper that should stay whole.
type unit struct{ block string }

// side is one of several flows that stand beside one another.
type side struct {
	x      Length
	flow   []strip
	turned Length  // width of a column that reads the other way than the paper; 0 of one that does not
	again  []strip // what stands here on the next page, if all of the flow is on this one; no content
}

// deco is what a panel paints behind its strips.
type deco struct {
	tone     Tone
	x, width Length
}

// gap is the air between two strips that follow one another.
func gap(above, below *strip) Length { return max(above.after, below.before) }

// held tells how strongly two strips hold together.
func held(above, below *strip) hold { return max(above.next, below.level) }

// height is what a flow takes, with no air above its first strip and none below its last.
func height(flow []strip) Length { return extent(dropTrailing(dropLeading(flow))) }

// extent is the height of a flow that keeps its air at either end.
func extent(flow []strip) Length {
	var y Length
	for i := range flow {
		if i > 0 {
			y += gap(&flow[i-1], &flow[i])
		} else {
			y += flow[i].contPad
		}
		y += flow[i].height
	}
	return y
}

// dropLeading leaves out what vanishes at the top of a page. What forces a page stays noted.
func dropLeading(flow []strip) []strip {
	for len(flow) > 0 && flow[0].drop {
		flow = flow[1:]
	}
	return flow
}

// beside makes one strip of flows that stand side by side.
func beside(block string, room, minimum Length, sides ...side) strip {
	s := strip{block: block, sides: sides, minimum: minimum}
	s.fit()
	s.tall = s.height > room
	return s
}

func (s *strip) fit() {
	s.height = s.minimum
	for _, d := range s.sides {
		s.height = max(s.height, height(d.flow))
	}
}

// shift moves a flow away from the start side.
func shift(flow []strip, x Length) []strip {
	moved := map[*deco]bool{}
	again := map[*strip][]strip{}
	for i := range flow {
		s := &flow[i]
		s.x += x
		for _, d := range s.decos {
			if !moved[d] {
				d.x, moved[d] = d.x+x, true
			}
		}
		if len(s.repeat) > 0 {
			s.repeat = copied(s.repeat, again, func(c *strip) { c.x += x })
		}
	}
	return flow
}

// copied changes a copy of a repeated head, the same copy for every row that shares the head.
func copied(head []strip, known map[*strip][]strip, change func(*strip)) []strip {
	if got, ok := known[&head[0]]; ok {
		return got
	}
	out := append([]strip(nil), head...)
	for i := range out {
		change(&out[i])
	}
	known[&head[0]] = out
	return out
}

// level gives flows that stand beside one another a common first baseline.
func level(flows ...[]strip) {
	var base Length
	for _, f := range flows {
		if len(f) > 0 {
			base = max(base, f[0].base)
		}
	}
	for _, f := range flows {
		if len(f) > 0 && f[0].base > 0 {
			f[0].sink(base - f[0].base)
		}
	}
}

// sink moves the content of a strip down.
func (s *strip) sink(by Length) {
	for i := range s.frags {
		s.frags[i].item.Rect.Y += by
	}
	s.base += by
	s.height += by
}

// glue holds the strips of a flow together with at least h.
func glue(flow []strip, h hold) []strip {
	for i := 1; i < len(flow); i++ {
		flow[i].level = max(flow[i].level, h)
	}
	return flow
}

// air sets the space above and below a flow.
func air(flow []strip, before, after Length) []strip {
	if len(flow) > 0 {
		flow[0].before = before
		flow[len(flow)-1].after = after
	}
	return flow
}

// scaled is l × num / den, rounded down, without overflow.
func scaled(l Length, num, den int64) Length {
	if den == 0 {
		return 0
	}
	return Length(int64(l) * num / den)
}
