package forms

import (
	"regexp"
	"strings"

	"philtrum/forms/source"

	"github.com/shopspring/decimal"
)

var (
	numberPattern = regexp.MustCompile(`^-?[0-9]{1,9}([.,][0-9]{1,9})?$`)
	thousands     = regexp.MustCompile(`^-?[1-9][0-9]*,[0-9]{3}$`)
)

// ParseNumber reads a decimal written with a point or a comma, without exponent or grouping, of at most
// nine digits on either side. A comma before three digits is refused, because it reads as thousands too.
func ParseNumber(s string) (decimal.Decimal, bool) {
	if !numberPattern.MatchString(s) || thousands.MatchString(s) {
		return decimal.Decimal{}, false
	}
	d, err := decimal.NewFromString(strings.Replace(s, ",", ".", 1))
	return d, err == nil
}

// CompareNumbers compares two numbers as ParseNumber reads them: -1, 0 or 1, and false if one cannot be
// read.
func CompareNumbers(a, b string) (int, bool) {
	x, readable := ParseNumber(a)
	y, ok := ParseNumber(b)
	return x.Cmp(y), readable && ok
}

// Decimals counts the decimals of a number, zeros at the end left out; false if it cannot be read.
func Decimals(s string) (int, bool) {
	d, ok := ParseNumber(s)
	_, fraction, _ := strings.Cut(d.String(), ".")
	return len(fraction), ok
}

// Number reads a decimal; zero if n is nil, empty or reported.
func (v Values) Number(n *source.Node) decimal.Decimal {
	if n == nil || n.Kind != source.Scalar {
		v.Text(n) // reports the wrong shape
		return decimal.Decimal{}
	}
	d, ok := ParseNumber(n.Text)
	switch {
	case ok:
	case thousands.MatchString(n.Text):
		v.Report(n, "problem.number_ambiguous", nil)
	default:
		v.Report(n, "problem.number_form", nil)
	}
	return d
}
