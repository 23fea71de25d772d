package layout

import (
	"strings"
	"unicode"
)

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
