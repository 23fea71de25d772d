package booking

import (
	"bytes"
	"fmt"
	"math"
	"strconv"
	"strings"
	"time"

	"github.com/xuri/excelize/v2"
)

// workbook reads the sheet that is asked for, or the one with the most known headings. Merged cells all have
// the value of the first; dates and times are written as ISO 8601 has them, whatever their look, because a
// workbook keeps them as numbers.
func workbook(data []byte, o Options, words *words) (sheet string, best []line, err error) {
	book, err := excelize.OpenReader(bytes.NewReader(data), excelize.Options{
		RawCellValue: true, UnzipSizeLimit: 256 << 20, UnzipXMLSizeLimit: 64 << 20,
	})
	if err != nil {
		return "", nil, fmt.Errorf("%w: %w", ErrWorkbook, err)
	}
	defer book.Close()
	known := 0
	for _, name := range book.GetSheetList() {
		if o.Sheet != "" && name != o.Sheet {
			continue
		}
		grid, err := read(book, name)
		if err != nil {
			return "", nil, err
		}
		if _, found, _ := headingLine(grid, words, o.Columns); found > known {
			known, sheet, best = found, name, grid
		}
	}
	if best == nil {
		return "", nil, ErrNoList
	}
	return sheet, best, nil
}

func read(book *excelize.File, sheet string) ([]line, error) {
	rows, err := book.Rows(sheet)
	if err != nil {
		return nil, fmt.Errorf("%w: %w", ErrWorkbook, err)
	}
	defer rows.Close()
	epoch := false
	if p, err := book.GetWorkbookProps(); err == nil && p.Date1904 != nil {
		epoch = *p.Date1904
	}
	var grid []line
	for at := 1; rows.Next(); at++ {
		if len(grid) >= MostRows {
			return nil, ErrTooLarge
		}
		columns, err := rows.Columns()
		if err != nil {
			return nil, fmt.Errorf("%w: %w", ErrWorkbook, err)
		}
		l := line{at: at}
		for i, raw := range columns[:min(len(columns), mostCells)] {
			l.cells = append(l.cells, sheetCell(book, sheet, i+1, at, raw, epoch))
		}
		grid = append(grid, l)
	}
	return spread(book, sheet, grid)
}

func sheetCell(book *excelize.File, sheet string, column, row int, raw string, epoch bool) cell {
	name, err := excelize.CoordinatesToCellName(column, row)
	if err != nil {
		return cell{text: tidy(raw)}
	}
	formula, _ := book.GetCellFormula(sheet, name)
	if formula != "" && (raw == "" || strings.HasPrefix(raw, "#")) {
		return cell{text: "=" + formula, formula: true}
	}
	if n, err := strconv.ParseFloat(raw, 64); err == nil && n >= 0 {
		if s, ok := moment(book, sheet, name, n, epoch); ok {
			return cell{text: s}
		}
		c := cell{text: tidy(raw)}
		if strings.ContainsAny(raw, "eE") && n == math.Trunc(n) && n < 1<<53 {
			c.text = strconv.FormatFloat(n, 'f', 0, 64) // a number of a telephone, not its power of ten
		}
		if n > 0 && n < 1 || n >= leastSerial && n < mostSerial {
			c.moment = written(n, epoch)
		}
		return c
	}
	return cell{text: tidy(raw)}
}

// moment writes a number that its format shows as a date or time.
func moment(book *excelize.File, sheet, name string, n float64, epoch bool) (string, bool) {
	id, err := book.GetCellStyle(sheet, name)
	if err != nil {
		return "", false
	}
	style, err := book.GetStyle(id)
	if err != nil || !showsMoment(style) {
		return "", false
	}
	s := written(n, epoch)
	return s, s != ""
}

// Days as a workbook numbers them, from 1927 to 2146: what stands in a column of dates and lies between is one,
// also where the cell lost its look.
const leastSerial, mostSerial = 10000, 90000

// written is a number of a workbook as a date, a time or both; "" if it is none.
func written(n float64, epoch bool) string {
	t, err := excelize.ExcelDateToTime(n, epoch)
	if err != nil {
		return ""
	}
	t = t.Add(500 * time.Millisecond).Truncate(time.Second)
	switch {
	case n < 1:
		return t.Format("15:04")
	case n == float64(int64(n)):
		return t.Format(time.DateOnly)
	}
	return t.Format("2006-01-02 15:04")
}

// showsMoment knows the formats of ECMA-376 Part 1, 18.8.30: 14 to 22 and 45 to 47 are dates and times, and so
// are 27 to 36 and 50 to 58 in East Asian workbooks; a format of one's own is one if it holds d, y, h or s
// outside quotes and brackets.
func showsMoment(s *excelize.Style) bool {
	if s.CustomNumFmt == nil {
		n := s.NumFmt
		return n >= 14 && n <= 22 || n >= 27 && n <= 36 || n >= 45 && n <= 47 || n >= 50 && n <= 58
	}
	quoted, bracketed, escaped := false, false, false
	for _, c := range strings.ToLower(*s.CustomNumFmt) {
		switch {
		case escaped:
			escaped = false
		case c == '\\':
			escaped = true
		case c == '"':
			quoted = !quoted
		case quoted:
		case c == '[', c == ']':
			bracketed = c == '['
		case !bracketed && strings.ContainsRune("dyhs", c):
			return true
		}
	}
	return false
}

// spread gives every cell of a merged range the value of its first.
func spread(book *excelize.File, sheet string, grid []line) ([]line, error) {
	merged, err := book.GetMergeCells(sheet)
	if err != nil {
		return nil, fmt.Errorf("%w: %w", ErrWorkbook, err)
	}
	for _, m := range merged {
		left, top, err1 := excelize.CellNameToCoordinates(m.GetStartAxis())
		right, bottom, err2 := excelize.CellNameToCoordinates(m.GetEndAxis())
		if err1 != nil || err2 != nil || top > len(grid) || left > len(grid[top-1].cells) {
			continue
		}
		value := grid[top-1].cells[left-1]
		for row := top; row <= min(bottom, len(grid)); row++ {
			cells := &grid[row-1].cells
			// A title across the sheet stays one cell; a value that runs down is that of every row.
			for column := left; column <= min(right, mostCells) && bottom > top; column++ {
				for len(*cells) < column {
					*cells = append(*cells, cell{})
				}
				(*cells)[column-1] = value
			}
		}
	}
	return grid, nil
}
