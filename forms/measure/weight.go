package measure

import "github.com/shopspring/decimal"

// Weight is a body weight in kilograms, never below zero.
type Weight struct{ kg decimal.Decimal }

// ParseWeight reads kilograms: "54.5", "54,5", "54.5 kg", to two decimal places. Another unit is refused
// rather than converted. The error is a *Wrong.
func ParseWeight(s string) (Weight, error) {
	d, err := parseAmount(s, 2, "kg")
	return Weight{d}, err
}

// MustWeight is ParseWeight for texts that are known to be right, as in tests; it panics otherwise.
func MustWeight(s string) Weight {
	w, err := ParseWeight(s)
	if err != nil {
		panic("measure: not a weight: " + s)
	}
	return w
}

// DosePer is perKg for every kilogram of w.
func DosePer(w Weight, perKg Dose) Dose { return Dose{w.kg.Mul(perKg.mg)} }

// String is the weight in kg without unit or superfluous zeros: "54.5".
func (w Weight) String() string { return w.kg.String() }

// Cmp is -1, 0 or 1 as w is less than, equal to or greater than v.
func (w Weight) Cmp(v Weight) int { return w.kg.Cmp(v.kg) }

// Equal says whether both are the same weight.
func (w Weight) Equal(v Weight) bool { return w.kg.Equal(v.kg) }

// IsZero says whether there is none.
func (w Weight) IsZero() bool { return w.kg.IsZero() }
