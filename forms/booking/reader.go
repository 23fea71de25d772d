package booking

import (
	"fmt"
	"strings"
	"unicode"

	"philtrum/forms/measure"
)

// reader turns lines into rows.
type reader struct {
	*List
	words   *words
	options Options
}

func (r *reader) read(grid []line) {
	at, _, _ := headingLine(grid, r.words, r.options.Columns)
	if at < 0 {
		r.Doubts = append(r.Doubts, Doubt{ID: "missing_column", Field: Name})
		return
	}
	r.Heading = grid[at].at
	r.columns(grid[at])
	body := grid[at+1:]
	r.timesWithDates(body)
	r.judgeOrders(body)
	day := r.options.Day
	seen := map[string]int{}
	for _, l := range body {
		if reason := r.holdsNoVisit(l); reason != "" {
			r.skip(l, reason)
			continue
		}
		if on, ok := r.dayLine(l); ok {
			day = on
			r.skip(l, "day")
			continue
		}
		row := r.row(l, day)
		key := strings.Join([]string{Fold(row.Name + row.Given + row.Family), row.Born.String(), row.On.String(), row.Clock()}, "\x00")
		if _, double := seen[key]; double && len(row.Doubts) == 0 {
			r.skip(l, "double")
			continue
		}
		seen[key] = l.at
		r.Rows = append(r.Rows, row)
	}
}

// Clock is the time of day as 09:30; "" where the list has none.
func (row Row) Clock() string {
	if !row.HasTime {
		return ""
	}
	return fmt.Sprintf("%02d:%02d", row.Hour, row.Minute)
}

func (r *reader) skip(l line, reason string) { r.Skipped = append(r.Skipped, Skipped{l.at, reason}) }

// holdsNoVisit knows empty lines, repeated headings, and sums at the end: a line without any name whose first
// words are those of a sum, or that has nothing under the columns that are read.
func (r *reader) holdsNoVisit(l line) string {
	if _, known, _ := headingLine([]line{l}, r.words, r.options.Columns); known > 1 && known*2 > len(r.Columns) {
		return "heading"
	}
	first, named, filled := "", false, 0
	for _, c := range l.cells {
		if first == "" {
			first = c.text
		}
	}
	if first == "" {
		return "empty"
	}
	for _, c := range r.Columns {
		if l.text(c.at) == "" {
			continue
		}
		filled++
		if s := l.text(c.at); (c.Field == Name || c.Field == Given || c.Field == Family) && lettered(s) && !r.sum(s) {
			named = true
		}
	}
	if !named && r.sum(first) {
		return "total"
	}
	if filled == 0 {
		return "empty"
	}
	return ""
}

// sum says whether a text begins as sums do: "Total", "Total: 14", "14 visits".
func (r *reader) sum(s string) bool {
	for _, word := range strings.FieldsFunc(s, func(c rune) bool { return c == ' ' || c == ':' || c == '=' || c == '(' }) {
		if r.words.totals[Fold(word)] {
			return true
		}
		if strings.Trim(word, "0123456789.,") != "" {
			return false
		}
	}
	return false
}

// lettered says whether a text can be a name: one that holds a letter.
func lettered(s string) bool { return strings.IndexFunc(s, unicode.IsLetter) >= 0 }

// row reads a line under the columns.
func (r *reader) row(l line, day measure.Date) Row {
	row := Row{Line: l.at, On: day}
	for _, c := range r.Columns {
		if c.at >= len(l.cells) || l.cells[c.at].text == "" {
			continue
		}
		if l.cells[c.at].formula {
			row.doubt("formula", c.Field)
			continue
		}
		s := l.cells[c.at].text
		if serial := l.cells[c.at].moment; serial != "" && (c.Field == Time) == (len(serial) == len("15:04")) && c.Field.timed() {
			s = serial
		}
		r.take(&row, c, s)
	}
	row.complete()
	return row
}

func (r *reader) take(row *Row, c Column, s string) {
	switch c.Field {
	case Reference:
		row.Reference = s
	case Name:
		r.name(row, s)
	case Given:
		row.Given = s
	case Family:
		row.Family = s
	case Telephone:
		if row.Telephone = s; powerOfTen(s) {
			row.Telephone = ""
			row.doubt("unreadable", Telephone)
		}
	case Email:
		row.Email = s
	case Practitioner:
		row.Practitioner = s
	case Language:
		row.Language = r.language(row, s)
	case Status:
		row.Cancelled = r.meaning(row, c.Field, s, r.options.Statuses, r.words.statuses) == Cancelled
	case Kind:
		row.Kind = r.meaning(row, c.Field, s, r.options.Kinds, r.words.kinds)
	default:
		r.takeMoment(row, c, s)
	}
}

// meaning looks a word up in the clinic's own list, then in the usual ones.
func (r *reader) meaning(row *Row, f Field, s string, own, usual map[string]string) string {
	folded := Fold(s)
	for word, meaning := range own {
		if Fold(word) == folded {
			return meaning
		}
	}
	if meaning, ok := usual[folded]; ok {
		return meaning
	}
	row.Doubts = append(row.Doubts, Doubt{ID: "unknown_word", Field: f, Args: map[string]any{"word": s}})
	return ""
}

// language also takes a tag with a region (BCP 47): fr-CH is French.
func (r *reader) language(row *Row, s string) string {
	if base, region, ok := strings.Cut(strings.ReplaceAll(s, "_", "-"), "-"); ok && len(base) == 2 && len(region) == 2 {
		if _, whole := r.words.tags[Fold(s)]; !whole && r.words.tags[Fold(base)] != "" {
			s = base
		}
	}
	return r.meaning(row, Language, s, r.options.Languages, r.words.tags)
}

// powerOfTen knows a number that a spreadsheet has shortened, so that its last digits are lost: 4.4E+11.
func powerOfTen(s string) bool {
	return strings.Contains(strings.ToUpper(s), "E+") && strings.Trim(strings.ToUpper(s), "0123456789.,E+") == ""
}

// timed says whether a column holds dates or times.
func (f Field) timed() bool { return f == Born || f == On || f == Time || f == Moment }

// name parts "Family, Given" at its comma; any other whole name is kept as it is written, because which part is
// which differs from language to language.
func (r *reader) name(row *Row, s string) {
	family, given, parted := strings.Cut(s, ",")
	if parted && !strings.Contains(given, ",") && tidy(family) != "" && tidy(given) != "" {
		row.Family, row.Given = tidy(family), tidy(given)
		return
	}
	row.Name = s
}

func (row *Row) doubt(id string, f Field) { row.Doubts = append(row.Doubts, Doubt{ID: id, Field: f}) }

// complete says what a visit cannot do without.
func (row *Row) complete() {
	lacks := func(f Field) bool {
		for _, d := range row.Doubts {
			if d.Field == f || f == On && d.Field == Moment {
				return false // one doubt about a field is enough
			}
		}
		return true
	}
	if !lettered(row.Name+row.Given+row.Family) && lacks(Name) {
		row.doubt("missing", Name)
	}
	if row.Born.IsZero() && lacks(Born) {
		row.doubt("missing", Born)
	}
	if row.On.IsZero() && lacks(On) {
		row.doubt("missing", On)
	}
	if !row.HasTime && lacks(Time) && lacks(Moment) {
		row.doubt("missing", Time)
	}
}
