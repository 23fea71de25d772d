package anaesthetic

import (
	"errors"
	"math/big"

	"philtrum/forms/measure"
)

// Source is one source of local anaesthetic: what was written of it and how much of the substance it held.
// Every source counts: block, infiltration, filler and what was put on the skin.
type Source struct {
	Written string
	Dose    measure.Dose // zero: not known
}

// Share is what all sources of one limit come to.
type Share struct {
	Limit Limit
	Given measure.Dose
	Most  measure.Dose // the limit at the weight
	Part  *big.Rat     // Given of Most
}

// Sum is all sources together, each as a fraction of its own limit: half of one and half of another are a
// full dose (common practice, no source).
type Sum struct {
	Shares    []Share // in the order of the list of limits
	Part      *big.Rat
	Uncounted int // sources without a known dose or without a published limit: Part is then too small
}

// ErrNoWeight says that nothing can be compared without a weight; ErrWeight that a weight outside the bounds
// of the list is taken for a slip.
var (
	ErrNoWeight = errors.New("no weight")
	ErrWeight   = errors.New("weight out of bounds")
)

// Add puts sources beside the limits at a weight.
func (l *List) Add(w measure.Weight, sources []Source) (Sum, error) {
	switch {
	case w.IsZero():
		return Sum{}, ErrNoWeight
	case w.Cmp(l.least) < 0 || w.Cmp(l.most) > 0:
		return Sum{}, ErrWeight
	}
	sum := Sum{Part: new(big.Rat)}
	given := map[string]measure.Dose{}
	for _, s := range sources {
		limit, ok := l.Find(s.Written)
		if !ok || s.Dose.IsZero() {
			sum.Uncounted++
			continue
		}
		given[limit.ID] = given[limit.ID].Add(s.Dose)
	}
	for _, limit := range l.Limits {
		dose, ok := given[limit.ID]
		if !ok {
			continue
		}
		most := limit.At(w)
		part := new(big.Rat).Quo(dose.Milligrams().Rat(), most.Milligrams().Rat())
		sum.Shares = append(sum.Shares, Share{limit, dose, most, part})
		sum.Part.Add(sum.Part, part)
	}
	return sum, nil
}

// Percent is the sum in whole percent, rounded up: it never looks smaller than it is.
func (s Sum) Percent() int {
	if s.Part == nil {
		return 0
	}
	hundred := new(big.Rat).Mul(s.Part, big.NewRat(100, 1))
	whole, rest := new(big.Int).QuoRem(hundred.Num(), hundred.Denom(), new(big.Int))
	if rest.Sign() > 0 {
		whole.Add(whole, big.NewInt(1))
	}
	return int(whole.Int64())
}

// Above says whether the sources together are more than the published limits allow.
func (s Sum) Above() bool { return s.Part != nil && s.Part.Cmp(big.NewRat(1, 1)) > 0 }
