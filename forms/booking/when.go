package booking

import (
	"strconv"
	"strings"
	"time"
	"unicode"

	"philtrum/forms/measure"
)

// parts are the numbers of a date as written, and the month where it is a word.
type parts struct {
	numbers []int
	digits  []int // how many digits each number is written with
	month   time.Month
	before  int // how many numbers stand before the word of the month
}

// partsOf takes a date apart. Words that are no month (weekdays, 年, "de") say nothing.
func (r *reader) partsOf(s string) parts {
	var p parts
	for _, token := range tokens(s) {
		if n, err := strconv.Atoi(token); err == nil {
			p.numbers, p.digits = append(p.numbers, n), append(p.digits, len(token))
		} else if m, ok := r.options.Months[Fold(token)]; ok && p.month == 0 {
			p.month, p.before = m, len(p.numbers)
		}
	}
	return p
}

// tokens are runs of digits, written with ASCII digits, and runs of letters.
func tokens(s string) []string {
	var all []string
	var b strings.Builder
	kind := 0
	end := func() {
		if b.Len() > 0 {
			all = append(all, b.String())
			b.Reset()
		}
	}
	for _, c := range s {
		now := 0
		switch {
		case unicode.IsDigit(c):
			now, c = 1, digit(c)
		case unicode.IsLetter(c), unicode.IsMark(c):
			now = 2
		}
		if now != kind {
			end()
		}
		if kind = now; now != 0 {
			b.WriteRune(c)
		}
	}
	end()
	return all
}

// digit is the ASCII digit of a decimal digit of any script: those of a script follow each other from zero.
func digit(c rune) rune {
	value := rune(0)
	for unicode.IsDigit(c-value-1) && value < 9 {
		value++
	}
	return '0' + value
}

// judgeOrders says for each column of dates in which order day and month stand: by the first date that leaves
// no choice; else as another column of the list has it; else as a person says. A column without either is a
// doubt, shown with both readings.
func (r *reader) judgeOrders(body []line) {
	judged := Order("")
	for i := range r.Columns {
		c := &r.Columns[i]
		if c.Field != Born && c.Field != On && c.Field != Moment {
			continue
		}
		r.judge(c, body)
		if c.Order != "" && judged == "" {
			judged = c.Order
		}
	}
	if r.options.Order != "" {
		judged = r.options.Order
	}
	for i := range r.Columns {
		c := &r.Columns[i]
		example, open := r.example(*c, body)
		switch {
		case !open:
			c.Order, c.Judged = "", 0
		case r.options.Order != "":
			c.Order, c.Judged = r.options.Order, 0
		case c.Order == "" && judged != "":
			c.Order = judged
		case c.Order == "":
			r.Doubts = append(r.Doubts, Doubt{ID: "date_order_column", Field: c.Field, Args: map[string]any{"column": c.Heading, "line": example}})
		}
	}
}

// judge takes the first date that leaves no choice. Where a later one speaks for the other order, all dates of
// the column are in doubt.
func (r *reader) judge(c *Column, body []line) {
	for _, l := range body {
		p := r.datePart(*c, l.text(c.at))
		if len(p.numbers) != 3 || p.month != 0 || p.digits[0] > 2 {
			continue
		}
		order := Order("")
		switch first, second := p.numbers[0], p.numbers[1]; {
		case first > 12 && second <= 12:
			order = DayMonth
		case second > 12 && first <= 12:
			order = MonthDay
		}
		switch {
		case order == "" || order == c.Order:
		case c.Order == "":
			c.Order, c.Judged = order, l.at
		default:
			r.Doubts = append(r.Doubts, Doubt{ID: "date_mixed", Field: c.Field, Args: map[string]any{"column": c.Heading, "first": c.Judged, "second": l.at}})
			return
		}
	}
}

// example is the line of the first date of a column that could be read in two ways.
func (r *reader) example(c Column, body []line) (line int, open bool) {
	if c.Field != Born && c.Field != On && c.Field != Moment {
		return 0, false
	}
	for _, l := range body {
		p := r.datePart(c, l.text(c.at))
		if len(p.numbers) == 3 && p.month == 0 && p.digits[0] <= 2 {
			return l.at, true
		}
	}
	return 0, false
}

// datePart takes the time of day away from a cell that holds both.
func (r *reader) datePart(c Column, s string) parts {
	if c.Field == Moment || c.Field == On {
		s, _, _, _ = r.words.cutClock(s, c.Field == Moment)
	}
	return r.partsOf(s)
}

