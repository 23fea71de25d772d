package cldr

import "strings"

// Category is a plural category of CLDR.
type Category string

// The plural categories, in CLDR's order.
const (
	Zero  Category = "zero"
	One   Category = "one"
	Two   Category = "two"
	Few   Category = "few"
	Many  Category = "many"
	Other Category = "other"
)

// operands are those of UTS 35, part 3, "Plural Operand Meanings", as far as the rules here need them:
// i the whole part, v the number of visible fraction digits, t the fraction without trailing zeros. Large
// values are cut to what the rules look at: the last nine digits of i and whether it is longer.
type operands struct {
	i     int
	big   bool // i has more than nine digits
	v     int
	t     string
	whole bool // t is empty: the number is whole
}

func operandsOf(decimal string) (operands, error) {
	_, whole, fraction, err := split(decimal)
	if err != nil {
		return operands{}, err
	}
	o := operands{v: len(fraction), t: strings.TrimRight(fraction, "0")}
	o.whole = o.t == ""
	if len(whole) > 9 {
		o.big, whole = true, whole[len(whole)-9:]
	}
	for _, c := range whole {
		o.i = o.i*10 + int(c-'0')
	}
	return o, nil
}

// is reports whether the number (n in the rules) is k.
func (o operands) is(k int) bool { return o.whole && !o.big && o.i == k }

// wholeIs reports whether the whole part (i in the rules) is k.
func (o operands) wholeIs(k int) bool { return !o.big && o.i == k }

// million is the rule for "many" that Spanish and French share: a multiple of a million without visible
// fraction digits. Exponents, the other half of the rule, are never written here.
func (o operands) million() bool {
	return o.v == 0 && o.i%1000000 == 0 && (o.i != 0 || o.big)
}

// Plural gives the category of a decimal number in plain digits; visible zeros count ("1" and "1.0"
// differ). Source: CLDR 48, plurals.xml.
func (l *Locale) Plural(decimal string) (Category, error) {
	o, err := operandsOf(decimal)
	if err != nil {
		return "", err
	}
	switch l.language() {
	case "en", "de":
		return pick(o.wholeIs(1) && o.v == 0, One), nil
	case "es":
		if o.is(1) {
			return One, nil
		}
		return pick(o.million(), Many), nil
	case "fr":
		if o.wholeIs(0) || o.wholeIs(1) {
			return One, nil
		}
		return pick(o.million(), Many), nil
	case "hi":
		return pick(o.wholeIs(0) || o.is(1), One), nil
	case "pl":
		return polish(o), nil
	case "ar":
		return arabic(o), nil
	}
	return Other, nil
}

func pick(holds bool, c Category) Category {
	if holds {
		return c
	}
	return Other
}

func polish(o operands) Category {
	last, two := o.i%10, o.i%100
	switch {
	case o.v > 0:
		return Other
	case o.wholeIs(1):
		return One
	case last >= 2 && last <= 4 && (two < 12 || two > 14):
		return Few
	}
	return Many
}

func arabic(o operands) Category {
	two := o.i % 100
	switch {
	case o.is(0):
		return Zero
	case o.is(1):
		return One
	case o.is(2):
		return Two
	case o.whole && two >= 3 && two <= 10:
		return Few
	case o.whole && two >= 11:
		return Many
	}
	return Other
}

// Categories lists the categories that a language (a BCP 47 tag) distinguishes, in CLDR's order; nil for a
// language that is not known here. Source: CLDR 48, plurals.xml.
func Categories(tag string) []Category {
	switch base(tag) {
	case "en", "de", "hi":
		return []Category{One, Other}
	case "es", "fr":
		return []Category{One, Many, Other}
	case "pl":
		return []Category{One, Few, Many, Other}
	case "ar":
		return []Category{Zero, One, Two, Few, Many, Other}
	case "zh":
		return []Category{Other}
	}
	return nil
}

func base(tag string) string {
	head, _, _ := strings.Cut(tag, "-")
	return strings.ToLower(head)
}

func (l *Locale) language() string { return base(l.tag) }
