package layout

// evening divides a measure among columns so that the rows together cost few lines.
type evening struct {
	rows  [][]evenCell
	gap   Length   // between columns
	least []Length // per column
	fixed []bool   // per column: it neither gives nor takes
}

// evenCell is the text of a row in one column or across several, and its width on one line.
type evenCell struct {
	col, across int
	natural     Length
	item        int // of a grid
}

// evened lets columns give to one another until the rows together cost the fewest lines that can be had. The widths
// stay as they are where that saves no line.
func (e *evening) evened(width []Length) []Length {
	best := append([]Length(nil), width...)
	cost := e.cost(best)
	var free Length
	for _, w := range width {
		free += w
	}
	for step := free / 8; step >= free/128 && step > 0; step /= 2 {
		for again := true; again; {
			again = false
			for from := range best {
				for to := range best {
					if from == to || e.fixed[from] || e.fixed[to] || best[from]-step < e.least[from] {
						continue
					}
					best[from], best[to] = best[from]-step, best[to]+step
					if c := e.cost(best); c < cost {
						cost, again = c, true
						continue
					}
					best[from], best[to] = best[from]+step, best[to]-step
				}
			}
		}
	}
	if e.lines(best) >= e.lines(width) {
		return width
	}
	return best
}

// room is the width that a cell has.
func (e *evening) room(c *evenCell, width []Length) Length {
	w := e.gap * Length(c.across-1)
	for _, own := range width[c.col : c.col+c.across] {
		w += own
	}
	return max(w, 1)
}

// perLine is what a line counts in a cost.
const perLine = 1000

// cost is the height of all rows in thousandths of a line, as if words could be parted anywhere: it has no steps, so
// that small changes tell.
func (e *evening) cost(width []Length) int64 {
	var sum int64
	for _, row := range e.rows {
		most := int64(perLine)
		for i := range row {
			most = max(most, int64(row[i].natural)*perLine/int64(e.room(&row[i], width)))
		}
		sum += most
	}
	return sum
}

// lines is about how many lines all rows take: lines that break between words leave some 8 percent of their column
// empty (from memory: the usual loss of a ragged edge at 25 to 40 characters).
func (e *evening) lines(width []Length) int {
	sum := 0
	for _, row := range e.rows {
		most := 1
		for i := range row {
			if w := e.room(&row[i], width); row[i].natural > w {
				most = max(most, int((row[i].natural*108/100+w-1)/w), 2)
			}
		}
		sum += most
	}
	return sum
}

// evenedColumns is evened for a table whose columns have these widths.
func (b *builder) evenedColumns(v *Table, width, least, cells []Length, gap Length) []Length {
	n := len(width)
	e := evening{gap: gap, least: make([]Length, n), fixed: make([]bool, n)}
	for i, c := range v.Columns {
		e.fixed[i] = c.NoWrap || c.Align == AlignDecimal
		e.least[i] = headed(max(least[i], min(width[i], width[i]*keptShare/100)), width[i], b.set.natural(c.Head, b.style(RoleTable), manner{strong: true}))
	}
	for r := range v.Rows {
		var row []evenCell
		for c := range n {
			row = append(row, evenCell{c, 1, cells[r*n+c], 0})
		}
		e.rows = append(e.rows, row)
	}
	best := e.evened(width)
	for i := range v.Rows {
		for c := range best {
			if best[c] < width[c] && b.bursts(v, i, c, best[c]) {
				return width
			}
		}
	}
	return best
}

// keptShare is how much of its share a column keeps in percent, so that none becomes a thread of short lines; common
// practice, no source.
const keptShare = 75

// bursts tells that a word of a cell is wider than its column would be.
func (b *builder) bursts(v *Table, i, col int, width Length) bool {
	row := &v.Rows[i]
	c, ok := cellAt(row, col)
	if !ok {
		return false
	}
	if row.Cells[c].Box {
		width -= b.sheet.Box + textGap
	}
	mn := manner{role: RoleTable, strong: row.Total || row.Header && c == 0}
	return b.set.measure(row.Cells[c].Text, b.style(RoleTable), mn, width).Overfull
}

// headed is the least of a column that keeps its head on one line where it has that now.
func headed(least, width, head Length) Length {
	if head <= width {
		return max(least, head)
	}
	return least
}

// evenedGrid is evened for the columns of a grid. One in which something is to be written keeps its columns.
func (b *builder) evenedGrid(v *Grid, width []Length) []Length {
	e := evening{gap: b.sheet.Gutter, least: make([]Length, len(width)), fixed: make([]bool, len(width))}
	for i := range e.least {
		e.least[i] = width[i] * 2 / 3
	}
	at := 0
	var row []evenCell
	for i := range v.Items {
		item := &v.Items[i]
		if blank(item.Value) {
			return width
		}
		n := across(item, len(width))
		if at+n > len(width) {
			e.rows, row, at = append(e.rows, row), nil, 0
		}
		natural := max(b.set.natural(item.Value, b.style(RoleBody), manner{}), b.set.natural(item.Label, b.style(RoleLabel), manner{quiet: true}))
		row = append(row, evenCell{at, n, natural, i})
		if n == 1 {
			label := b.set.natural(item.Label, b.style(RoleLabel), manner{quiet: true})
			e.least[at] = headed(max(e.least[at], b.widestWord(item)), width[at], label)
		}
		at += n
	}
	e.rows = append(e.rows, row)
	best := e.evened(width)
	for _, row := range e.rows {
		for i := range row {
			room := e.room(&row[i], best)
			if room < e.room(&row[i], width) && b.set.measure(v.Items[row[i].item].Value, b.style(RoleBody), manner{}, room).Overfull {
				return width
			}
		}
	}
	return best
}

// widestWord is the width of the widest word of a grid's item.
func (b *builder) widestWord(item *GridItem) Length {
	var w Length
	for _, word := range longest(item.Value) {
		w = max(w, b.set.natural(word, b.style(RoleBody), manner{}))
	}
	for _, word := range longest(item.Label) {
		w = max(w, b.set.natural(word, b.style(RoleLabel), manner{quiet: true}))
	}
	return w
}
