package layout

// Below parts two passages that stand in one place, one below the other: each is set in its own language and
// direction, and lines of a passage that runs the other way than the paper start at their own side.
var Below = Span{Text: "\u2029"} // PARAGRAPH SEPARATOR

// Beside parts two passages that say the same in two languages, as the labels of fields do: one behind the other where
// a line holds both, otherwise one below the other without the sign.
var Beside = Span{Text: " · ", Ink: InkQuiet}

// Joint parts the texts of a running line. Where a line does not hold all of them it ends before a joint, which is then
// left out.
var Joint = Span{Text: "\u00a0· "}

// parted cuts spans at a mark; of spans without it there is one part, and no parts are given.
func parted(spans []Span, mark Span) [][]Span {
	var parts [][]Span
	from := 0
	for i := range spans {
		if marks(&spans[i], mark) {
			parts = append(parts, spans[from:i])
			from = i + 1
		}
	}
	if from == 0 {
		return nil
	}
	return append(parts, spans[from:])
}

// marks says whether a span is a mark, whatever language it was given.
func marks(s *Span, mark Span) bool {
	return s.Text == mark.Text && (mark.Ink == InkText || s.Ink == mark.Ink)
}

// passages are the parts of spans that stand one below the other in a column, nil where they are one passage.
func (t *setter) passages(spans []Span, st TextStyle, mn manner, width Length) [][]Span {
	if parts := parted(spans, Below); parts != nil {
		return parts
	}
	if width <= 0 {
		return nil
	}
	beside, joint := false, false
	for i := range spans {
		beside, joint = beside || marks(&spans[i], Beside), joint || marks(&spans[i], Joint)
	}
	switch {
	case !beside && !joint || t.natural(spans, st, mn) <= width:
		return nil
	case beside:
		return parted(spans, Beside)
	}
	return t.unjoined(spans, st, mn, width)
}

// unjoined cuts spans at joints, as many texts to a part as a line holds.
func (t *setter) unjoined(spans []Span, st TextStyle, mn manner, width Length) [][]Span {
	var parts [][]Span
	from, at := 0, 0 // where the part begins, and the joint behind its last text, if it has one yet
	for i := 0; i <= len(spans); i++ {
		if i < len(spans) && !marks(&spans[i], Joint) {
			continue
		}
		if at > from && t.natural(spans[from:i], st, mn) > width {
			parts = append(parts, spans[from:at])
			from = at + 1
		}
		at = i
	}
	return append(parts, spans[from:])
}

// stacked gathers the lines of passages that stand one below the other.
func (t *setter) stacked(parts [][]Span, set func([]Span) []Line) []Line {
	var out []Line
	for _, part := range parts {
		lines := append([]Line(nil), set(part)...)
		turned := t.direction(t.langOf(part)) != t.dir
		for i := range lines {
			lines[i].Turned = turned
			lines[i].Opens = i == 0 && len(out) > 0
			lines[i].Sole = len(lines) == 1
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

// pairLines is how many lines a passage in two languages may take and still stay whole; common practice, no source.
const pairLines = 6

// holdPair keeps a short passage in two languages whole. In a longer one either language has at least as many lines
// on each side of a break as a passage alone, and the second begins below the first where little is lost by it.
func holdPair(flow []strip, lines []Line, least int) {
	from := 0
	for i := range lines {
		if !lines[i].Opens {
			continue
		}
		for k := from; k < len(flow); k++ {
			switch {
			case k > 0 && len(flow) <= pairLines:
				flow[k].level = max(flow[k].level, holdUnit)
			case k == i:
				flow[k].level = max(flow[k].level, holdSoft)
			case k > i && k < i+least, k < i && k > i-least && k > from:
				flow[k].level = max(flow[k].level, holdClose)
			}
		}
		from = i
	}
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
	if l.Turned && !(mn.kept && l.Sole) {
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