// date reads a date in the order of its column. Years of two digits are those that make sense: nobody is born
// after today, and visits are of this century.
func (r *reader) date(c Column, p parts) (measure.Date, bool) {
	var year, month, day, digits int
	switch {
	case len(p.numbers) == 3 && p.month == 0 && p.digits[0] == 4:
		year, month, day, digits = p.numbers[0], p.numbers[1], p.numbers[2], 4
	case len(p.numbers) == 3 && p.month == 0 && c.Order == DayMonth:
		day, month, year, digits = p.numbers[0], p.numbers[1], p.numbers[2], p.digits[2]
	case len(p.numbers) == 3 && p.month == 0 && c.Order == MonthDay:
		month, day, year, digits = p.numbers[0], p.numbers[1], p.numbers[2], p.digits[2]
	case len(p.numbers) == 2 && p.month != 0 && p.digits[0] == 4:
		year, day, month, digits = p.numbers[0], p.numbers[1], int(p.month), 4
	case len(p.numbers) == 2 && p.month != 0:
		day, year, month, digits = p.numbers[0], p.numbers[1], int(p.month), p.digits[1]
	default:
		return measure.Date{}, false
	}
	switch {
	case digits == 2:
		year += 2000
		if c.Field == Born && year > r.options.Today.Year {
			year -= 100
		}
	case digits != 4:
		return measure.Date{}, false
	}
	return valid(year, month, day)
}

func valid(year, month, day int) (measure.Date, bool) {
	d := measure.Date{Year: year, Month: time.Month(month), Day: day}
	t := time.Date(year, time.Month(month), day, 0, 0, 0, 0, time.UTC)
	return d, year >= 1900 && year < 2200 && t.Month() == d.Month && t.Day() == day
}

// takeMoment reads a cell of a column of dates or times.
func (r *reader) takeMoment(row *Row, c Column, s string) {
	if c.Field == Time {
		r.takeTime(row, s)
		return
	}
	rest := s
	if c.Field != Born {
		var hour, minute int
		var ok bool
		if rest, hour, minute, ok = r.words.cutClock(s, c.Field == Moment); ok {
			row.Hour, row.Minute, row.HasTime = hour, minute, true
		}
	}
	p := r.partsOf(rest)
	d, ok := r.date(c, p)
	switch {
	case !ok && c.Order == "" && len(p.numbers) == 3 && p.month == 0 && p.digits[0] <= 2:
		row.doubt("date_order", c.Field)
	case !ok, c.Field == Born && d.After(r.options.Today):
		row.doubt("unreadable", c.Field)
	case c.Field == Born:
		row.Born = d
	default:
		row.On = d
	}
}

// timesWithDates makes a column of times one of moments where its cells hold dates and no other column does: "Start"
// is often both.
func (r *reader) timesWithDates(body []line) {
	times := -1
	for i, c := range r.Columns {
		switch c.Field {
		case On, Moment:
			return
		case Time:
			times = i
		}
	}
	if times < 0 {
		return
	}
	c := r.Columns[times]
	c.Field = Moment
	for _, l := range body {
		rest, _, _, timed := r.words.cutClock(l.text(c.at), true)
		if p := r.partsOf(rest); timed && (len(p.numbers) == 3 || len(p.numbers) == 2 && p.month != 0) {
			r.Columns[times].Field = Moment
			return
		}
	}
}

// takeTime reads a column of times. A word beside the time that nobody knows may say which half of the day is
// meant: then the time is not read.
func (r *reader) takeTime(row *Row, s string) {
	if hour, minute, ok := digits(s); ok {
		row.Hour, row.Minute, row.HasTime = hour, minute, true
		return
	}
	rest, hour, minute, ok := r.words.cutClock(s, true)
	if cut, _, _, end := r.words.cutClock(rest, true); end {
		rest = cut // the end of the visit
	}
	numbers := 0
	for _, token := range tokens(rest) {
		word := Fold(token)
		if _, err := strconv.Atoi(token); err == nil {
			numbers++
		} else if !r.words.hours[word] && !r.words.minutes[word] && !r.words.beside[word] {
			ok = false
		}
	}
	if numbers != 0 && numbers != 3 { // three are a date
		ok = false
	}
	if !ok {
		row.doubt("unreadable", Time)
		return
	}
	row.Hour, row.Minute, row.HasTime = hour, minute, true
}

// dayLine is a line that holds a date alone: the day of the lines below it, as lists by day have it.
func (r *reader) dayLine(l line) (measure.Date, bool) {
	text := ""
	for _, c := range l.cells {
		if c.text != "" && c.text != text {
			if text != "" {
				return measure.Date{}, false
			}
			text = c.text
		}
	}
	order := r.options.Order
	for _, c := range r.Columns {
		if order == "" {
			order = c.Order
		}
	}
	return r.date(Column{Field: On, Order: order}, r.partsOf(text))
}
