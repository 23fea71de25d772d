package booking

import (
	"encoding/csv"
	"errors"
	"io"
	"strings"
)

// line is one line of a list: its cells, and where it stands in the file.
type line struct {
	at    int
	cells []cell
}

type cell struct {
	text    string
	formula bool // a formula whose value is not kept in the file
	// moment is what a workbook's number without a look of its own says where a date or a time is expected.
	moment string
}

func (l line) text(i int) string {
	if i < 0 || i >= len(l.cells) {
		return ""
	}
	return l.cells[i].text
}

// separated parts text into lines and cells, with the delimiter under which most known headings stand in one
// line; where two do equally well, the one with more columns.
func separated(text string, words *words, named map[Field]string) (delimiter string, grid []line, err error) {
	delimiter, _, grid, err = best(text, words, named)
	if err == nil && grid == nil {
		err = ErrNoList
	}
	return delimiter, grid, err
}

func best(text string, words *words, named map[Field]string) (delimiter string, known int, best []line, err error) {
	wide := 0
	for _, d := range ";,\t|" {
		grid, err := parted(text, d)
		if err != nil {
			return "", 0, nil, err
		}
		_, found, width := headingLine(grid, words, named)
		if found > known || found == known && width > wide {
			known, wide, delimiter, best = found, width, string(d), grid
		}
	}
	return delimiter, known, best, nil
}

func parted(text string, delimiter rune) ([]line, error) {
	r := csv.NewReader(strings.NewReader(text))
	r.Comma, r.LazyQuotes, r.FieldsPerRecord, r.TrimLeadingSpace = delimiter, true, -1, delimiter != '\t'
	var grid []line
	for {
		record, err := r.Read()
		if errors.Is(err, io.EOF) {
			return grid, nil
		}
		if err != nil {
			return nil, err
		}
		if len(grid) >= MostRows {
			return nil, ErrTooLarge
		}
		at, _ := r.FieldPos(0)
		l := line{at: at}
		for _, s := range record[:min(len(record), mostCells)] {
			l.cells = append(l.cells, typed(s))
		}
		grid = append(grid, l)
	}
}

// typed is a cell of separated text. Some programs write ="0712" so that a spreadsheet keeps the zero: that is
// the text 0712. Any other formula has no value here.
func typed(s string) cell {
	s = tidy(s)
	if inner, ok := strings.CutPrefix(s, `="`); ok && strings.HasSuffix(inner, `"`) {
		return cell{text: strings.TrimSuffix(inner, `"`)}
	}
	return cell{text: s, formula: len(s) > 1 && (s[0] == '=' || s[0] == '@')}
}

// tidy takes away blanks around and doubled blanks within, the hard ones too.
func tidy(s string) string {
	return strings.Join(strings.Fields(strings.ReplaceAll(s, "\u200b", "")), " ")
}
