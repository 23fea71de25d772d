package layout

// Columns of boxes; common practice, no source.
const (
	mostColumns = 5
	// leastColumn is how narrow a column may be whose labels wrap, in sizes of the type: some 20 characters.
	leastColumn = 10
)

// ticksIn is a way to set boxes: the widths of the columns, and for each box the column where it starts and how many
// it has. A box that starts in the first column begins a row.
type ticksIn struct {
	cols []Length
	at   []int
	many []int
}

// ticksWith gives the way in which boxes cost the least height, with as few columns as do.
func (b *builder) ticksWith(boxes []TickBox, labels []Length, width Length) ticksIn {
	best := inRows([]Length{width}, len(boxes))
	least := b.ticksHeight(boxes, best, width)
	try := func(way ticksIn) {
		if h := b.ticksHeight(boxes, way, width); h < least {
			best, least = way, h
		}
	}
	for n := 2; n <= min(mostColumns, len(boxes)); n++ {
		if cols := b.columnsOfTicks(labels, n, width); cols != nil {
			try(inRows(cols, len(boxes)))
		}
	}
	for _, l := range labels {
		if first := b.tickHead() + l + 1; first >= width*2/5 && first <= width*3/5 {
			try(b.acrossColumns(labels, []Length{first, width - b.tickApart() - first}))
		}
	}
	return best
}

// tickHead is the width of a box and the air behind it.
func (b *builder) tickHead() Length { return b.sheet.Box + textGap }

// inRows fills the columns of each row, one box a column.
func inRows(cols []Length, boxes int) ticksIn {
	way := ticksIn{cols: cols}
	for k := range boxes {
		way.at, way.many = append(way.at, k%len(cols)), append(way.many, 1)
	}
	return way
}

// acrossColumns gives a box a column where its label stays on one line in it, and a row of its own otherwise.
func (b *builder) acrossColumns(labels []Length, cols []Length) ticksIn {
	way := ticksIn{cols: cols}
	at := 0
	for _, l := range labels {
		own := b.tickHead() + l + 1
		for at < len(cols) && at > 0 && own > cols[at] {
			at++
		}
		at %= len(cols)
		many := 1
		if own > cols[at] {
			many = len(cols)
		}
		way.at, way.many = append(way.at, at), append(way.many, many)
		at = (at + many) % len(cols)
	}
	return way
}

// place gives where a box starts and the width that it has.
func (b *builder) place(way ticksIn, k int) (x, own Length) {
	for c := range way.at[k] + way.many[k] {
		if c < way.at[k] {
			x += way.cols[c] + b.tickApart()
		} else {
			own += way.cols[c]
		}
	}
	return x, own + b.tickApart()*Length(way.many[k]-1)
}

// columnsOfTicks divides a width among n columns of boxes: what is over is shared alike, what is lacking is taken
// from the widest. Nil: a column would be too narrow.
func (b *builder) columnsOfTicks(labels []Length, n int, width Length) []Length {
	head := b.tickHead()
	cols := make([]Length, n)
	for k, l := range labels {
		cols[k%n] = max(cols[k%n], head+l+1)
	}
	room := width - Length(n-1)*b.tickApart()
	var sum Length
	for _, c := range cols {
		sum += c
	}
	if sum <= room {
		for k := range cols {
			cols[k] += (room - sum) / Length(n)
		}
		return cols
	}
	most := b.cappedAt(cols, room)
	if most < head+leastColumn*b.style(RoleBody).Size {
		return nil
	}
	for k := range cols {
		cols[k] = min(cols[k], most)
	}
	return cols
}

// cappedAt is the greatest width that columns may have so that they fit together into a room.
func (b *builder) cappedAt(cols []Length, room Length) Length {
	left, many := room, len(cols)
	done := make([]bool, len(cols))
	for again := true; again && many > 0; {
		again = false
		for k, c := range cols {
			if !done[k] && c <= left/Length(many) {
				done[k], again = true, true
				left, many = left-c, many-1
				break
			}
		}
	}
	return left / Length(max(many, 1))
}

// ticksHeight is the height of boxes set in a way.
func (b *builder) ticksHeight(boxes []TickBox, way ticksIn, width Length) Length {
	st := b.style(RoleBody)
	var total, row Length
	for k := range boxes {
		if way.at[k] == 0 {
			total, row = total+row, 0
		}
		_, own := b.place(way, k)
		e := b.set.measure(boxes[k].Label, st, manner{}, own-b.tickHead())
		lines := e.Lines
		if own < width && (e.Overfull || len(way.cols) == 2 && lines > 3 || len(way.cols) > 2 && lines > 2) {
			lines += len(boxes) // hard to read across
		}
		row = max(row, max(Length(lines)*st.Leading, b.sheet.Box)+MM(1))
	}
	return total + row
}
