package layout

// In a sheet that stacks rows, the head of each row stands above its other cells, over the whole measure: letters
// of that size would leave three columns of text a few words a line.

// stacks tells that the rows of a table are stacked: each is three cells of running text or more.
func (b *builder) stacks(v *Table) bool {
	if !b.sheet.StackRows || len(v.Columns) < 3 || len(v.Rows) == 0 {
		return false
	}
	for _, c := range v.Columns {
		if c.NoWrap || c.Align != AlignStart {
			return false
		}
	}
	for i := range v.Rows {
		row := &v.Rows[i]
		if row.Pen || row.Total || len(row.Cells) != len(v.Columns) {
			return false
		}
		for _, c := range row.Cells {
			if c.Box || c.Across > 1 {
				return false
			}
		}
	}
	return true
}

// stackedColumns gives the first column the measure and divides it once more among the others.
func (b *builder) stackedColumns(v *Table, measure Length) widths {
	rest := &Table{Meta: v.Meta, Columns: v.Columns[1:]}
	for i := range v.Rows {
		rest.Rows = append(rest.Rows, Row{Cells: v.Rows[i].Cells[1:]})
	}
	w := b.measureColumns(rest, measure)
	w.stacked = true
	w.width = append([]Length{measure}, w.width...)
	w.sign = append([]Length{0}, w.sign...)
	return w
}

// stacked sets the first of the sides above the others and holds them together.
func (t *tableSetter) stacked(sides []side, least Length) []strip {
	over := glue(padded(sides[0].flow, rowPad, 0), holdClose)
	under := beside(t.table.ID, t.room-height(over), least, t.centred(sides[1:], least)...)
	under.level = holdClose
	return append(over, under)
}
