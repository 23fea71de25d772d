package measure

import (
	"regexp"
	"strings"

	"github.com/shopspring/decimal"
)

// Error is the message id, for programmers; people are told in words made from locales.
func (w *Wrong) Error() string { return w.ID }

func wrong(id string) *Wrong { return &Wrong{ID: id} }

// amount is digits with at most one mark (point or comma) between them, then perhaps a unit. A naked
// decimal point (".8", "8.") is not read: it is how tenfold errors are made (ISMP list of error-prone
// dose designations, from memory).
var amount = regexp.MustCompile(`^([0-9]{1,6})(?:([.,])([0-9]{1,6}))? ?([^0-9.,\s]*)$`)

// parseAmount reads a decimal with at most places decimal places. units are the spellings of the unit
// that may follow; the first is its proper one. A comma before exactly three digits ("1,500") reads two
// ways and is refused, unless the whole part is 0.
func parseAmount(s string, places int, units ...string) (decimal.Decimal, error) {
	part := amount.FindStringSubmatch(strings.TrimSpace(s))
	if part == nil {
		return decimal.Zero, wrong("problem.number_form")
	}
	whole, mark, fraction, unit := part[1], part[2], part[3], part[4]
	if !isUnit(unit, units) {
		return decimal.Zero, &Wrong{ID: "problem.unit", Args: map[string]any{"unit": units[0]}}
	}
	if len(whole) > 1 && whole[0] == '0' {
		return decimal.Zero, wrong("problem.number_form")
	}
	if mark == "," && len(fraction) == 3 && whole != "0" {
		return decimal.Zero, wrong("problem.number_ambiguous")
	}
	if len(strings.TrimRight(fraction, "0")) > places {
		return decimal.Zero, &Wrong{ID: "problem.number_places", Args: map[string]any{"places": places}}
	}
	if fraction != "" {
		whole += "." + fraction
	}
	return decimal.RequireFromString(whole), nil
}

func isUnit(unit string, units []string) bool {
	if unit == "" {
		return true
	}
	for _, u := range units {
		if unit == u {
			return true
		}
	}
	return false
}
