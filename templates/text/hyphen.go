package text

// hyphenate tries to end the line inside the unit [i, end).
func (s *Setter) hyphenate(i, end int) (next int, ok bool) { return 0, false }
