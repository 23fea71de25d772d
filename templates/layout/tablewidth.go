package layout

// widths are the columns of a table: their widths, the air between them, and for columns aligned on the
// decimal sign its distance from the column's start side.
type widths struct {
	width []Length
	gap   Length
	sign  []Length
	// stacked says that the first column stands above the others.
	stacked bool
}

func (w widths) x(col int) Length {
	var x Length
	for i := range col {
		if i > 0 || !w.stacked {
			x += w.width[i] + w.gap
		}
	}
	return x
}

func (w widths) span(col, across int) Length {
	span := w.gap * Length(across-1)
	for _, own := range w.width[col : col+across] {
		span += own
	}
	return span
}

// tableKey is a table in a measure.
type tableKey struct {
	table   *Table
	measure Length
}

// columnsOf gives the columns of a table, measured once for a paper.
func (b *builder) columnsOf(v *Table, measure Length) widths {
	key := tableKey{v, measure}
	w, known := b.sizes[key]
	if !known {
		if b.stacks(v) {
			w = b.stackedColumns(v, measure)
		} else {
			w = b.measureColumns(v, measure)
		}
		b.sizes[key] = w
	}
	return w
}

// measureColumns divides the measure. Columns that must not wrap get their natural width first, where
// that leaves every other column its longest word; the rest is shared by Share, no column narrower than
// its longest word unless all of these together are too wide. Where the shares would cost lines, columns give
// to one another.
func (b *builder) measureColumns(v *Table, measure Length) widths {
	n := len(v.Columns)
	w := widths{gap: min(b.sheet.Gutter, measure/Length(2*n)), sign: make([]Length, n)}
	least, natural, bare := make([]Length, n), make([]Length, n), make([]Length, n)
	before, behind := make([]Length, n), make([]Length, n)
	cells := make([]Length, n*len(v.Rows))
	for i := range v.Columns {
		b.measureColumn(v, i, &least[i], &natural[i], &bare[i], cells)
		if v.Columns[i].Align == AlignDecimal {
			before[i], behind[i] = b.measureSign(v, i)
			natural[i] = max(natural[i], before[i]+behind[i])
		}
	}
	// Columns stand up to twice as far apart where all cells stay on one line.
	spare := measure
	for _, l := range natural {
		spare -= l
	}
	if n > 1 {
		w.gap = max(w.gap, min(2*w.gap, spare/Length(n-1)))
	}
	free := measure - w.gap*Length(n-1)
	w.width = b.evenedColumns(v, sharedWidths(v, free, least, natural, bare), least, cells, w.gap)
	for i := range v.Columns {
		w.sign[i] = w.width[i] - behind[i]
	}
	return w
}

func sharedWidths(v *Table, free Length, least, natural, bare []Length) []Length {
	n := len(v.Columns)
	fixed := make([]Length, n) // 0: by share
	var need, widest Length
	others := 0
	for i, c := range v.Columns {
		least[i] = max(least[i], 1)
		natural[i] = max(natural[i], least[i])
		need += least[i]
		if c.NoWrap || c.Align == AlignDecimal {
			widest += natural[i]
		} else {
			widest += least[i]
			others++
		}
	}
	if need > free {
		return squeezed(free, least, bare)
	}
	if widest <= free {
		for i, c := range v.Columns {
			if others > 0 && (c.NoWrap || c.Align == AlignDecimal) {
				fixed[i] = natural[i]
			} else if c.NoWrap || c.Align == AlignDecimal {
				least[i] = natural[i]
			}
		}
	}
	for {
		out := byShare(v, free, fixed)
		again := false
		for i := range out {
			if fixed[i] == 0 && out[i] < least[i] {
				fixed[i], again = least[i], true
			}
		}
		if !again {
			return out
		}
	}
}

// byShare gives fixed columns their width and divides what is left among the others.
func byShare(v *Table, free Length, fixed []Length) []Length {
	left := free
	var shares []int
	for i, c := range v.Columns {
		left -= fixed[i]
		if fixed[i] == 0 {
			shares = append(shares, c.Share)
		}
	}
	parts := divided(left, len(shares), shares)
	out := make([]Length, len(fixed))
	for i, f := range fixed {
		if out[i] = f; f == 0 {
			out[i], parts = parts[0], parts[1:]
		}
	}
	return out
}

// squeezed divides a measure that is too narrow for all longest words: each column has room for its box
// and a character, and a part of the rest that follows its longest word.
func squeezed(free Length, least, bare []Length) []Length {
	out := make([]Length, len(least))
	var sum, more Length
	for i := range least {
		sum += bare[i]
		more += max(least[i]-bare[i], 0)
	}
	for i := range out {
		if sum > free {
			out[i] = max(scaled(free, int64(bare[i]), int64(sum)), 1)
			continue
		}
		out[i] = bare[i] + scaled(free-sum, int64(max(least[i]-bare[i], 0)), int64(more))
	}
	return out
}

// measureColumn finds the widest word and the widest cell of a column, and what is the least for a box
// and a character.
func (b *builder) measureColumn(v *Table, col int, least, natural, bare *Length, cells []Length) {
	st := b.style(RoleTable)
	*bare = st.Size
	see := func(text []Span, strong bool, more Length) Length {
		mn := manner{role: RoleTable, strong: strong}
		own := b.set.natural(text, st, mn) + more
		*natural = max(*natural, own)
		if own <= *least {
			return own // no word of it is wider than the whole
		}
		for _, word := range longest(text) {
			*least = max(*least, b.set.natural(word, st, mn)+more)
		}
		return own
	}
	see(v.Columns[col].Head, true, 0)
	for i := range v.Rows {
		row := &v.Rows[i]
		if c, ok := cellAt(row, col); ok {
			more := Length(0)
			if row.Cells[c].Box {
				more = b.sheet.Box + textGap
				*least, *natural, *bare = max(*least, more), max(*natural, more), st.Size+more
			}
			cells[i*len(v.Columns)+col] = see(row.Cells[c].Text, row.Total || row.Header && c == 0, more)
		}
	}
}

// cellAt finds the cell of a row that has exactly this column.
func cellAt(r *Row, col int) (int, bool) {
	at := 0
	for i := range r.Cells {
		across := max(r.Cells[i].Across, 1)
		if at == col {
			return i, across == 1
		}
		at += across
	}
	return 0, false
}
