package layout

// Below parts two passages that stand in one place, one below the other: each is set in its own language and
// direction, and lines of a passage that runs the other way than the paper start at their own side.
var Below = Span{Text: "\u2029"} // PARAGRAPH SEPARATOR

// parted cuts spans at [Below]; of spans without it there is one part.
func parted(spans []Span) [][]Span {
	var parts [][]Span
	from := 0
	for i := range spans {
		if spans[i].Text == Below.Text {
			parts = append(parts, spans[from:i])
			from = i + 1
		}
	}
	if from == 0 {
		return nil
	}
	return append(parts, spans[from:])
}

// stacked sets passages one below the other.
func (t *setter) stacked(parts [][]Span, st TextStyle, mn manner, width Length) []Line {
	var out []Line
	for _, part := range parts {
		lines := append([]Line(nil), t.lines(part, st, mn, width)...)
		turned := t.direction(t.langOf(part)) != t.dir
		for i := range lines {
			lines[i].Turned = turned
			lines[i].Opens = i == 0 && len(out) > 0
		}
		out = append(out, lines...)
	}
	return out
}

// stackedExtent is the extent of the lines that stacked gives.
func (t *setter) stackedExtent(parts [][]Span, st TextStyle, mn manner, width Length) Extent {
	var all Extent
	for _, part := range parts {
		e := t.measure(part, st, mn, width)
		all.Lines += e.Lines
		all.Widest = max(all.Widest, e.Widest)
		all.Last, all.Overfull = e.Last, all.Overfull || e.Overfull
	}
	return all
}

// belowAir is the air between two passages in one place; common practice, no source.
var belowAir = MM(0.8)

// start is where a line of a passage stands, from the start side of its column.
func (mn manner) start(l *Line, first bool, width Length) Length {
	x := place(mn.align, width, l.Width)
	if mn.align != AlignStart {
		return x
	}
	if !first && !l.Opens {
		x = mn.hang
	}
	if l.Turned && !mn.kept {
		x = max(width-l.Width-x, 0)
	}
	return x
}

// turn is a column in which reading starts at the other side.
type turn struct{ x, width Length }

// across mirrors a distance within the column.
func (t turn) across(x, width Length) Length {
	if t.width == 0 {
		return x
	}
	return 2*t.x + t.width - x - width
}
