package measure

import "github.com/shopspring/decimal"

// ParseDose reads milligrams: "4.4", "4,4", "4.4 mg", to six decimal places (a nanogram). Another unit is
// refused rather than converted. The error is a *Wrong.
func ParseDose(s string) (Dose, error) {
	d, err := parseAmount(s, 6, "mg")
	return Dose{d}, err
}

// MustDose is ParseDose for texts that are known to be right, as in tests; it panics otherwise.
func MustDose(s string) Dose {
	d, err := ParseDose(s)
	if err != nil {
		panic("measure: not a dose: " + s)
	}
	return d
}

// DoseIn is what v of a solution of strength mg per mL contains.
func DoseIn(v Volume, mgPerML decimal.Decimal) Dose {
	d := v.mL.Mul(mgPerML)
	if d.IsNegative() {
		return Dose{}
	}
	return Dose{d}
}

// String is the dose in mg without unit or superfluous zeros: "4.4".
func (d Dose) String() string { return d.mg.String() }

// Add is d and e together.
func (d Dose) Add(e Dose) Dose { return Dose{d.mg.Add(e.mg)} }

// Sub is what is left of d without e, nothing if e is the greater.
func (d Dose) Sub(e Dose) Dose {
	if d.Cmp(e) <= 0 {
		return Dose{}
	}
	return Dose{d.mg.Sub(e.mg)}
}

// Cmp is -1, 0 or 1 as d is less than, equal to or greater than e.
func (d Dose) Cmp(e Dose) int { return d.mg.Cmp(e.mg) }

// Equal says whether both are the same amount.
func (d Dose) Equal(e Dose) bool { return d.mg.Equal(e.mg) }

// IsZero says whether there is none.
func (d Dose) IsZero() bool { return d.mg.IsZero() }

// Milligrams is the dose as an exact decimal.
func (d Dose) Milligrams() decimal.Decimal { return d.mg }

func decimalOf(n int64, exponent int32) decimal.Decimal { return decimal.New(n, exponent) }
