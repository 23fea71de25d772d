package device

import (
	"slices"
	"strings"

	"philtrum/forms/measure"
)

// add keeps an element of GS1, checks it by the table, and fills the field that it is for.
func (r *reader) add(id, value string) {
	first := r.keep(id, value)
	row, _ := lookup(id)
	sound := r.fits(id, value, parts(row.Format))
	if sound && row.Check && !checks(value) {
		r.once(Fault, "check_digit", map[string]any{"id": id, "value": value})
	}
	var date measure.Date
	var open bool
	if sound && strings.HasPrefix(row.Format, "D") {
		date, open = r.date(id, value)
	}
	if !first {
		return
	}
	switch id {
	case "01":
		r.DeviceIdentifier = value
	case "10":
		r.Lot = value
	case "21":
		r.Serial = value
	case "11":
		r.Made, r.MadeText = date, value
	case "17":
		r.Expiry, r.ExpiryText, r.ExpiryDayOpen = date, value, open
	case "20":
		r.Variant = value
	case "30":
		r.Quantity = value
	case "37":
		if r.Quantity == "" {
			r.Quantity = value
		}
	}
}

// fits checks lengths and characters of a value.
func (r *reader) fits(id, value string, format []part) bool {
	runes := []rune(value)
	least, most := 0, 0
	for _, p := range format {
		least, most = least+p.least, most+p.most
	}
	args := map[string]any{"id": id, "value": short(value)}
	sound := true
	fault := func(kind string, more map[string]any) {
		for k, v := range args {
			more[k] = v
		}
		r.remark(Fault, kind, more)
		sound = false
	}
	switch {
	case len(runes) < least:
		fault("too_short", map[string]any{"least": least})
	case len(runes) > most:
		fault("too_long", map[string]any{"most": most})
	}
	at := 0
	for i, p := range format {
		end := min(at+p.most, len(runes))
		if i == len(format)-1 {
			end = len(runes)
		}
		for _, c := range runes[min(at, end):end] {
			if p.set == 'X' && !inSet82(c) {
				fault("character", map[string]any{})
				return sound
			}
			if p.set != 'X' && (c < '0' || c > '9') {
				fault("not_digits", map[string]any{})
				return sound
			}
		}
		at = end
	}
	return sound
}

// date reads YYMMDD; day 00 is the last of the month (GS1 General Specifications, section 3.4).
func (r *reader) date(id, digits string) (d measure.Date, open bool) {
	year, month, day := number(digits[:2]), number(digits[2:4]), number(digits[4:])
	year = century(year, r.year)
	args := map[string]any{"id": id, "value": digits}
	if month < 1 || month > 12 {
		r.remark(Fault, "month", args)
		return d, false
	}
	if day == 0 {
		return lastOf(year, month), true
	}
	d, ok := civil(year, month, day)
	if !ok {
		r.remark(Fault, "day", args)
	}
	return d, false
}

// sense checks what must, and what may not, stand side by side (GS1 Syntax Dictionary), and takes the
// expiry from 7003 (day and hour) where there is no 17.
func (r *reader) sense() {
	for _, e := range r.Elements {
		row, _ := lookup(e.ID)
		value := e.Value
		for _, other := range row.Not {
			if _, there := r.seen[other]; there {
				r.once(Fault, "pair", map[string]any{"first": e.ID, "second": other})
			}
		}
		if len(row.Needs) > 0 && !slices.ContainsFunc(row.Needs, r.together) {
			r.once(Doubt, "needs", map[string]any{"id": e.ID, "needs": row.Needs})
		}
		if _, there := r.seen["17"]; e.ID == "7003" && !there && r.ExpiryText == "" && len(value) == 10 && isDigits(value) {
			r.ExpiryText = value
			r.Expiry, r.ExpiryDayOpen = r.date(e.ID, value[:6])
		}
	}
}

// together says whether all identifiers of "01+21" are there.
func (r *reader) together(ids string) bool {
	for _, id := range strings.Split(ids, "+") {
		if _, there := r.seen[id]; !there {
			return false
		}
	}
	return true
}

// lostSeparator notices a lot or serial that has swallowed the expiry because the separator after it was lost
// on the way: it goes on, to its end, as elements of which one is an expiry that the code does not have
// otherwise. The lot stays as it stands; what it may be is said in the remark.
func (r *reader) lostSeparator() {
	if r.ExpiryText != "" {
		return
	}
	for _, e := range r.Elements {
		if e.ID != "10" && e.ID != "21" || len(e.Value) > longest {
			continue
		}
		if without, expiry := r.swallowed(e.Value); !expiry.IsZero() {
			r.remark(Doubt, "separator_lost", map[string]any{
				"id": e.ID, "value": e.Value, "without": without, "expiry": expiry,
			})
			return
		}
	}
}

// swallowed finds where a value goes on as elements with an expiry, and what stands before them.
func (r *reader) swallowed(value string) (without string, expiry measure.Date) {
	for i := 1; i < len(value); i++ {
		rest := value[i:]
		if !strings.HasPrefix(rest, "17") && !strings.HasPrefix(rest, "11") {
			continue
		}
		as := &reader{year: r.year, seen: map[string]string{}}
		if as.elements(rest); !as.Faulty() && !as.Expiry.IsZero() {
			return value[:i], as.Expiry
		}
	}
	return "", measure.Date{}
}
