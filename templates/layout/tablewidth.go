package layout

import (
	"sort"
	"strings"
	"unicode"
)

// widths are the columns of a table: their widths, the air between them, and for columns aligned on the
// decimal sign its distance from the column's start side.
type widths struct {
	width []Length
	gap   Length
	sign  []Length
}

func (w widths) x(col int) Length {
	var x Length
	for i := range col {
		x += w.width[i] + w.gap
	}
	return x
}

func (w widths) span(col, across int) Length {
	return w.x(col+across) - w.gap - w.x(col)
}

// measureColumns divides the measure. Columns that must not wrap get their natural width first, where
// that leaves every other column its longest word; the rest is shared by Share, no column narrower than
// its longest word unless all of these together are too wide.
func (b *builder) measureColumns(v *Table, measure Length) widths {
	n := len(v.Columns)
	w := widths{gap: min(b.sheet.Gutter, measure/Length(2*n)), sign: make([]Length, n)}
	least, natural, bare := make([]Length, n), make([]Length, n), make([]Length, n)
	before, behind := make([]Length, n), make([]Length, n)
	for i := range v.Columns {
		b.measureColumn(v, i, &least[i], &natural[i], &bare[i])
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
	w.width = sharedWidths(v, free, least, natural, bare)
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
func (b *builder) measureColumn(v *Table, col int, least, natural, bare *Length) {
	st := b.style(RoleTable)
	*bare = st.Size
	see := func(text []Span, strong bool, more Length) {
		mn := manner{role: RoleTable, strong: strong}
		*natural = max(*natural, b.set.natural(text, st, mn)+more)
		for _, word := range longest(text) {
			*least = max(*least, b.set.natural(word, st, mn)+more)
		}
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
			see(row.Cells[c].Text, row.Total || row.Header && c == 0, more)
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

// longest gives the words of a text that are likely to be the widest: the three of most characters.
// Where a script breaks between characters, each is a word.
func longest(spans []Span) [][]Span {
	type word struct {
		spans []Span
		runes int
	}
	var words []word
	var open word
	flush := func() {
		if open.runes > 0 {
			words = append(words, open)
		}
		open = word{}
	}
	for _, s := range spans {
		if s.Blank > 0 {
			flush()
			words = append(words, word{[]Span{s}, int(s.Blank/Pt)/4 + 1})
			continue
		}
		for _, part := range chunks(s.Text) {
			if strings.TrimSpace(part) == "" || part == "\u200b" {
				flush()
				continue
			}
			p := s
			p.Text = part
			open.spans = append(open.spans, p)
			open.runes += len([]rune(part))
			if breaksAfter(part) {
				flush()
			}
		}
	}
	flush()
	sort.SliceStable(words, func(i, j int) bool { return words[i].runes > words[j].runes })
	var out [][]Span
	for i := 0; i < len(words) && i < 3; i++ {
		out = append(out, words[i].spans)
	}
	return out
}

// chunks cuts a text so that every place where a line may end lies between two chunks.
func chunks(s string) []string {
	var out []string
	from := 0
	var last rune
	for i, r := range s {
		if i > from && (gapRune(r) || gapRune(last) || eastern(r) || eastern(last) || last == '-' || last == '\u00ad') {
			out = append(out, s[from:i])
			from = i
		}
		last = r
	}
	return append(out, s[from:])
}

func gapRune(r rune) bool {
	return r == '\u200b' || unicode.IsSpace(r) && r != '\u00a0' && r != '\u202f' && r != '\u2007'
}

func breaksAfter(part string) bool {
	r := []rune(part)
	last := r[len(r)-1]
	return last == '-' || last == '\u00ad' || eastern(last)
}

// eastern tells that lines may end beside a character without a space (UAX #14, classes ID and H2/H3).
func eastern(r rune) bool {
	return unicode.In(r, unicode.Han, unicode.Hiragana, unicode.Katakana, unicode.Hangul)
}

// measureSign finds the widest part before and after the decimal sign, counted from the start side.
func (b *builder) measureSign(v *Table, col int) (before, behind Length) {
	st := b.style(RoleTable)
	for i := range v.Rows {
		row := &v.Rows[i]
		c, ok := cellAt(row, col)
		if !ok || row.Cells[c].Box || blank(row.Cells[c].Text) {
			continue
		}
		mn := manner{role: RoleTable, strong: row.Total || row.Header && c == 0}
		at := b.signAt(row.Cells[c].Text, mn)
		before = max(before, at)
		behind = max(behind, b.set.natural(row.Cells[c].Text, st, mn)-at)
	}
	return before, behind
}

// signAt is the distance of the decimal sign from the start side of a text. Numbers run left to right
// in every script: in a right-to-left table it is their fraction that lies on the start side.
func (b *builder) signAt(text []Span, mn manner) Length {
	st := b.style(RoleTable)
	from, sign, to := number(textOf(text))
	if b.doc.Direction == LeftToRight {
		return b.set.natural(cutSpans(text, 0, sign), st, mn)
	}
	return b.set.natural(cutSpans(text, 0, from), st, mn) + b.set.natural(cutSpans(text, sign, to), st, mn)
}

// number finds the byte offsets of a text's first number: its start, its decimal sign (the last of "."
// "," and U+066B that digits follow) or where that would stand, and its end.
func number(s string) (from, sign, to int) {
	from, sign, to = -1, -1, len(s)
	for i, r := range s {
		digit := unicode.IsDigit(r)
		switch {
		case from < 0 && digit:
			from = i
		case from >= 0 && !digit && r != '.' && r != ',' && r != '\u066b' && r != '\u066c':
			to = i
		}
		if to < len(s) {
			break
		}
	}
	if from < 0 {
		return len(s), len(s), len(s)
	}
	body := strings.TrimRight(s[from:to], ".,\u066b\u066c")
	to = from + len(body)
	if i := strings.LastIndexAny(body, ".,\u066b"); i > 0 {
		return from, from + i, to
	}
	return from, to, to
}

// cutSpans gives bytes from to to of the spans' text.
func cutSpans(spans []Span, from, to int) []Span {
	var out []Span
	for _, s := range spans {
		a, z := min(max(from, 0), len(s.Text)), min(max(to, 0), len(s.Text))
		if a < z {
			p := s
			p.Text = s.Text[a:z]
			out = append(out, p)
		}
		from, to = from-len(s.Text), to-len(s.Text)
	}
	return out
}
