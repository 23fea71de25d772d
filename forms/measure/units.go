package measure

import "github.com/shopspring/decimal"

// Units is an amount of activity in international units, as the label of an enzyme gives it. The zero Units is
// none. It is never converted into a mass.
type Units struct{ iu decimal.Decimal }

// ParseUnits reads units: "150", "37.5", "1500 IU", with a point or a comma, of at most three decimals.
func ParseUnits(s string) (Units, error) {
	d, err := parseAmount(s, 3, "IU", "units")
	return Units{d}, err
}

// MustUnits is ParseUnits for constants; it panics on what cannot be read.
func MustUnits(s string) Units {
	u, err := ParseUnits(s)
	if err != nil {
		panic("measure: " + s + ": " + err.Error())
	}
	return u
}

// String is the exact number without a unit.
func (u Units) String() string { return u.iu.String() }

// Add is the sum.
func (u Units) Add(v Units) Units { return Units{u.iu.Add(v.iu)} }

// Cmp compares: -1, 0 or 1.
func (u Units) Cmp(v Units) int { return u.iu.Cmp(v.iu) }

// Equal compares by value.
func (u Units) Equal(v Units) bool { return u.iu.Equal(v.iu) }

// IsZero says whether it is none.
func (u Units) IsZero() bool { return u.iu.IsZero() }

// InProportion says whether part of a solution holds what its volume says: whole units dissolved in all of the
// volume. It compares products, so that nothing is rounded.
func InProportion(part Units, of Volume, whole Units, all Volume) bool {
	return part.iu.Mul(all.mL).Equal(whole.iu.Mul(of.mL))
}
