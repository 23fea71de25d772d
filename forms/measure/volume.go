package measure

// ParseVolume reads millilitres: "0.8", "0,8", "0.8 mL", to three decimal places, at most six digits
// before the point. Another unit is refused rather than converted. The error is a *Wrong.
func ParseVolume(s string) (Volume, error) {
	d, err := parseAmount(s, 3, "mL", "ml")
	return Volume{d}, err
}

// MustVolume is ParseVolume for texts that are known to be right, as in tests; it panics otherwise.
func MustVolume(s string) Volume {
	v, err := ParseVolume(s)
	if err != nil {
		panic("measure: not a volume: " + s)
	}
	return v
}

// Zero is no volume.
func Zero() Volume { return Volume{} }

// Microlitres makes a volume of whole microlitres; below zero counts as zero.
func Microlitres(n int64) Volume {
	return Volume{decimalOf(max(n, 0), -3)}
}

// String is the volume in mL without unit or superfluous zeros: "0.8".
func (v Volume) String() string { return v.mL.String() }

// Add is v and w together.
func (v Volume) Add(w Volume) Volume { return Volume{v.mL.Add(w.mL)} }

// Sub is what is left of v without w, which is nothing if w is the greater: compare first where the
// difference matters.
func (v Volume) Sub(w Volume) Volume {
	if v.Cmp(w) <= 0 {
		return Volume{}
	}
	return Volume{v.mL.Sub(w.mL)}
}

// Cmp is -1, 0 or 1 as v is less than, equal to or greater than w.
func (v Volume) Cmp(w Volume) int { return v.mL.Cmp(w.mL) }

// Equal says whether both are the same amount, however it was typed.
func (v Volume) Equal(w Volume) bool { return v.mL.Equal(w.mL) }

// IsZero says whether there is none.
func (v Volume) IsZero() bool { return v.mL.IsZero() }

// Microlitres is the volume in whole microlitres, which is exact.
func (v Volume) Microlitres() int64 { return v.mL.Shift(3).IntPart() }
