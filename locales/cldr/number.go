package cldr

import (
	"errors"
	"fmt"
	"strings"
)

// Unit is a unit of measure, by the name that CLDR has for it.
type Unit string

// The units of the papers.
const (
	Millilitre Unit = "milliliter"
	Milligram  Unit = "milligram"
	Millimetre Unit = "millimeter"
	Celsius    Unit = "celsius"
	Percent    Unit = "percent"
	Minute     Unit = "minute"
	Hour       Unit = "hour"
	DayUnit    Unit = "day"
	Week       Unit = "week"
	Month      Unit = "month"
	Year       Unit = "year"
)

var errNumber = errors.New("not a decimal number")

var arab = [10]string{"٠", "١", "٢", "٣", "٤", "٥", "٦", "٧", "٨", "٩"}
var deva = [10]string{"०", "१", "२", "३", "४", "५", "६", "७", "८", "९"}

// number sets the numbering system. Arabic-Indic digits bring their own separators and sign (CLDR 48,
// symbols-numberSystem-arab).
func (l *Locale) number(system string) error {
	switch system {
	case "latn":
		return nil
	case "arab":
		l.digits, l.decimal, l.group, l.minus = &arab, "٫", "٬", "\u061c-"
		return nil
	case "deva":
		l.digits = &deva
		return nil
	}
	return fmt.Errorf("numbering system %q is not known", system)
}

// Number writes a decimal number given in plain digits ("-1234.50"). All its digits are shown.
func (l *Locale) Number(decimal string) (string, error) {
	negative, whole, fraction, err := split(decimal)
	if err != nil {
		return "", err
	}
	var b strings.Builder
	if negative {
		b.WriteString(l.minus)
	}
	grouped := len(whole) >= 3+l.minGroup
	for i, c := range whole {
		left := len(whole) - i
		if grouped && i > 0 && (left == 3 || left > 3 && (left-3)%l.secondGroup == 0) {
			b.WriteString(l.group)
		}
		b.WriteRune(c)
	}
	if fraction != "" {
		b.WriteString(l.decimal + fraction)
	}
	return l.localDigits(b.String()), nil
}

// split takes a number apart. Zeros before the first figure are dropped.
func split(decimal string) (negative bool, whole, fraction string, err error) {
	s, negative := strings.CutPrefix(decimal, "-")
	whole, fraction, point := strings.Cut(s, ".")
	if whole == "" || point && fraction == "" || !allDigits(whole) || !allDigits(fraction) {
		return false, "", "", errNumber
	}
	whole = strings.TrimLeft(whole, "0")
	if whole == "" {
		whole = "0"
	}
	return negative, whole, fraction, nil
}

func allDigits(s string) bool {
	for i := range len(s) {
		if s[i] < '0' || s[i] > '9' {
			return false
		}
	}
	return true
}

// localDigits turns 0 to 9 into the digits of l.
func (l *Locale) localDigits(s string) string {
	if l.digits == nil {
		return s
	}
	var b strings.Builder
	for _, r := range s {
		if r >= '0' && r <= '9' {
			b.WriteString(l.digits[r-'0'])
			continue
		}
		b.WriteRune(r)
	}
	return b.String()
}

// Quantity writes a number with its unit's mark ("0.8 mL"), bound by a no-break space where the language
// has a space there.
func (l *Locale) Quantity(decimal string, u Unit) (string, error) {
	return l.measure(decimal, u, false)
}

// QuantityInWords writes a number with its unit's name in the right plural form ("0,8 mililitra").
func (l *Locale) QuantityInWords(decimal string, u Unit) (string, error) {
	return l.measure(decimal, u, true)
}

func (l *Locale) measure(decimal string, u Unit, long bool) (string, error) {
	number, err := l.Number(decimal)
	if err != nil {
		return "", err
	}
	category, err := l.Plural(decimal)
	if err != nil {
		return "", err
	}
	for i := range l.units {
		if l.units[i].unit == u && l.units[i].long == long {
			return strings.Replace(l.units[i].forms.of(category), "{0}", number, 1), nil
		}
	}
	return "", fmt.Errorf("unit %q is not known", u)
}
